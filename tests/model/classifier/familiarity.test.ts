import { describe, expect, test } from "vitest";
import { distanceOf, distanceShares, familiarityOf, unlikeness } from "../../../model/classifier/familiarity.ts";
import { standardOf } from "../../../model/classifier/standardise.ts";
import { pickRows } from "../../../model/classifier/training-set.ts";
import { madeBreaks } from "../../../scripts/bench/made-breaks.ts";
import { madeSet, rowAt } from "./made-set.ts";

describe("how unlike a break is", () => {
  test("a break's own distance is that of a familiarity that never saw any of its rows", () => {
    const single = madeSet(61, 5);
    // Two rows of each break but one.
    const set = { ...single, group: single.group.map((g) => Math.floor(g / 6) * 3 + (g % 3)) };
    const standard = standardOf(set);
    const rows = [...set.y.keys()];
    const alone = rows.map((i) => {
      const others = pickRows(
        set,
        rows.filter((k) => set.group[k] !== set.group[i]),
      );
      return distanceOf(familiarityOf(others, standard), rowAt(set, i));
    });
    alone.sort((a, b) => a - b);
    const { distances } = familiarityOf(set, standard);
    distances.forEach((d, k) => expect(d).toBeCloseTo(alone[Math.round((k * 60) / 100)]!, 9));
  });

  test("what makes it unlike: shares of the distance, the planted oddity first, missing numbers none", () => {
    const set = madeSet(90, 6);
    const familiarity = familiarityOf(set, standardOf(set));
    const row = Float32Array.from(rowAt(set, 4));
    const usual = distanceOf(familiarity, row);
    row[2] = 4 * Math.max(...Array.from({ length: 90 }, (_, i) => Math.abs(rowAt(set, i)[2]!)).filter(Number.isFinite));
    row[1] = NaN;
    const shares = distanceShares(familiarity, row);
    expect(distanceOf(familiarity, row)).toBeGreaterThan(usual);
    expect(shares.reduce((sum, s) => sum + s, 0)).toBeCloseTo(1, 9);
    expect(shares[2]).toBe(Math.max(...shares));
    expect(shares[1]).toBe(0);
    expect(
      [
        ...distanceShares(
          familiarity,
          row.map(() => NaN),
        ),
      ].every((s) => s === 0),
    ).toBe(true);
  });

  test("what the types look like is learnt from all breaks", () => {
    const set = madeSet(90, 6);
    const standard = standardOf(set);
    const { mean, sharpness } = familiarityOf(set, standard);
    const other = familiarityOf({ ...set, group: new Int32Array(90) }, standard);
    mean.forEach((m, k) => expect(other.mean[k]).toBeCloseTo(m, 9));
    sharpness.forEach((s, k) => expect(other.sharpness[k]).toBeCloseTo(s, 9));
  });

  test("of fresh breaks of the same trade, about one in twenty is among the strangest twentieth", () => {
    const set = madeBreaks(400, 41, 3);
    const familiarity = familiarityOf(set, standardOf(set));
    const fresh = madeBreaks(400, 42, 3);
    const shares = Array.from({ length: 400 }, (_, i) => unlikeness(familiarity, rowAt(fresh, i)));
    const beyond = (share: number) => shares.filter((u) => u > share).length / 400;
    // Two standard deviations of a count of 400, for 5 % and for half.
    expect(Math.abs(beyond(0.95) - 0.05)).toBeLessThan(0.03);
    expect(Math.abs(beyond(0.5) - 0.5)).toBeLessThan(0.07);
  });
});
