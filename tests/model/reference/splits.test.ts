import { describe, expect, test } from "vitest";
import { BREAK_TYPE_IDS } from "../../../model/evidence/break-type-ids.ts";
import { exactDuplicates, findLeaks } from "../../../model/reference/leaks.ts";
import { SPLITS, type Split } from "../../../model/reference/member.ts";
import { shareOfText } from "../../../model/reference/share-of-text.ts";
import { assignSplits, DEFAULT_PLAN, type SplitPlan } from "../../../model/reference/splits.ts";
import { setBreak } from "./set-breaks.ts";
import fc from "../../properties.ts";

const types = BREAK_TYPE_IDS.slice(0, 4);
const member = fc
  .record({
    id: fc.string({ minLength: 1, maxLength: 8 }),
    type: fc.constantFrom(...types),
    cast: fc.option(fc.constantFrom("a", "b", "C", "c"), { nil: null }),
    coil: fc.option(fc.constantFrom("1", "2"), { nil: null }),
  })
  .map(({ id, ...over }) => setBreak(id, over));
const members = fc.uniqueArray(member, { selector: (m) => m.id, maxLength: 40 });
const plans = fc.record({
  salt: fc.string({ maxLength: 5 }),
  groupBy: fc.constantFrom("break", "cast", "coil"),
  how: fc.constantFrom("by-hash", "balanced"),
}) as fc.Arbitrary<Pick<SplitPlan, "salt" | "groupBy" | "how">>;

describe("splits", () => {
  test("whole groups together, nothing forgotten, no leak", () => {
    fc.assert(
      fc.property(members, plans, (list, over) => {
        const plan = { ...DEFAULT_PLAN, ...over };
        const { of, conflicts } = assignSplits(list, plan);
        expect(of.size).toBe(list.length);
        expect(conflicts).toEqual([]);
        expect(findLeaks(list, of, plan.groupBy)).toEqual([]);
      }),
    );
  });

  test("a break that has a part never moves when others are added or taken away, and the order is nothing", () => {
    fc.assert(
      fc.property(members, members, plans, (list, more, over) => {
        const plan = { ...DEFAULT_PLAN, ...over };
        const before = assignSplits(list, plan).of;
        const ids = new Set(list.map((m) => m.id));
        const all = [...more.filter((m) => !ids.has(m.id)), ...list].reverse();
        const after = assignSplits(all, plan, before).of;
        for (const m of list) expect(after.get(m.id)).toBe(before.get(m.id));
        expect(assignSplits([...list].reverse(), plan).of).toEqual(new Map([...before].reverse()));
        // By hash, no memory is needed.
        if (plan.how === "by-hash") {
          const anew = assignSplits(all, plan).of;
          for (const m of list) expect(anew.get(m.id)).toBe(before.get(m.id));
        }
      }),
    );
  });

  test("balanced: every type within one break of its shares", () => {
    const list = types.flatMap((type, t) =>
      Array.from({ length: 20 + 20 * t }, (_, i) => setBreak(`${type}${i}`, { type })),
    );
    const { of } = assignSplits(list);
    for (const [t, type] of types.entries())
      for (const split of SPLITS) {
        const n = list.filter((m) => m.type === type && of.get(m.id) === split).length;
        expect(Math.abs(n - DEFAULT_PLAN.shares[split] * (20 + 20 * t))).toBeLessThanOrEqual(1);
      }
  });

  test("by hash: shares on the average, and another salt gives another split", () => {
    const list = Array.from({ length: 4000 }, (_, i) => setBreak(`b${i}`));
    const { of } = assignSplits(list, { ...DEFAULT_PLAN, how: "by-hash" });
    const n = (split: Split) => list.filter((m) => of.get(m.id) === split).length;
    // Four standard deviations of 4000 draws.
    expect(Math.abs(n("train") - 2800)).toBeLessThan(4 * Math.sqrt(4000 * 0.7 * 0.3));
    expect(Math.abs(n("test") - 600)).toBeLessThan(4 * Math.sqrt(4000 * 0.15 * 0.85));
    const other = assignSplits(list, { ...DEFAULT_PLAN, how: "by-hash", salt: "another" }).of;
    expect(list.filter((m) => other.get(m.id) !== of.get(m.id)).length).toBeGreaterThan(1000);
  });

  test.each(["by-hash", "balanced"] as const)("a frozen test part takes nothing new: %s", (how) => {
    const old = Array.from({ length: 30 }, (_, i) => setBreak(`o${i}`, { cast: i < 3 ? "K" : null }));
    const before = assignSplits(old, { ...DEFAULT_PLAN, how, groupBy: "cast" }).of;
    const fresh = Array.from({ length: 60 }, (_, i) => setBreak(`n${i}`));
    const after = assignSplits([...old, ...fresh], { ...DEFAULT_PLAN, how, groupBy: "cast", testFrozen: true }, before);
    for (const m of old) expect(after.of.get(m.id)).toBe(before.get(m.id));
    expect(fresh.filter((m) => after.of.get(m.id) === "test")).toEqual([]);
    expect(fresh.filter((m) => after.of.get(m.id) === "val").length).toBeGreaterThan(2);
  });

  test("a cast that an earlier version tore apart is named, stays where it was and is a leak", () => {
    const list = [setBreak("a", { cast: "K7" }), setBreak("b", { cast: "k7" }), setBreak("c", { cast: "K7" })];
    const { of, conflicts } = assignSplits(
      list,
      { ...DEFAULT_PLAN, groupBy: "cast" },
      new Map<string, Split>([
        ["a", "train"],
        ["b", "test"],
      ]),
    );
    expect([...of]).toEqual([
      ["a", "train"],
      ["b", "test"],
      ["c", "train"],
    ]);
    expect(conflicts).toHaveLength(3);
    expect(conflicts[0]!.says).toContain("cast k7");
    expect(findLeaks(list, of, "cast").map((l) => l.kind)).toEqual(["same-group"]);
  });

  test("shares that make no sense are refused", () => {
    const wrong = { ...DEFAULT_PLAN, shares: { train: 0.7, val: 0.2, test: 0.2 } };
    expect(() => assignSplits([], wrong)).toThrow(RangeError);
    const only = { ...DEFAULT_PLAN, shares: { train: 0, val: 0, test: 1 }, testFrozen: true };
    expect(() => assignSplits([setBreak("a")], only)).toThrow(/frozen/);
  });

  test("shares of text: fixed for ever, and even", () => {
    expect(shareOfText("endpair")).toBe(shareOfText("endpair"));
    const bins = new Int32Array(10);
    for (let i = 0; i < 10_000; i++) bins[Math.floor(10 * shareOfText(`b-${i}`))]!++;
    // Chi-squared, 9 degrees of freedom: above 27.9 once in a thousand.
    expect(bins.reduce((sum, n) => sum + (n - 1000) ** 2 / 1000, 0)).toBeLessThan(27.9);
  });
});

describe("leaks", () => {
  const of = (parts: Record<string, Split>) => new Map(Object.entries(parts));
  test("every kind is found and named", () => {
    const list = [
      setBreak("a", { coil: "C1", hashes: ["h1"] }),
      setBreak("b", { coil: "C1", hashes: ["h2"] }),
      setBreak("c", { hashes: ["h1", "h3"] }),
      setBreak("d", { hashes: ["h4"] }),
      setBreak("e", { hashes: ["h5"] }),
    ];
    const leaks = findLeaks(list, of({ a: "train", b: "val", c: "test", d: "train" }), "coil", [
      { hashes: ["h3", "h4"] },
      { hashes: ["h1", "h4"] },
    ]);
    expect(leaks.map((l) => [l.kind, l.what])).toEqual([
      ["no-part", "e"],
      ["same-group", "coil:c1"],
      ["same-photograph", "h1"],
      ["near-duplicate", "h3 h4"],
      ["near-duplicate", "h1 h4"],
    ]);
    expect(leaks[1]!.says).toBe("One coil c1 lies in several parts: A (train), B (val).");
    expect(exactDuplicates(list)).toEqual([{ hash: "h1", breakIds: ["a", "c"] }]);
  });

  test("the same inside one part is no leak", () => {
    const list = [setBreak("a", { cast: "K", hashes: ["h"] }), setBreak("b", { cast: "K", hashes: ["h"] })];
    expect(findLeaks(list, of({ a: "val", b: "val" }), "cast", [{ hashes: ["h", "h"] }])).toEqual([]);
  });
});
