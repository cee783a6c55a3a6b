import { describe, expect, it } from "vitest";
import { historyOf } from "../../model/break/undo.ts";
import type { BenchStore } from "../../web/storage/contract.ts";
import { STEPS } from "../../web/storage/database.ts";
import { summarise } from "../../web/storage/summary.ts";
import { saved } from "./forge.ts";
import {
  frameStarts,
  inDatabase,
  journalOf,
  replaceJournal,
  sizesOf,
  snapshot,
  throwDatabaseAway,
} from "./safe-folder.ts";
import {
  addMark,
  AT,
  bytesOf,
  freshName,
  jpegBytes,
  newOriginal,
  open,
  photograph,
  rejection,
  shut,
  storeBreakWithPhotograph,
  working,
} from "./workbench.ts";

/** All that a person could miss. */
async function everything(store: BenchStore, originals: readonly string[]) {
  const list = await store.summaries();
  const breaks = await Promise.all(list.map(({ id }) => store.load(id)));
  return {
    list,
    breaks,
    undo: breaks.map((one) => historyOf(one?.log ?? [])),
    originals: await Promise.all(originals.map(async (hash) => bytesOf(await store.original(hash)))),
    preferences: await store.getSetting("preferences"),
    gone: await store.getSetting("gone"),
  };
}

/** Two breaks with photographs, undone and repeated edits, a taken-over break, settings. */
async function busyBench(store: BenchStore): Promise<string[]> {
  const first = await storeBreakWithPhotograph(store, "b1", 31);
  const second = await storeBreakWithPhotograph(store, "b2", 32);
  const [made] = await store.commit(first.edit(addMark("m2")).commit());
  if (!made?.inverse) throw new Error("adding a mark has an inverse");
  await store.commit(first.edit(made.inverse, "undo", made.seq).commit());
  await store.commit(first.edit(made.edit, "redo", made.seq).commit());
  await store.commit(second.edit({ kind: "set-context", patch: { notes: "Zipfel ✓ \u2028" } }).commit());
  await store.commit({
    entries: [],
    records: [{ record: second.record, summary: summarise(second.record, "torsion") }],
  });
  const elsewhere = await open();
  await storeBreakWithPhotograph(elsewhere, "b3", 33);
  await store.importBench(await saved(elsewhere), "B. Importer", AT);
  await store.setSetting("preferences", { reader: "A. Reader" });
  await store.setSetting("gone", 1);
  await store.setSetting("gone", undefined);
  return (await store.summaries()).map(({ machineEnd }) => machineEnd.hash ?? "");
}

describe("a database that the browser threw away", () => {
  it("is made anew: records, log, undo, list, originals and settings are the same, and the person can be told", async () => {
    const name = freshName();
    const first = await open(name);
    expect([first.safe, first.recovered]).toEqual([true, null]);
    const hashes = await busyBench(first);
    const before = await everything(first, hashes);
    expect(before.originals.map((bytes) => bytes?.length)).toEqual([4_000, 4_000, 4_000]);
    await shut(first);
    await throwDatabaseAway(name);

    const again = await open(name);
    expect(again.recovered).toEqual({
      breaks: 3,
      entries: before.breaks.flatMap((one) => one?.log).length,
      damaged: 0,
    });
    expect(await everything(again, hashes)).toEqual(before);
    expect(new Set(await again.lackingCopies())).toEqual(new Set(hashes));
    const work = working("b9").edit(addMark("m1"));
    const [line] = await again.commit(work.commit());
    expect(line?.seq).toBe(Math.max(...before.breaks.flatMap((one) => one?.log.map(({ seq }) => seq) ?? [])) + 1);
    await shut(again);
    expect((await open(name)).recovered).toBeNull();
  });

  it("is made anew to the end when that was cut off", async () => {
    const name = freshName();
    const first = await open(name);
    const hashes = await busyBench(first);
    const before = await everything(first, hashes);
    await shut(first);
    await throwDatabaseAway(name);
    await inDatabase(name, async (db) => {
      await db.put("safe", { frame: null, upTo: 0, seq: 0, rebuilding: { damaged: 0 } }, "checkpoint");
    });
    const again = await open(name);
    expect(again.recovered).toMatchObject({ breaks: 3, damaged: 0 });
    expect(await everything(again, hashes)).toEqual(before);
  });

  it("is made anew from a long journal too", async () => {
    const name = freshName();
    const first = await open(name);
    const work = working("b1");
    for (let i = 0; i < 150; i++) await first.commit(work.edit(addMark(`m${i}`)).commit());
    const before = await first.load("b1");
    await shut(first);
    const journal = await journalOf(name);
    const whole = frameStarts(journal).filter((start, i, all) =>
      new TextDecoder().decode(journal.subarray(start, all[i + 1])).includes(`"record"`),
    );
    expect(whole).toHaveLength(3);
    await throwDatabaseAway(name);
    expect(await (await open(name)).load("b1")).toEqual(before);
  });
});

describe("the end of the browser", () => {
  it("in the middle of a line of the journal leaves what was called saved, and the half line is cut off", async () => {
    const name = freshName();
    const first = await open(name);
    const hashes = await busyBench(first);
    const before = await everything(first, hashes);
    await shut(first);
    const journal = await journalOf(name);
    const last = frameStarts(journal).at(-1) ?? 0;
    for (const torn of [5, 12, journal.length - last - 1]) {
      await replaceJournal(name, new Uint8Array([...journal, ...journal.subarray(last, last + torn)]));
      const again = await open(name);
      expect(again.recovered).toBeNull();
      expect(await everything(again, hashes)).toEqual(before);
      await shut(again);
      expect(await journalOf(name)).toEqual(journal);
    }
  });

  it("between safe and database loses nothing: the next start brings the database up to the safe", async () => {
    const name = freshName();
    const first = await open(name);
    const work = await storeBreakWithPhotograph(first, "b1", 41);
    await shut(first);
    const goBack = await snapshot(name);

    const second = await open(name);
    const original = await newOriginal(jpegBytes(3_000, 42));
    await second.commit(
      work
        .edit({ kind: "add-photograph", side: "takeUp", index: 0, photograph: photograph("late", original) })
        .commit([original]),
    );
    await second.setSetting("late", true);
    const before = await second.load("b1");
    await shut(second);
    await goBack();

    const again = await open(name);
    expect(again.recovered).toBeNull();
    expect(await again.load("b1")).toEqual(before);
    expect(await bytesOf(await again.original(original.hash))).toEqual([...jpegBytes(3_000, 42)]);
    expect(await again.getSetting("late")).toBe(true);
    expect((await again.summaries())[0]?.takeUpEnd.photographs).toBe(1);
    await again.commit(work.edit(addMark("next")).commit());
  });

  it("is no excuse: a change that the database refused is not in the safe either", async () => {
    const name = freshName();
    const store = await open(name);
    const work = await storeBreakWithPhotograph(store, "b1", 43);
    const before = await sizesOf(name);
    const add = Object.getOwnPropertyDescriptor(IDBObjectStore.prototype, "add");
    if (!add) throw new Error("IndexedDB has no add");
    Object.defineProperty(IDBObjectStore.prototype, "add", {
      ...add,
      value(this: IDBObjectStore) {
        this.transaction.abort();
        throw new DOMException("", "QuotaExceededError");
      },
    });
    const commit = work.edit(addMark("m2")).commit([await newOriginal(jpegBytes(2_000, 44))]);
    try {
      expect(await rejection(store.commit(commit))).toMatchObject({ code: "disk-full" });
    } finally {
      Object.defineProperty(IDBObjectStore.prototype, "add", add);
    }
    expect(await sizesOf(name)).toEqual(before);
    expect(await store.commit(commit)).toHaveLength(1);
  });
});

describe("a damaged journal", () => {
  it("gives back everything before and after the damage, and says that a place cannot be read", async () => {
    const name = freshName();
    const first = await open(name);
    const one = working("b1").edit(addMark("m1"));
    await first.commit(one.commit());
    const two = working("b2").edit(addMark("m1"));
    await first.commit(two.commit());
    await first.commit(one.edit(addMark("m2")).commit()); // this frame is damaged
    await first.commit(one.edit(addMark("m3")).commit()); // this one cannot follow without it
    await first.commit(two.edit(addMark("m2")).commit());
    await first.setSetting("kept", "yes");
    const whole = await first.load("b2");
    const kept = (await first.load("b1"))?.log.slice(0, 1);
    await shut(first);
    const journal = await journalOf(name);
    const at = (frameStarts(journal)[2] ?? 0) + 40;
    journal[at] = (journal[at] ?? 0) ^ 1;
    await replaceJournal(name, journal);
    await throwDatabaseAway(name);

    const again = await open(name);
    expect(again.recovered).toEqual({ breaks: 2, entries: 3, damaged: 1 });
    expect(await again.load("b2")).toEqual(whole);
    const cut = await again.load("b1");
    expect(cut?.record.ends.machine.marks.map(({ id }) => id)).toEqual(["m1"]);
    expect(cut?.log).toEqual(kept);
    expect(await again.getSetting("kept")).toBe("yes");
    const [line] = await again.commit(two.edit(addMark("m3")).commit());
    expect(line?.seq).toBe(6);
  });

  it("is completed from the database while that is whole", async () => {
    const name = freshName();
    const first = await open(name);
    const hashes = await busyBench(first);
    const before = await everything(first, hashes);
    await shut(first);
    const journal = await journalOf(name);
    const starts = frameStarts(journal);
    for (const keep of [0, starts[1] ?? 0, starts.at(-6) ?? 0]) {
      await replaceJournal(name, journal.slice(0, keep));
      const again = await open(name);
      expect(again.recovered).toBeNull();
      await shut(again);
      await throwDatabaseAway(name);
      const anew = await open(name);
      expect(anew.recovered).toMatchObject({ breaks: 3, damaged: 0 });
      expect(await everything(anew, hashes)).toEqual(before);
      await shut(anew);
    }
  });

  it("lost with all its originals is begun again, and photographs that are gone can be added again", async () => {
    const name = freshName();
    const first = await open(name);
    const work = await storeBreakWithPhotograph(first, "b1", 51);
    const hash = work.record.ends.machine.photographs[0]?.hash ?? "";
    await shut(first);
    await (await navigator.storage.getDirectory()).removeEntry(`endpair-safe-${name}`, { recursive: true });
    const again = await open(name);
    expect(again.recovered).toEqual({ breaks: 0, entries: 0, damaged: 1 });
    expect((await again.load("b1"))?.record).toEqual(work.record);
    expect([await again.original(hash), (await again.known([hash])).size]).toEqual([null, 0]);
    await again.commit({ entries: [], records: [], originals: [await newOriginal(jpegBytes(4_000, 51))] });
    expect(await bytesOf(await again.original(hash))).toEqual([...jpegBytes(4_000, 51)]);
    await shut(again);
    await throwDatabaseAway(name);
    const anew = await open(name);
    expect((await anew.load("b1"))?.record).toEqual(work.record);
    expect(await bytesOf(await anew.original(hash))).toEqual([...jpegBytes(4_000, 51)]);
  });
});

describe("a bench kept by the first version", () => {
  /** As version 1 left it: originals are blobs in the database, and there is no safe. */
  async function firstVersion(name: string, seeds: readonly number[]) {
    const store = await open();
    const works = [];
    for (const seed of seeds) works.push(await storeBreakWithPhotograph(store, `b${seed}`, seed));
    const [list, breaks] = [
      await store.summaries(),
      await Promise.all(works.map(({ record }) => store.load(record.id))),
    ];
    const [first] = STEPS;
    if (!first) throw new Error("there is a first version");
    const originals = await Promise.all(seeds.map((seed) => newOriginal(jpegBytes(4_000, seed), `b${seed}.jpg`)));
    await inDatabase(
      name,
      async (db) => {
        for (const summary of list) await db.put("summaries", summary);
        for (const one of breaks) {
          if (!one) throw new Error("it was stored");
          await db.put("breaks", one.record);
          for (const entry of one.log) await db.put("log", entry);
        }
        for (const { hash, original: blob, fileName, mediaType } of originals)
          await db.put("originals", { blob, fileName, mediaType }, hash);
        await db.put("settings", { reader: "A. Reader" }, "preferences");
      },
      [first],
    );
    return originals.map(({ hash }) => hash);
  }
  const inSafe = (name: string): Promise<number> =>
    inDatabase(name, async (db) => (await db.getAll("originals")).filter((row) => !("blob" in row)).length);

  it("goes on as it is, its originals move into the safe, and all of it can be had back from there", async () => {
    const name = freshName();
    const hashes = await firstVersion(name, [61, 62, 63]);
    const store = await open(name);
    expect(store.recovered).toBeNull();
    const before = await everything(store, hashes);
    expect(before.breaks.map((one) => one?.log.length)).toEqual([2, 2, 2]);
    expect(before.originals.map((bytes) => bytes?.length)).toEqual([4_000, 4_000, 4_000]);
    await expect.poll(() => inSafe(name)).toBe(3);
    expect(await everything(store, hashes)).toEqual(before);
    expect((await sizesOf(name))["originals-000"]).toBe(12_000);
    await shut(store);
    await throwDatabaseAway(name);
    expect(await everything(await open(name), hashes)).toEqual(before);
  });

  it("closed while they move goes on at the next start", async () => {
    const name = freshName();
    const hashes = await firstVersion(name, [61, 62, 63]);
    await shut(await open(name));
    const store = await open(name);
    await expect.poll(() => inSafe(name)).toBe(3);
    expect((await everything(store, hashes)).originals.map((bytes) => bytes?.length)).toEqual([4_000, 4_000, 4_000]);
  });
});

describe("a tab that only reads", () => {
  it("reads originals while the other tab goes on adding to the same file", async () => {
    const name = freshName();
    const writer = await open(name);
    const work = await storeBreakWithPhotograph(writer, "b1", 71);
    const hash = work.record.ends.machine.photographs[0]?.hash ?? "";
    const reader = await open(name);
    expect([reader.mode, reader.safe]).toEqual(["reader", true]);
    let growing = true;
    const grow = (async () => {
      for (let i = 0; growing; i++)
        await writer.commit(
          working(`g${i}`)
            .edit(addMark("m"))
            .commit([await newOriginal(jpegBytes(50_000, 100 + i))]),
        );
    })();
    for (let i = 0; i < 30; i++) {
      const blob = await reader.original(hash);
      expect(await bytesOf(blob)).toEqual([...jpegBytes(4_000, 71)]);
      expect(blob?.type).toBe("image/jpeg");
    }
    growing = false;
    await grow;
    expect(await bytesOf((await saved(reader, ["b1"])).slice(0, 2))).toEqual([0x50, 0x4b]);
  });
});

describe("a browser without such files", () => {
  it("keeps everything in its database and says that there is no second copy; one day it moves", async () => {
    const name = freshName();
    const real = Object.getOwnPropertyDescriptor(StorageManager.prototype, "getDirectory");
    if (!real) throw new Error("this browser has such files");
    Object.defineProperty(StorageManager.prototype, "getDirectory", { ...real, value: undefined });
    let hash = "";
    try {
      const store = await open(name);
      expect([store.mode, store.safe, store.recovered]).toEqual(["writer", false, null]);
      const work = await storeBreakWithPhotograph(store, "b1", 81);
      hash = work.record.ends.machine.photographs[0]?.hash ?? "";
      await shut(store);
      const again = await open(name);
      expect((await again.load("b1"))?.log.map(({ seq }) => seq)).toEqual([1, 2]);
      expect((await again.commit(work.edit(addMark("m2")).commit()))[0]?.seq).toBe(3);
      expect(await bytesOf(await again.original(hash))).toEqual([...jpegBytes(4_000, 81)]);
      await shut(again);
    } finally {
      Object.defineProperty(StorageManager.prototype, "getDirectory", real);
    }
    const safe = await open(name);
    expect([safe.safe, safe.recovered]).toEqual([true, null]);
    await expect.poll(async () => (await sizesOf(name))["originals-000"]).toBe(4_000);
    expect((await safe.load("b1"))?.log).toHaveLength(3);
    expect(await bytesOf(await safe.original(hash))).toEqual([...jpegBytes(4_000, 81)]);
  });

  it("loses nothing when the files are there, then not, then there again", async () => {
    const name = freshName();
    const first = await open(name);
    const work = await storeBreakWithPhotograph(first, "b1", 82);
    await first.setSetting("preferences", 1);
    await shut(first);
    const real = Object.getOwnPropertyDescriptor(StorageManager.prototype, "getDirectory");
    if (!real) throw new Error("this browser has such files");
    Object.defineProperty(StorageManager.prototype, "getDirectory", { ...real, value: undefined });
    try {
      const without = await open(name);
      await without.commit(work.edit(addMark("without")).commit());
      await without.setSetting("preferences", 2);
      await shut(without);
    } finally {
      Object.defineProperty(StorageManager.prototype, "getDirectory", real);
    }
    const again = await open(name);
    const before = await everything(again, []);
    expect(before.breaks[0]?.log).toHaveLength(3);
    await shut(again);
    await throwDatabaseAway(name);
    const anew = await everything(await open(name), []);
    expect(anew).toEqual(before);
    expect(anew.preferences).toBe(2);
  });
});
