import { describe, expect, it } from "vitest";
import { commands } from "vitest/browser";
import { sha256Hex } from "../../web/storage/canonical.ts";
import { HASH_LIST_PATH, MANIFEST_PATH } from "../../web/storage/bench-file-format.ts";
import type { BenchStore } from "../../web/storage/contract.ts";
import { IMPORT_UNDER_WAY } from "../../web/storage/import-bench.ts";
import { newBreak } from "../../model/break/new-break.ts";
import { pack, pathIn, saved, seal, text, unpack } from "./forge.ts";
import { edited } from "./exchange-benches.ts";
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
  storeBreakWithPhotograph,
  Working,
  working,
} from "./workbench.ts";

interface Checked {
  readonly unzip: number;
  readonly sums: number;
  readonly list: string[];
}
/** Exit codes of the two programs and the files the second one looked at; null where the machine lacks them. */
const checkedByOthers = (bytes: Uint8Array): Promise<Checked | null> =>
  (commands as unknown as { checkedByOthers(base64: string): Promise<Checked | null> }).checkedByOthers(
    btoa(Array.from(bytes, (byte) => String.fromCharCode(byte)).join("")),
  );

const indexOf = (bytes: Uint8Array, part: Uint8Array): number => {
  for (let at = 0; at + part.length <= bytes.length; at++)
    if (part.every((byte, i) => bytes[at + i] === byte)) return at;
  throw new Error("it is not in there");
};

const BY = "B. Importer";
const LATER = "2026-03-03T09:00:00Z";
const NOTHING = { added: [], same: [], merged: [], differing: [], originals: 0, settings: null };

/** A break "b1" that was begun on this bench and nowhere else. */
async function beginApart(store: BenchStore, seed: number): Promise<void> {
  const original = await newOriginal(jpegBytes(4_000, seed), `${seed}.jpg`);
  const begun = new Working(newBreak("b1", "B-b1", `2026-03-01T08:00:${String(seed).padStart(2, "0")}Z`));
  const photographs = {
    kind: "add-photograph",
    side: "machine",
    index: 0,
    photograph: photograph("p", original),
  } as const;
  await store.commit(begun.edit(photographs).commit([original]));
}

describe("a bench file", () => {
  it("taken over by an empty bench and saved again is the same: records, originals, manifest", async () => {
    const first = await open();
    const work = await storeBreakWithPhotograph(first, "b1", 11);
    const [made] = await first.commit(work.edit(addMark("m2")).commit());
    if (!made?.inverse) throw new Error("adding a mark has an inverse");
    await first.commit(work.edit(made.inverse, "undo", made.seq).commit());
    const other = await storeBreakWithPhotograph(first, "strange id/..", 12);
    await first.commit({
      entries: [],
      records: other.commit().records.map((one) => ({ ...one, summary: { ...one.summary, suggested: "torsion" } })),
    });
    const file = await saved(first);

    const second = await open();
    await second.commit(working("of its own").edit(addMark("m1")).commit());
    const report = await second.importBench(file, BY, LATER);
    expect(report).toEqual({ ...NOTHING, added: ["B-b1", "B-strange id/.."], originals: 2 });
    expect((await second.load("b1"))?.record).toEqual(work.record);
    const log = (await second.load("b1"))?.log ?? [];
    expect(log.map(({ origin, of }) => [origin, of])).toEqual([
      ["reader", null],
      ["reader", null],
      ["reader", null],
      ["undo", log[2]?.seq],
    ]);
    expect((await second.summaries()).find(({ id }) => id === other.record.id)?.suggested).toBe("torsion");

    const again = await saved(second, ["b1", "strange id/.."]);
    expect(await bytesOf(again)).toEqual(await bytesOf(file));
    const hash = work.record.ends.machine.photographs[0]?.hash ?? "";
    expect(await bytesOf(await second.original(hash))).toEqual([...jpegBytes(4_000, 11)]);
    expect(await second.lackingCopies()).toHaveLength(2);
    await second.addCopies([{ hash, thumbnail: new Blob(["t"]), working: null }]);
    expect(await second.lackingCopies()).not.toContain(hash);
    expect(await second.getSetting(IMPORT_UNDER_WAY)).toBeUndefined();
  });

  it("lists the hash of every file as sha256sum does", async () => {
    const store = await open();
    await storeBreakWithPhotograph(store, "b1", 4);
    const files = await unpack(await saved(store));
    const lines = text(files, HASH_LIST_PATH).trimEnd().split("\n");
    expect(lines).toHaveLength(3);
    for (const line of lines) {
      const [, hash, path] = /^([0-9a-f]{64}) {2}(\S+)$/.exec(line) ?? [];
      expect(await sha256Hex(files.get(path ?? "") ?? new Uint8Array())).toBe(hash);
    }
    expect(JSON.parse(text(files, MANIFEST_PATH))).toMatchObject({
      format: "endpair-bench",
      version: 1,
      createdAt: AT,
      counts: { breaks: 1, originals: 1 },
    });
  });

  it("is found whole by unzip, and by sha256sum with the list it carries", async () => {
    const store = await open();
    await storeBreakWithPhotograph(store, "b1", 4);
    await storeBreakWithPhotograph(store, "strange id/..", 5);
    const bytes = new Uint8Array(await (await saved(store)).arrayBuffer());
    const whole = await checkedByOthers(bytes);
    if (whole === null) {
      console.warn("Not checked: this machine has no unzip or no sha256sum.");
      return;
    }
    expect(whole.unzip).toBe(0);
    expect(whole.list.sort()).toEqual(
      [...(await unpack(new Blob([bytes]))).keys()].filter((path) => path !== HASH_LIST_PATH).sort(),
    );
    expect(whole.sums).toBe(0);
    // Photographs lie in the file unpacked, so that a flipped byte of one reaches both programs.
    const at = indexOf(bytes, jpegBytes(4_000, 4)) + 1_000;
    bytes[at] = (bytes[at] ?? 0) ^ 1;
    const harmed = await checkedByOthers(bytes);
    expect([harmed?.unzip, harmed?.sums]).toEqual([2, 1]);
  });

  it("of a selection holds those breaks and their photographs only", async () => {
    const store = await open();
    await storeBreakWithPhotograph(store, "b1", 4);
    await storeBreakWithPhotograph(store, "b2", 5);
    const files = await unpack(await saved(store, ["b2"]));
    expect([...files.keys()].filter((path) => path.startsWith("breaks/"))).toEqual(["breaks/b2.json"]);
    expect([...files.keys()].filter((path) => path.startsWith("originals/"))).toHaveLength(1);
    expect(await rejection(saved(store, ["b9"]))).toMatchObject({ code: "missing-entry" });
  });

  it("carries a photograph that was taken out, so that undo can bring it back", async () => {
    const store = await open();
    const original = await newOriginal(jpegBytes(500, 9));
    const work = working("b1")
      .edit({ kind: "add-photograph", side: "machine", index: 0, photograph: photograph("p", original) })
      .edit({ kind: "remove-photograph", photographId: "p" });
    await store.commit(work.commit([original]));
    const second = await open();
    await second.importBench(await saved(store), BY, LATER);
    expect(await second.known([original.hash])).toEqual(new Set([original.hash]));
  });

  it("names a photograph whose bytes changed on the disk, and saves the rest", async () => {
    const store = await open();
    await storeBreakWithPhotograph(store, "b1", 4);
    const claimed = { ...(await newOriginal(jpegBytes(700, 5))), original: new Blob([jpegBytes(700, 6)]) };
    const work = working("b2").edit({
      kind: "add-photograph",
      side: "machine",
      index: 0,
      photograph: photograph("p", claimed),
    });
    await store.commit(work.commit([claimed]));
    const chunks: Uint8Array<ArrayBuffer>[] = [];
    const report = await store.exportBench(
      null,
      new WritableStream({ write: (chunk) => void chunks.push(new Uint8Array(chunk)) }),
    );
    expect(report).toEqual({
      breaks: 2,
      originals: 1,
      missing: [{ number: "B-b2", fileName: "end.jpg", hash: claimed.hash, why: "damaged" }],
    });
    const second = await open();
    expect((await second.importBench(new Blob(chunks), BY, LATER)).added).toEqual(["B-b1", "B-b2"]);
    expect(await second.original(claimed.hash)).toBeNull();
  });

  it("with text that looks like markup keeps it as text", async () => {
    const store = await open();
    const note = `<img src=x onerror="alert(1)"><script>alert(2)</script>`;
    await store.commit(
      working("b1", note)
        .edit({ kind: "set-context", patch: { notes: note } })
        .commit(),
    );
    const second = await open();
    await second.importBench(await saved(store), BY, LATER);
    const record = (await second.load("b1"))?.record;
    expect([record?.number, record?.context.notes]).toEqual([note, note]);
  });

  it("packed anew by another program is still read", async () => {
    const store = await open();
    const work = await storeBreakWithPhotograph(store, "b1", 4);
    const second = await open();
    await second.importBench(await pack(await unpack(await saved(store)), 9), BY, LATER);
    expect((await second.load("b1"))?.record).toEqual(work.record);
  });
});

describe("merging", () => {
  it("of an earlier state finds nothing new, and overwrites nothing", async () => {
    const store = await open();
    const work = await storeBreakWithPhotograph(store, "b1", 4);
    await storeBreakWithPhotograph(store, "b2", 5);
    const earlier = await saved(store);
    await store.commit(work.edit(addMark("m2")).commit());
    const mine = await store.load("b1");
    const report = await store.importBench(earlier, BY, LATER);
    expect(report).toEqual({ ...NOTHING, same: ["B-b1", "B-b2"] });
    expect(await store.load("b1")).toEqual(mine);
  });

  it("of a later state brings what is new there to what was done here meanwhile", async () => {
    const store = await open();
    await storeBreakWithPhotograph(store, "b1", 4);
    const earlier = await saved(store);
    const other = await open();
    await other.importBench(earlier, BY, LATER);
    await edited(other, "b1", addMark("m-there"), BY, LATER);
    await edited(store, "b1", addMark("m-here"), BY, LATER);
    const report = await store.importBench(await saved(other), BY, LATER);
    expect(report).toEqual({ ...NOTHING, merged: [{ id: "b1", number: "B-b1", unsettled: false }] });
    const after = await store.load("b1");
    expect(after?.record.ends.machine.marks.map(({ id }) => id).sort()).toEqual(["b1-m", "m-here", "m-there"]);
    expect(after?.log.at(-1)).toMatchObject({ origin: "import", by: BY, at: LATER, edit: { kind: "take-over" } });
    expect(after?.log.at(-1)?.revision).toBe(after?.record.revision);
    expect(await store.importBench(await saved(other), BY, LATER)).toEqual({ ...NOTHING, same: ["B-b1"] });
    expect((await store.summaries()).map(({ number }) => number)).toEqual(["B-b1"]);
  });

  it("says which breaks stand with two values of a field", async () => {
    const store = await open();
    await storeBreakWithPhotograph(store, "b1", 4);
    const other = await open();
    await other.importBench(await saved(store), BY, LATER);
    await edited(other, "b1", { kind: "set-context", patch: { metal: "copper" } }, BY, LATER);
    await edited(store, "b1", { kind: "set-context", patch: { metal: "aluminium" } }, BY, LATER);
    const report = await store.importBench(await saved(other), BY, LATER);
    expect(report.merged).toEqual([{ id: "b1", number: "B-b1", unsettled: true }]);
  });

  it("of a break that began by itself under the same identifier makes a copy under a new number, once", async () => {
    const store = await open();
    await beginApart(store, 4);
    const other = await open();
    await beginApart(other, 6);
    const mine = await store.load("b1");
    const file = await saved(other);
    const report = await store.importBench(file, BY, LATER);
    expect(report).toEqual({ ...NOTHING, differing: [{ number: "B-b1", importedAs: "B-b1 (2)" }], originals: 1 });
    expect(await store.load("b1")).toEqual(mine);
    const listed = await store.summaries();
    expect(listed.map(({ number }) => number).sort()).toEqual(["B-b1", "B-b1 (2)"]);
    const copy = await store.load(listed.find(({ number }) => number === "B-b1 (2)")?.id ?? "");
    expect(copy?.log.at(-1)).toMatchObject({ origin: "import", by: BY, at: LATER, edit: { number: "B-b1 (2)" } });
    expect(copy?.log.at(-1)?.revision).toBe(copy?.record.revision);
    expect(await store.importBench(file, BY, LATER)).toEqual({ ...NOTHING, same: ["B-b1"] });
  });

  it("of two such breaks gives each its own number", async () => {
    const store = await open();
    await beginApart(store, 4);
    const files = [];
    for (const seed of [6, 7]) {
      const other = await open();
      await beginApart(other, seed);
      files.push(await saved(other));
    }
    await store.importBench(files[0]!, BY, LATER);
    const report = await store.importBench(files[1]!, BY, LATER);
    expect(report.differing).toEqual([{ number: "B-b1", importedAs: "B-b1 (3)" }]);
  });

  it("is told to the other tabs", async () => {
    const name = freshName();
    const writer = await open(name);
    const reader = await open(name);
    const source = await open();
    await storeBreakWithPhotograph(source, "b1", 4);
    const heard = new Promise((resolve) => reader.subscribe(resolve));
    await writer.importBench(await saved(source), BY, LATER);
    expect(await heard).toEqual({ kind: "changed", breakIds: ["b1"] });
    expect(await rejection(reader.importBench(await saved(source), BY, LATER))).toMatchObject({ code: "read-only" });
  });
});

describe("long work", () => {
  it("tells how far it is, to the end", async () => {
    const store = await open();
    await storeBreakWithPhotograph(store, "b1", 4);
    await storeBreakWithPhotograph(store, "b2", 5);
    const steps: string[] = [];
    await store.exportBench(null, new WritableStream(), {
      onProgress: ({ done, total, what }) => steps.push(`${what} ${done}/${total}`),
    });
    expect(steps).toEqual(["breaks 1/2", "breaks 2/2", "photographs 1/2", "photographs 2/2"]);
  });

  it("cancelled while saving ends the file as unfinished", async () => {
    const store = await open();
    await storeBreakWithPhotograph(store, "b1", 4);
    await storeBreakWithPhotograph(store, "b2", 5);
    const stop = new AbortController();
    let aborted = false;
    const to = new WritableStream<Uint8Array>({
      abort() {
        aborted = true;
      },
    });
    const work = { signal: stop.signal, onProgress: () => stop.abort() };
    expect(await rejection(store.exportBench(null, to, work))).toMatchObject({ code: "cancelled" });
    expect(aborted).toBe(true);
  });

  it("ends with the reason when the other disk is full while saving", async () => {
    const store = await open();
    await storeBreakWithPhotograph(store, "b1", 4);
    const to = new WritableStream<Uint8Array>({
      write() {
        throw new DOMException("", "QuotaExceededError");
      },
    });
    expect(await rejection(store.exportBench(null, to))).toMatchObject({ code: "disk-full" });
  });

  it("cancelled while taking over leaves whole breaks only, and the rest follows when it is started again", async () => {
    const source = await open();
    for (const i of [1, 2, 3]) await storeBreakWithPhotograph(source, `b${i}`, i);
    const file = await saved(source);
    const store = await open();
    const stop = new AbortController();
    const failure = await rejection(
      store.importBench(file, BY, LATER, {
        signal: stop.signal,
        onProgress: ({ what, done }) => {
          if (what === "breaks" && done === 1) stop.abort();
        },
      }),
    );
    expect(failure).toMatchObject({ name: "BenchFileError", code: "cancelled" });
    expect((await store.summaries()).map(({ id }) => id)).toEqual(["b1"]);
    expect(await store.load("b1")).toMatchObject({ log: { length: 2 } });
    expect(await store.getSetting(IMPORT_UNDER_WAY)).toMatchObject({ by: BY });
    const report = await store.importBench(file, BY, LATER);
    expect([report.same, report.added]).toEqual([["B-b1"], ["B-b2", "B-b3"]]);
    expect(await store.getSetting(IMPORT_UNDER_WAY)).toBeUndefined();
  });
});

describe("a sealed file", () => {
  it("made by the forger of these tests is taken over when nothing was forged", async () => {
    const store = await open();
    await storeBreakWithPhotograph(store, "b1", 4);
    const files = await unpack(await saved(store));
    expect(pathIn(files, "breaks/")).toBe("breaks/b1.json");
    const second = await open();
    expect((await second.importBench(await pack(await seal(files)), BY, LATER)).added).toEqual(["B-b1"]);
  });
});
