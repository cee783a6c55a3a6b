import { describe, expect, test } from "vitest";
import { applyEdit, type Edit } from "../../model/break/edits.ts";
import { contentKey, historyFrom, startOf } from "../../model/reference/merge/history.ts";
import { mergedRecord } from "../../model/reference/merge/merge.ts";
import type { BenchStore } from "../../web/storage/contract.ts";
import { setSource } from "../../web/storage/exchange-set.ts";
import { editFor, type Dice } from "../model/break/random-breaks.ts";
import {
  begun,
  confirmed,
  contentOf,
  edited,
  judged,
  meets,
  minute,
  realPicture,
  setOf,
  storeRealBreak,
  takenIn,
} from "./exchange-benches.ts";
import {
  bytesOf,
  jpegBytes,
  newOriginal,
  open,
  photograph,
  rejection,
  shut,
  storeBreakWithPhotograph,
} from "./workbench.ts";

const context = (patch: object): Edit => ({ kind: "set-context", patch });

/** Whether log and record of every break belong together: forwards, backwards and merged. */
async function logsLead(store: BenchStore): Promise<void> {
  for (const { id } of await store.summaries()) {
    const { record, log } = (await store.load(id))!;
    const start = startOf(record, log);
    const there = log.reduce((now, { edit, at }) => applyEdit(now, edit, at).next, start);
    expect(contentKey({ ...there, revision: 0 })).toBe(contentKey({ ...record, revision: 0 }));
    const merged = mergedRecord(historyFrom(record, log)).record;
    expect(contentKey({ ...merged, revision: 0, updatedAt: "" })).toBe(
      contentKey({ ...record, revision: 0, updatedAt: "" }),
    );
  }
}

describe("two benches by bench files", () => {
  test("what each did comes to the other, with who did it; a second meeting finds nothing new", async () => {
    const [a, b] = [await open(), await open()];
    await storeBreakWithPhotograph(a, "x", 1);
    expect((await meets(b, a, minute(1))).map((t) => [t.fate, t.originals])).toEqual([["added", 1]]);
    expect(await contentOf(b)).toEqual(await contentOf(a));
    await edited(a, "x", context({ metal: "copper", cast: "K7" }), "AB", minute(5));
    await edited(b, "x", context({ coil: "C1" }), "CD", minute(6));
    const original = await newOriginal(jpegBytes(3000, 7), "second.jpg");
    await edited(
      b,
      "x",
      { kind: "add-photograph", side: "takeUp", index: 0, photograph: photograph("x-q", original) },
      "CD",
      minute(7),
      [original],
    );
    expect((await meets(a, b, minute(8))).map((t) => [t.fate, t.originals])).toEqual([["merged", 1]]);
    expect(await bytesOf(await a.original(original.hash))).toEqual(await bytesOf(original.original));
    expect((await meets(b, a, minute(9))).map((t) => t.fate)).toEqual(["merged"]);
    expect(await contentOf(b)).toEqual(await contentOf(a));
    const { record, log } = (await a.load("x"))!;
    expect(record.context).toMatchObject({ metal: "copper", cast: "K7", coil: "C1" });
    expect(log.at(-1)).toMatchObject({ origin: "import", by: "at this bench" });
    expect(historyFrom(record, log).lines.map(({ by }) => by)).toContain("CD");
    expect((await meets(a, b, minute(10))).map((t) => t.fate)).toEqual(["same"]);
    expect((await a.load("x"))!.log).toEqual(log);
    await logsLead(a);
    await logsLead(b);
  });

  test("a reload keeps it all: the log alone says what stands with two values, until a person settles it", async () => {
    const name = `exchange-${Date.now()}`;
    const a = await open(name);
    const b = await open();
    await begun(a, "x", "B-1", context({ grade: "ETP" }), minute(0));
    await meets(b, a, minute(1));
    await edited(a, "x", context({ metal: "copper" }), "AB", minute(5));
    await edited(b, "x", context({ metal: "steel" }), "CD", minute(6));
    await meets(a, b, minute(8));
    await shut(a);
    const again = await open(name);
    const { record, log } = (await again.load("x"))!;
    expect(mergedRecord(historyFrom(record, log)).conflicts).toEqual([
      {
        field: "context/metal",
        kept: { value: "steel", by: "CD", at: minute(6) },
        others: [{ value: "copper", by: "AB", at: minute(5) }],
      },
    ]);
    await edited(again, "x", context({ metal: "copper" }), "AB", minute(9));
    await meets(b, again, minute(10));
    const there = (await b.load("x"))!;
    expect(there.record.context.metal).toBe("copper");
    expect(mergedRecord(historyFrom(there.record, there.log)).conflicts).toEqual([]);
    await shut(again);
    indexedDB.deleteDatabase(name);
  });

  test("a week offline: random edits on both benches, exchanged in any order; same records, nothing lost", async () => {
    let state = 20260302;
    const roll = (max: number): number => (state = (Math.imul(state, 48271) >>> 0) % 2147483647) % (max + 1);
    const [a, b, c] = [await open(), await open(), await open()];
    const benches = [a, b, c];
    const ids = ["w1", "w2"];
    for (const [i, id] of ids.entries()) await begun(a, id, `B-${i}`, context({ grade: "ETP" }), minute(i));
    for (const other of [b, c]) await meets(other, a, minute(5));
    const done: { id: string; key: string }[] = [];
    for (let day = 1; day <= 5; day++) {
      for (const [n, bench] of benches.entries())
        for (let i = 0; i < 3; i++) {
          const id = ids[roll(1)]!;
          const dice: Dice = [roll(14), roll(97), roll(97), 100_000 * day + 10_000 * n + i, roll(97)];
          const { record } = (await bench.load(id))!;
          const edit =
            i === 2 && day === 3 ? confirmed(`c-${n}`, "central_burst", `P${n}`, minute(0)) : editFor(record, dice);
          const at = minute(1000 * day + 10 * i + n);
          await edited(bench, id, edit, `P${n}`, at);
          done.push({ id, key: contentKey({ edit, by: `P${n}`, at }) });
        }
      const [x, y] = [benches[roll(2)]!, benches[roll(2)]!];
      if (x !== y) await meets(x, y, minute(1000 * day + 900));
    }
    await meets(a, b, minute(9000));
    await meets(c, b, minute(9001));
    await meets(c, a, minute(9002));
    await meets(a, c, minute(9003));
    await meets(b, c, minute(9004));
    const one = await contentOf(a);
    expect(await contentOf(b)).toEqual(one);
    expect(await contentOf(c)).toEqual(one);
    for (const bench of benches) {
      await logsLead(bench);
      for (const id of ids) {
        const { record, log } = (await bench.load(id))!;
        const lines = historyFrom(record, log).lines.map(({ edit, by, at }) => contentKey({ edit, by, at }));
        for (const { key } of done.filter((d) => d.id === id)) expect(lines).toContain(key);
      }
    }
  }, 120_000);
});

describe("another lab's set", () => {
  const lab = async (): Promise<BenchStore> => {
    const store = await open();
    await storeRealBreak(store, "x", 1);
    await storeRealBreak(store, "y", 2);
    for (const id of ["x", "y"])
      await edited(store, id, confirmed(`c-${id}`, "central_burst", "AB", minute(1)), "AB", minute(1));
    return store;
  };

  test("its breaks are added with their photographs and remember the set; a second time all are known", async () => {
    const there = await lab();
    const here = await open();
    await begun(here, "own", "B-x", context({ metal: "copper" }), minute(0));
    const source = await setSource(await setOf(there), "set.zip", {});
    expect(source.says).toMatchObject({
      kind: "set",
      name: "lab-breaks",
      version: "1.0.0",
      creator: "Hollowmoor Wire (invented)",
    });
    expect((await judged(here, source)).map((j) => j.fate)).toEqual(["new", "new"]);
    const taken = await takenIn(here, source, minute(20));
    expect(taken.map((t) => [t.fate, t.number, t.originals, t.lacking])).toEqual([
      ["added", "B-x (2)", 1, []],
      ["added", "B-y", 1, []],
    ]);
    const { record } = (await here.load("y"))!;
    expect(record.cameWith).toEqual([{ ...source.says, by: "at this bench", at: minute(20) }]);
    expect(record.confirmations).toHaveLength(1);
    expect(await bytesOf(await here.original(record.ends.machine.photographs[0]!.hash))).toEqual(
      await bytesOf(new Blob([await realPicture(2)])),
    );
    expect((await judged(here, source)).map((j) => j.fate)).toEqual(["same", "same"]);
    await logsLead(here);
  });

  test("a later version brings what was done since, beside what was done here", async () => {
    const there = await lab();
    const here = await open();
    await takenIn(here, await setSource(await setOf(there), "set.zip", {}), minute(20));
    await edited(here, "x", context({ cast: "ours" }), "EF", minute(30));
    await edited(there, "x", context({ coil: "theirs" }), "AB", minute(40));
    const taken = await takenIn(
      here,
      await setSource(await setOf(there, { version: "1.1.0" }), "set.zip", {}),
      minute(50),
    );
    expect(taken.map((t) => t.fate)).toEqual(["merged", "same"]);
    const { record } = (await here.load("x"))!;
    expect(record.context).toMatchObject({ cast: "ours", coil: "theirs" });
    expect(record.cameWith?.map(({ version }) => version)).toEqual(["1.0.0", "1.1.0"]);
    await logsLead(here);
  });

  test("a lab's own set brings nothing new to it, though people went out under codes", async () => {
    const there = await lab();
    expect((await judged(there, await setSource(await setOf(there), "set.zip", {}))).map((j) => j.fate)).toEqual([
      "same",
      "same",
    ]);
    const zip = await setOf(there);
    await edited(there, "x", context({ coil: "later" }), "AB", minute(40));
    expect((await judged(there, await setSource(zip, "set.zip", {}))).map((j) => j.fate)).toEqual(["same", "same"]);
  });

  test("recorded here a second time from the same photographs: known by them, and nothing is overwritten", async () => {
    const there = await lab();
    const here = await open();
    await begun(here, "mine", "M-1", context({ metal: "steel" }), minute(0));
    const original = await newOriginal(await realPicture(1), "x.png");
    await edited(
      here,
      "mine",
      { kind: "add-photograph", side: "takeUp", index: 0, photograph: photograph("p", original) },
      "EF",
      minute(2),
      [original],
    );
    const before = await here.load("mine");
    const source = await setSource(await setOf(there), "set.zip", {});
    const [x] = await judged(here, source);
    expect(x).toMatchObject({ fate: "apart", knownBy: "photographs", hereNumber: "M-1" });
    expect(x!.fate === "apart" && x!.differing.map((d) => d.field)).toEqual(
      expect.arrayContaining(["number", "context/metal", "end/machine/photographs", "confirmed"]),
    );
    expect((await takenIn(here, source, minute(20), "leave-out")).map((t) => t.fate)).toEqual(["left-out", "added"]);
    expect((await takenIn(here, source, minute(21), "copy")).map((t) => t.fate)).toEqual(["copied", "same"]);
    expect((await judged(here, source)).map((j) => j.fate)).toEqual(["same", "same"]);
    expect(await here.load("mine")).toEqual(before);
  });

  test.each([
    ["a record", /^records\/breaks\//, "hash-mismatch"],
    ["a photograph", /^images\//, "hash-mismatch"],
    ["the list of hashes", /^manifest/, "hash-mismatch"],
  ])("%s changed after it was written: refused before anything is taken", async (_what, path, code) => {
    const there = await lab();
    const spoilt = await setOf(there, {}, (name, bytes) => {
      if (!path.test(name)) return bytes;
      const other = new Uint8Array(bytes);
      const i = name.endsWith(".txt") ? 3 : bytes.length - 2;
      other[i] = other[i] === 48 ? 49 : 48;
      return other;
    });
    expect(await rejection(setSource(spoilt, "set.zip", {}))).toMatchObject({ code });
  });

  test("a set without records is told what to do with its pictures", async () => {
    const there = await lab();
    const refused = await rejection(setSource(await setOf(there, { withRecords: false }), "set.zip", {}));
    expect(refused).toMatchObject({ code: "not-a-bench-file" });
    expect(String((refused as Error).message)).toContain("Marks of pictures");
  });
});
