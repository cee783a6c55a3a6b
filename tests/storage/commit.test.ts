import { describe, expect, it } from "vitest";
import { StoreError } from "../../web/storage/contract.ts";
import {
  addMark,
  bytesOf,
  freshName,
  jpegBytes,
  newOriginal,
  open,
  photograph,
  rejection,
  shut,
  working,
} from "./workbench.ts";

/** From now on a transaction is cut off right after it asked to write an original. */
function abortAtTheOriginals(): () => void {
  const real = Object.getOwnPropertyDescriptor(IDBObjectStore.prototype, "add");
  if (!real) throw new Error("IndexedDB has no add");
  Object.defineProperty(IDBObjectStore.prototype, "add", {
    ...real,
    value(this: IDBObjectStore, ...args: unknown[]) {
      const request = (real.value as (...all: unknown[]) => unknown).apply(this, args);
      if (this.name === "originals") this.transaction.abort();
      return request;
    },
  });
  return () => Object.defineProperty(IDBObjectStore.prototype, "add", real);
}

describe("a commit", () => {
  it("is there after the bench is opened again, record, log, list and photograph", async () => {
    const name = freshName();
    const first = await open(name);
    const original = await newOriginal(jpegBytes(3_000, 7));
    const work = working("b1").edit({
      kind: "add-photograph",
      side: "takeUp",
      index: 0,
      photograph: photograph("p1", original),
    });
    const stored = await first.commit(work.commit([original]));
    expect(stored.map((entry) => [entry.seq, entry.revision])).toEqual([[1, 1]]);
    await shut(first);

    const again = await open(name);
    const loaded = await again.load("b1");
    expect(loaded?.record).toEqual(work.record);
    expect(loaded?.log).toEqual(stored);
    expect((await again.summaries()).map((summary) => [summary.number, summary.takeUpEnd.hash])).toEqual([
      ["B-b1", original.hash],
    ]);
    expect(await bytesOf(await again.original(original.hash))).toEqual(await bytesOf(original.original));
    expect(await bytesOf(await again.thumbnail(original.hash))).toEqual(await bytesOf(original.thumbnail));
    expect(await again.known([original.hash, "f".repeat(64)])).toEqual(new Set([original.hash]));
    expect(await again.load("nobody")).toBeNull();
  });

  it("keeps undo after reload: reader, undo and redo lines come back in the order they were made", async () => {
    const name = freshName();
    const first = await open(name);
    const work = working("b1").edit(addMark("m1"));
    const [made] = await first.commit(work.commit());
    if (!made?.inverse) throw new Error("adding a mark has an inverse");
    await first.commit(work.edit(made.inverse, "undo", made.seq).commit());
    await first.commit(work.edit(made.edit, "redo", made.seq).commit());
    await shut(first);

    const log = (await (await open(name)).load("b1"))?.log ?? [];
    expect(log.map(({ origin, of, revision }) => [origin, of, revision])).toEqual([
      ["reader", null, 1],
      ["undo", made.seq, 2],
      ["redo", made.seq, 3],
    ]);
    expect(log.map((entry) => entry.seq)).toEqual([...log.map((entry) => entry.seq)].sort((a, b) => a - b));
  });

  it("of two edits asked for at once is stored in the order asked", async () => {
    const store = await open();
    const work = working("b1");
    const commits = ["m1", "m2", "m3", "m4"].map((id) => store.commit(work.edit(addMark(id)).commit()));
    const revisions = (await Promise.all(commits)).flat().map((entry) => entry.revision);
    expect(revisions).toEqual([1, 2, 3, 4]);
    expect((await store.load("b1"))?.record.ends.machine.marks.map((m) => m.id)).toEqual(["m4", "m3", "m2", "m1"]);
  });

  it("made from another state than the one on the disk is refused and overwrites nothing", async () => {
    const store = await open();
    const work = working("b1").edit(addMark("m1"));
    await store.commit(work.commit());
    const stale = working("b1").edit(addMark("other"));
    const failure = await rejection(store.commit(stale.commit()));
    expect(failure).toMatchObject({ name: "StoreError", code: "conflict" });
    expect(await store.load("b1")).toMatchObject({ record: work.record, log: [{ seq: 1 }] });
    expect((await store.commit(work.edit(addMark("m2")).commit()))[0]?.revision).toBe(2);
  });

  it("without log lines may bring a new summary but not another record", async () => {
    const store = await open();
    const work = working("b1").edit(addMark("m1"));
    await store.commit(work.commit());
    const { records } = work.commit();
    const record = records[0];
    if (!record) throw new Error("one record");
    await store.commit({ entries: [], records: [{ ...record, summary: { ...record.summary, suggested: "torsion" } }] });
    expect((await store.summaries())[0]?.suggested).toBe("torsion");
    const silent = { ...record, record: { ...record.record, number: "another" } };
    expect(await rejection(store.commit({ entries: [], records: [silent] }))).toMatchObject({ code: "conflict" });
    expect((await store.load("b1"))?.record.number).toBe("B-b1");
  });

  it("whose log lines do not lead to its record is refused before anything is written", async () => {
    const store = await open();
    const work = working("b1").edit(addMark("m1"));
    const commit = work.commit();
    const skipped = { ...commit, entries: commit.entries.map((entry) => ({ ...entry, revision: 5 })) };
    expect(await rejection(store.commit(skipped))).toMatchObject({ code: "damaged-record" });
    const orphan = { ...commit, records: [] };
    expect(await rejection(store.commit(orphan))).toMatchObject({ code: "damaged-record" });
    expect(await store.summaries()).toEqual([]);
    expect(await store.commit(commit)).toHaveLength(1);
  });

  it("holding a live object that cannot be copied is refused in words", async () => {
    const store = await open();
    const commit = working("b1").edit(addMark("m1")).commit();
    const live = { ...commit, entries: commit.entries.map((entry) => ({ ...entry, live: () => 1 })) };
    const failure = await rejection(store.commit(live));
    expect(failure).toBeInstanceOf(StoreError);
    expect(failure).toMatchObject({ code: "damaged-record" });
  });

  it("cut off in the middle leaves the old state whole", async () => {
    const store = await open();
    const work = working("b1").edit(addMark("m1"));
    await store.commit(work.commit());
    const before = await store.load("b1");
    const original = await newOriginal(jpegBytes(2_000, 3));
    const commit = work.edit(addMark("m2")).commit([original]);
    const restore = abortAtTheOriginals();
    try {
      expect(await rejection(store.commit(commit))).toMatchObject({ name: "StoreError", code: "terminated" });
    } finally {
      restore();
    }
    expect(await store.load("b1")).toEqual(before);
    expect((await store.summaries())[0]?.updatedAt).toBe(before?.record.updatedAt);
    expect(await store.original(original.hash)).toBeNull();
    expect((await store.commit(commit))[0]?.revision).toBe(2);
  });

  it("never writes an original again that is stored already", async () => {
    const store = await open();
    const original = await newOriginal(jpegBytes(2_000, 5), "first.jpg");
    await store.commit(working("b1").edit(addMark("m1")).commit([original]));
    const other = { ...original, original: new Blob(["something else"]), fileName: "again.jpg" };
    await store.commit(working("b2").edit(addMark("m1")).commit([other, other]));
    expect(await bytesOf(await store.original(original.hash))).toEqual(await bytesOf(original.original));
  });
});

describe("small copies", () => {
  it("of an original the browser cannot show stand in for it, and the original stays", async () => {
    const store = await open();
    const original = { ...(await newOriginal(jpegBytes(900, 2))), working: new Blob(["shown"]) };
    await store.commit(working("b1").edit(addMark("m1")).commit([original]));
    expect(await (await store.picture(original.hash))?.text()).toBe("shown");
    expect(await bytesOf(await store.original(original.hash))).toEqual(await bytesOf(original.original));
    expect(await store.lackingCopies()).toEqual([]);
  });
});

describe("settings", () => {
  it("are there after the bench is opened again", async () => {
    const name = freshName();
    const first = await open(name);
    await first.setSetting("reader", { name: "A. Reader" });
    await shut(first);
    expect(await (await open(name)).getSetting("reader")).toEqual({ name: "A. Reader" });
  });
});

describe("a log of 10,000 breaks", () => {
  it("loads whole without touching records", async () => {
    const store = await open();
    const records = Array.from({ length: 10_000 }, (_, i) => working(`b${i}`).commit().records).flat();
    await store.commit({ entries: [], records });
    expect(await store.summaries()).toHaveLength(10_000);
  });
});
