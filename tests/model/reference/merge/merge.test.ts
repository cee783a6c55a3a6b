import { describe, expect, test } from "vitest";
import { applyEdit, type Edit } from "../../../../model/break/edits.ts";
import { parseWireBreak } from "../../../../model/break/record-schema.ts";
import type { WireBreak } from "../../../../model/break/wire-break.ts";
import {
  contentKey,
  continued,
  type History,
  type HistoryEntry,
  MergeError,
  mergeHistories,
  startOf,
} from "../../../../model/reference/merge/history.ts";
import { mergedRecord } from "../../../../model/reference/merge/merge.ts";
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

/** Edits of one bench on a break, each at a minute of its own; identifiers differ between benches as random ones do. */
function work(from: WireBreak, throws: readonly Dice[], by: string, bench: number): readonly HistoryEntry[] {
  let now = from;
  return throws.map(([kind, a, c, fresh, d], i) => {
    const edit = lineFor(`${bench}-${i}-${fresh}`, fresh) ?? editFor(now, [kind, a, c, fresh + 10_000 * bench, d]);
    const at = time(3 * i + bench);
    now = applyEdit(now, edit, at).next;
    return { edit, by, at };
  });
}
/** Now and then a line of one of the two histories that are only ever added to. */
function lineFor(name: string, fresh: number): Edit | null {
  if (fresh % 11 === 3) return { kind: "add-confirmation", confirmation: confirmation(`c-${name}`) };
  return fresh % 11 === 5 ? { kind: "add-reading", reading: secondReading(`r-${name}`) } : null;
}
const replay = (start: WireBreak, chain: readonly HistoryEntry[]): WireBreak =>
  chain.reduce((now, { edit, at }) => applyEdit(now, edit, at).next, start);

const throws = (maxLength: number) => fc.array(dice, { maxLength });
/** A common beginning, then three benches on their own. */
const benches = fc.tuple(throws(12), throws(12), throws(12), throws(12)).map(([common, a, b, c]) => {
  const start = startBreak();
  const shared = work(start, common, "AB", 0);
  const parted = replay(start, shared);
  const own = (list: readonly Dice[], by: string, bench: number): History =>
    continued({ start, lines: [] }, [...shared, ...work(parted, list, by, bench)]);
  return {
    start,
    shared: continued({ start, lines: [] }, shared),
    all: [own(a, "AB", 1), own(b, "CD", 2), own(c, "EF", 3)] as const,
  };
});
const later = (chain: readonly HistoryEntry[], minutes: number): readonly HistoryEntry[] =>
  chain.map((entry) => ({ ...entry, at: new Date(Date.parse(entry.at) + 60_000 * minutes).toISOString() }));

describe("what must hold however benches work", () => {
  test("one bench: what replaying its edits gives", () => {
    fc.assert(
      fc.property(throws(40), (list) => {
        const start = startBreak();
        const chain = work(start, list, "AB", 1);
        const { record, conflicts, log } = mergedRecord(continued({ start, lines: [] }, chain));
        expect(record).toEqual(replay(start, chain));
        expect(conflicts).toEqual([]);
        expect(log).toEqual(chain);
      }),
      { numRuns: 60 },
    );
  });

  test("any order and any grouping give the same record, log and conflicts; the record is a right one", () => {
    fc.assert(
      fc.property(benches, ({ all: [a, b, c] }) => {
        const one = mergedRecord(mergeHistories(mergeHistories(a, b), c));
        for (const other of [
          mergeHistories(a, mergeHistories(b, c)),
          mergeHistories(mergeHistories(c, a), b),
          mergeHistories(c, mergeHistories(b, a)),
          mergeHistories(mergeHistories(a, b), mergeHistories(b, mergeHistories(c, a))),
        ])
          expect(mergedRecord(other)).toEqual(one);
        expect(parseWireBreak(JSON.parse(JSON.stringify(one.record)))).toEqual(JSON.parse(JSON.stringify(one.record)));
      }),
      { numRuns: 60 },
    );
  }, 120_000);

  test("nothing is lost: every edit is in the log, every value a bench ended with is in the record or a conflict", () => {
    fc.assert(
      fc.property(benches, ({ start, all: [a, b] }) => {
        const { record, log, conflicts } = mergedRecord(mergeHistories(a, b));
        for (const entry of [...editsOf(a), ...editsOf(b)]) expect(log.map(contentKey)).toContain(contentKey(entry));
        expect(log).toHaveLength(new Set([...editsOf(a), ...editsOf(b)].map(contentKey)).size);
        const rivals = new Map(
          conflicts.map((c) => [c.field, [c.kept, ...c.others].map((r) => contentKey([r.value]))]),
        );
        for (const key of ["metal", "notes"] as const) {
          const [x, y] = [a, b].map((h) => replay(start, editsOf(h)).context[key]);
          const kept = contentKey([record.context[key]]);
          const told = [kept, ...(rivals.get(`context/${key}`) ?? [])];
          const common = contentKey([startShared(a, b, start).context[key]]);
          for (const value of [x, y].map((v) => contentKey([v]))) if (value !== common) expect(told).toContain(value);
        }
      }),
      { numRuns: 40 },
    );
  });

  test("an older copy of the same bench adds nothing", () => {
    fc.assert(
      fc.property(benches, ({ start, shared, all: [a] }) => {
        const whole = mergedRecord(a);
        expect(mergedRecord(mergeHistories(a, shared))).toEqual(whole);
        expect(mergedRecord(mergeHistories({ start, lines: [] }, a))).toEqual(whole);
        expect(mergeHistories(a, a)).toEqual(a);
      }),
      { numRuns: 30 },
    );
  });

  test("a week: benches take each other's work over at different times, go on, and agree when they meet again", () => {
    fc.assert(
      fc.property(benches, throws(8), throws(8), throws(8), ({ all: [a, b, c] }, more, other, last) => {
        const on = (h: History, list: readonly Dice[], by: string, bench: number, minutes: number): History =>
          continued(h, later(work(mergedRecord(h).record, list, by, bench), minutes));
        // Monday: a takes b over. b knows nothing of it and goes on. Wednesday: b takes a over, with all it holds.
        const a2 = on(mergeHistories(a, b), more, "AB", 4, 600);
        const b2 = on(b, other, "CD", 5, 600);
        const b3 = on(mergeHistories(b2, a2), last, "CD", 6, 1200);
        const one = mergedRecord(mergeHistories(mergeHistories(a2, b3), c));
        expect(mergedRecord(mergeHistories(c, mergeHistories(b3, a2)))).toEqual(one);
        // b3 knew all of a2: alone with c it says the same.
        expect(mergedRecord(mergeHistories(c, b3))).toEqual(one);
        expect(mergedRecord(mergeHistories(a2, b3))).toEqual(mergedRecord(b3));
        const edits = [a2, b3, c].flatMap(editsOf).map(contentKey);
        expect(new Set(one.log.map(contentKey))).toEqual(new Set(edits));
        expect(() => parseWireBreak(JSON.parse(JSON.stringify(one.record)))).not.toThrow();
      }),
      { numRuns: 25 },
    );
  }, 120_000);
});

const editsOf = ({ lines }: History): readonly HistoryEntry[] =>
  lines.map(({ edit, by, at }): HistoryEntry => ({ edit, by, at }));

const startShared = (a: History, b: History, start: WireBreak): WireBreak => {
  const [x, y] = [editsOf(a), editsOf(b)];
  let n = 0;
  while (n < Math.min(x.length, y.length) && contentKey(x[n]) === contentKey(y[n])) n++;
  return replay(start, x.slice(0, n));
};

describe("cases by hand", () => {
  const shared: readonly HistoryEntry[] = [
    {
      edit: { kind: "add-photograph", side: "machine", index: 0, photograph: photograph("p1") },
      by: "AB",
      at: time(0),
    },
    {
      edit: { kind: "add-mark", side: "machine", index: 0, mark: mark("m1", { photographId: "p1" }) },
      by: "AB",
      at: time(1),
    },
  ];
  const history = (...entries: readonly (readonly [Edit, string, number])[]): History =>
    continued({ start: startBreak(), lines: [] }, [
      ...shared,
      ...entries.map(([edit, by, minute]) => ({ edit, by, at: time(minute) })),
    ]);
  const met = (a: History, b: History) => mergedRecord(mergeHistories(a, b));

  test("different fields: both; one field: the later, and the other is named", () => {
    const { record, conflicts } = met(
      history([{ kind: "set-context", patch: { metal: "copper", cast: "K7" } }, "AB", 5]),
      history([{ kind: "set-context", patch: { metal: "steel", coil: "C1" } }, "CD", 9]),
    );
    expect(record.context).toMatchObject({ metal: "steel", cast: "K7", coil: "C1" });
    expect(conflicts).toEqual([
      {
        field: "context/metal",
        kept: { value: "steel", by: "CD", at: time(9) },
        others: [{ value: "copper", by: "AB", at: time(5) }],
      },
    ]);
  });

  test("the same value twice is no conflict", () => {
    const same: Edit = { kind: "set-context", patch: { metal: "copper" } };
    expect(met(history([same, "AB", 5]), history([same, "CD", 6])).conflicts).toEqual([]);
  });

  test("taken out here and changed there: it stays, and both are named", () => {
    const { record, conflicts } = met(
      history([{ kind: "remove-mark", markId: "m1" }, "AB", 9]),
      history([{ kind: "set-mark", markId: "m1", patch: { note: "look here" } }, "CD", 5]),
    );
    expect(record.ends.machine.marks).toEqual([mark("m1", { photographId: "p1", note: "look here" })]);
    expect(conflicts.map((c) => c.field)).toEqual(["mark/m1"]);
    expect(conflicts[0]!.others).toEqual([{ value: undefined, by: "AB", at: time(9) }]);
  });

  test("a photograph taken out here and drawn on there comes back with its new mark", () => {
    const { record } = met(
      history(
        [{ kind: "remove-mark", markId: "m1" }, "AB", 5],
        [{ kind: "remove-photograph", photographId: "p1" }, "AB", 6],
      ),
      history([{ kind: "add-mark", side: "machine", index: 1, mark: mark("m2", { photographId: "p1" }) }, "CD", 5]),
    );
    expect(record.ends.machine.photographs.map((p) => p.id)).toEqual(["p1"]);
    expect(record.ends.machine.marks.map((m) => m.id)).toEqual(["m2"]);
  });

  test("ends swapped here, a photograph filed there: it goes with its end", () => {
    const { record } = met(
      history([{ kind: "swap-ends" }, "AB", 5]),
      history([{ kind: "add-photograph", side: "machine", index: 1, photograph: photograph("p2") }, "CD", 6]),
    );
    expect(record.ends.takeUp.photographs.map((p) => p.id)).toEqual(["p1", "p2"]);
    expect(record.ends.takeUp.marks.map((m) => m.id)).toEqual(["m1"]);
    expect(record.ends.machine.photographs).toEqual([]);
  });

  test("both confirm or reopen: both lines stay, in their order in time", () => {
    const { record, conflicts } = met(
      history([{ kind: "add-confirmation", confirmation: confirmation("c1") }, "AB", 9]),
      history([{ kind: "add-confirmation", confirmation: confirmation("c/2") }, "CD", 5]),
    );
    expect(record.confirmations.map((c) => c.id)).toEqual(["c/2", "c1"]);
    expect(conflicts).toEqual([]);
  });

  test("a conflict is settled by an edit that knows both values", () => {
    const here = history([{ kind: "set-context", patch: { metal: "copper" } }, "AB", 5]);
    const there = history([{ kind: "set-context", patch: { metal: "steel" } }, "CD", 9]);
    const settled: HistoryEntry = { edit: { kind: "set-context", patch: { metal: "brass" } }, by: "AB", at: time(7) };
    const after = continued(mergeHistories(here, there), [settled]);
    const { record, conflicts } = met(after, there);
    // It is older by the clock than what it settles, and still follows it.
    expect([record.context.metal, conflicts]).toEqual(["brass", []]);
  });

  test("records that did not begin alike are refused", () => {
    const other: History = { start: { ...startBreak(), number: "B-9" }, lines: [] };
    expect(() => mergeHistories(history(), other)).toThrow(MergeError);
  });
});

test("the beginning of a record from the record and its log", () => {
  fc.assert(
    fc.property(throws(30), (list) => {
      const start = startBreak();
      let now = start;
      const log = work(start, list, "AB", 1).map(({ edit, at }) => {
        const { next, inverse } = applyEdit(now, edit, at);
        now = next;
        return { edit, inverse };
      });
      const last: Edit = { kind: "add-confirmation", confirmation: confirmation("c1") };
      const { next, inverse } = applyEdit(now, last, time(500));
      expect(startOf(next, [...log, { edit: last, inverse }])).toEqual(start);
    }),
    { numRuns: 40 },
  );
});
