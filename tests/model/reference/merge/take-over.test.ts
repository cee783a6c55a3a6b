import { describe, expect, test } from "vitest";
import { applyEdit, type Edit } from "../../../../model/break/edits.ts";
import { originalsOfEdit } from "../../../../model/break/originals.ts";
import type { WireBreak } from "../../../../model/break/wire-break.ts";
import { between } from "../../../../model/reference/merge/between.ts";
import { contentKey, historyFrom, type LoggedEdit, startOf } from "../../../../model/reference/merge/history.ts";
import { mergedRecord } from "../../../../model/reference/merge/merge.ts";
import { settlingEdit } from "../../../../model/reference/merge/settle.ts";
import { takeOver } from "../../../../model/reference/merge/take-over.ts";
import {
  confirmation,
  type Dice,
  dice,
  editFor,
  mark,
  photograph,
  secondReading,
  startBreak,
} from "../../break/random-breaks.ts";
import fc from "../../../properties.ts";

const time = (minute: number) => new Date(Date.UTC(2026, 2, 2, 8, minute)).toISOString();

/** What a bench keeps of a break: the record and the log that leads to it. */
interface Kept {
  readonly record: WireBreak;
  readonly log: readonly LoggedEdit[];
}
const empty: Kept = { record: startBreak(), log: [] };

function done({ record, log }: Kept, edit: Edit, by: string, at: string): Kept {
  const { next, inverse } = applyEdit(record, edit, at);
  return { record: next, log: [...log, { edit, inverse, by, at }] };
}
function worked(from: Kept, throws: readonly Dice[], by: string, bench: number, day: number): Kept {
  return throws.reduce((now, [kind, a, c, fresh, d], i) => {
    const name = `${bench}-${day}-${i}`;
    const edit =
      fresh % 11 === 3
        ? ({ kind: "add-confirmation", confirmation: confirmation(`c-${name}`) } as const)
        : fresh % 11 === 5
          ? ({ kind: "add-reading", reading: secondReading(`r-${name}`) } as const)
          : editFor(now.record, [kind, a, c, fresh + 10_000 * bench + 100_000 * day, d]);
    return done(now, edit, by, time(day * 1000 + 3 * i + bench));
  }, from);
}
/** One bench takes over what another has. */
function met(here: Kept, there: Kept, at: number): Kept {
  const { edit } = takeOver(here.record, here.log, historyFrom(there.record, there.log));
  return edit === null ? here : done(here, edit, "at this bench", time(at));
}
const content = ({ record }: Kept): object => ({ ...record, revision: 0, updatedAt: "" });
const replayed = ({ record, log }: Kept): WireBreak =>
  log.reduce((now, { edit, at }) => applyEdit(now, edit, at).next, startOf(record, log));

const throws = fc.array(dice, { maxLength: 8 });

describe("a log that takes others over", () => {
  test("benches that meet in any order end with one record; each log leads to it and back to the beginning", () => {
    fc.assert(
      fc.property(
        throws,
        fc.array(fc.tuple(throws, throws, throws, fc.nat({ max: 5 })), { maxLength: 3 }),
        (first, days) => {
          const common = worked(empty, first, "AB", 0, 0);
          let benches: Kept[] = [common, common, common];
          days.forEach(([a, b, c, order], i) => {
            const day = i + 1;
            benches = [a, b, c].map((list, n) => worked(benches[n]!, list, ["AB", "CD", "EF"][n]!, n + 1, day));
            // Each day two of the three meet, one way or both.
            const [x, y] = [
              [0, 1],
              [1, 2],
              [2, 0],
            ][order % 3] as [number, number];
            benches[x] = met(benches[x]!, benches[y]!, day * 1000 + 900);
            if (order > 2) benches[y] = met(benches[y]!, benches[x], day * 1000 + 901);
          });
          // At the end everybody meets everybody, in two different orders.
          const [a, b, c] = benches as [Kept, Kept, Kept];
          const a2 = met(met(a, b, 9000), c, 9001);
          const c2 = met(met(c, b, 9002), a, 9003);
          const b2 = met(b, a2, 9004);
          expect(content(c2)).toEqual(content(a2));
          expect(content(b2)).toEqual(content(a2));
          for (const bench of [a2, b2, c2]) {
            expect(replayed(bench)).toEqual(bench.record);
            expect(startOf(bench.record, bench.log)).toEqual(startBreak());
            const history = historyFrom(bench.record, bench.log);
            expect(mergedRecord(history).record).toEqual({
              ...bench.record,
              revision: expect.anything() as number,
              updatedAt: expect.anything() as string,
            });
            // Nothing is lost: every edit of every bench is in every log.
            const edits = new Set(history.lines.map(({ edit, by, at }) => contentKey({ edit, by, at })));
            for (const { edit, by, at } of [a, b, c].flatMap((one) => one.log))
              if (edit.kind !== "take-over") expect(edits.has(contentKey({ edit, by, at }))).toBe(true);
          }
          // Once they have met, nothing goes back and forth.
          expect(met(a2, c2, 9005)).toBe(a2);
          expect(met(c2, b2, 9006)).toBe(c2);
        },
      ),
      { numRuns: 60 },
    );
  }, 120_000);

  test("the log grows by what was done, not by how often benches met", () => {
    let [a, b] = [empty, empty];
    for (let day = 1; day <= 40; day++) {
      a = done(a, { kind: "set-context", patch: { notes: `a ${day}` } }, "AB", time(100 * day));
      b = done(b, { kind: "set-context", patch: { cast: `b ${day}` } }, "CD", time(100 * day + 1));
      a = met(a, b, 100 * day + 2);
      b = met(b, a, 100 * day + 3);
    }
    expect(content(a)).toEqual(content(b));
    expect(historyFrom(a.record, a.log).lines).toHaveLength(80);
    expect(JSON.stringify(a.log).length).toBeLessThan(40 * 1500);
  });

  test("photographs of others are named among the originals their lines need", () => {
    const there = done(
      empty,
      { kind: "add-photograph", side: "machine", index: 0, photograph: photograph("p1") },
      "CD",
      time(1),
    );
    const { edit } = takeOver(startBreak(), [], historyFrom(there.record, there.log));
    expect(originalsOfEdit(edit!).map(({ hash }) => hash)).toEqual([photograph("p1").hash]);
  });
});

test("between any two records of a break lie edits that lead from one to the other and back", () => {
  fc.assert(
    fc.property(throws, throws, throws, (first, a, b) => {
      const common = worked(empty, first, "AB", 0, 0);
      const [x, y] = [worked(common, a, "AB", 1, 1).record, worked(common, b, "CD", 2, 1).record];
      const from = { ...x, confirmations: [], revision: 0, updatedAt: "" };
      const to = { ...y, confirmations: [], revision: 0, updatedAt: "" };
      delete (from as { readings?: unknown }).readings;
      delete (to as { readings?: unknown }).readings;
      const { edits, back } = between(from, to);
      const apply = (record: WireBreak, list: readonly Edit[]): WireBreak => ({
        ...list.reduce((now, edit) => applyEdit(now, edit, "").next, record),
        revision: 0,
      });
      expect(apply(from, edits)).toEqual(to);
      expect(apply(to, back)).toEqual(from);
    }),
    { numRuns: 150 },
  );
});

describe("settling what stands with several values", () => {
  const common = [
    { kind: "add-photograph", side: "machine", index: 0, photograph: photograph("p1") },
    { kind: "add-mark", side: "machine", index: 0, mark: mark("m1", { photographId: "p1" }) },
  ] as const satisfies readonly Edit[];
  const begun = common.reduce<Kept>((now, edit, i) => done(now, edit, "AB", time(i)), empty);
  const both = (mine: readonly Edit[], theirs: readonly Edit[]): Kept => {
    const a = mine.reduce((now, edit, i) => done(now, edit, "AB", time(10 + i)), begun);
    const b = theirs.reduce((now, edit, i) => done(now, edit, "CD", time(20 + i)), begun);
    return met(a, b, 30);
  };
  const open = ({ record, log }: Kept) => mergedRecord(historyFrom(record, log));

  test.each<[string, readonly Edit[], readonly Edit[], unknown, (b: WireBreak) => unknown]>([
    [
      "context/metal",
      [{ kind: "set-context", patch: { metal: "copper" } }],
      [{ kind: "set-context", patch: { metal: "steel" } }],
      "copper",
      (b) => b.context.metal,
    ],
    [
      "context/metal",
      [{ kind: "set-context", patch: { metal: "copper" } }],
      [{ kind: "set-context", patch: { metal: "steel" } }],
      "steel",
      (b) => b.context.metal,
    ],
    ["number", [{ kind: "set-number", number: "X" }], [{ kind: "set-number", number: "Y" }], "X", (b) => b.number],
    [
      "end/machine/note",
      [{ kind: "set-end", side: "machine", patch: { note: "x" } }],
      [{ kind: "set-end", side: "machine", patch: { note: "y" } }],
      "x",
      (b) => b.ends.machine.note,
    ],
    [
      "mark/m1/note",
      [{ kind: "set-mark", markId: "m1", patch: { note: "x" } }],
      [{ kind: "set-mark", markId: "m1", patch: { note: "y" } }],
      "y",
      (b) => b.ends.machine.marks[0]!.note,
    ],
    [
      "mark/m1",
      [{ kind: "remove-mark", markId: "m1" }],
      [{ kind: "set-mark", markId: "m1", patch: { note: "y" } }],
      undefined,
      (b) => b.ends.machine.marks[0],
    ],
    [
      "photograph/p1/light",
      [{ kind: "set-photograph", photographId: "p1", patch: { light: "ring" } }],
      [{ kind: "set-photograph", photographId: "p1", patch: { light: "dark field" } }],
      "ring",
      (b) => b.ends.machine.photographs[0]!.light,
    ],
  ])("%s: the person's word is the record's, on every bench, and it is settled", (field, mine, theirs, value, of) => {
    const a = both(mine, theirs);
    expect(open(a).conflicts.map((c) => c.field)).toContain(field);
    const edit = settlingEdit(open(a), field, value)!;
    const settled = done(a, edit, "AB", time(40));
    expect(of(settled.record)).toEqual(value);
    expect(open(settled).conflicts).toEqual([]);
    const b = met(
      theirs.reduce((now, one, i) => done(now, one, "CD", time(20 + i)), begun),
      settled,
      50,
    );
    expect([of(b.record), open(b).conflicts]).toEqual([value, []]);
  });

  test("what was taken out on the other bench can be said to stay", () => {
    const a = both([{ kind: "remove-mark", markId: "m1" }], [{ kind: "set-mark", markId: "m1", patch: { note: "y" } }]);
    const [conflict] = open(a).conflicts;
    const settled = done(a, settlingEdit(open(a), "mark/m1", conflict!.kept.value)!, "AB", time(40));
    expect(settled.record.ends.machine.marks.map(({ id }) => id)).toEqual(["m1"]);
    expect(open(settled).conflicts).toEqual([]);
  });

  test("a field of a photograph that has gone meanwhile has no edit", () => {
    expect(settlingEdit({ record: startBreak(), swapped: false }, "photograph/p9/light", "x")).toBeNull();
    expect(settlingEdit({ record: startBreak(), swapped: false }, "mark/m9", undefined)).toBeNull();
    expect(settlingEdit({ record: startBreak(), swapped: false }, "createdAt", "x")).toBeNull();
  });
});

test("two benches that brought different sets in came with both, in the order of time", () => {
  const source = (name: string, minute: number) =>
    ({
      kind: "set",
      name,
      version: "1.0.0",
      licence: "CC-BY-4.0",
      creator: null,
      sha256: null,
      by: "AB",
      at: time(minute),
    }) as const;
  const a = done(empty, { kind: "set-came-with", list: [source("late", 9)] }, "AB", time(9));
  const b = done(empty, { kind: "set-came-with", list: [source("early", 5)] }, "CD", time(5));
  expect(met(a, b, 20).record.cameWith?.map(({ name }) => name)).toEqual(["early", "late"]);
});
