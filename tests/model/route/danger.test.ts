import { describe, expect, test } from "vitest";
import { degToRad } from "../../../model/measure/units.ts";
import { centrelineStress } from "../../../model/route/centreline-stress.ts";
import { boundaryCurve, boundaryCurves, marginOf, standingOf } from "../../../model/route/danger.ts";
import type { Friction } from "../../../model/route/friction.ts";
import type { PassInput } from "../../../model/route/pass.ts";

const friction: Friction = { kind: "m", value: 0.1, low: 0.05, high: 0.2 };
const pass = (alphaDeg: number, r: number, over: Partial<PassInput> = {}): PassInput => ({
  semiAngleDeg: { value: alphaDeg, low: alphaDeg, high: alphaDeg },
  inMm: 1,
  outMm: Math.sqrt(1 - r),
  friction,
  bearingMm: 0,
  backTension: 0,
  ...over,
});

describe("boundary curves", () => {
  test("four limits at three levels of friction, units and interpolation stated", () => {
    const curves = boundaryCurves(friction);
    expect(curves.map((c) => c.level)).toHaveLength(12);
    for (const c of curves) {
      expect([c.units, c.interpolation]).toEqual([
        { reduction: "1", semiAngleDeg: "deg" },
        expect.stringMatching(/^linear between points/),
      ]);
      expect(c.points.length).toBeGreaterThan(20);
      // At B = 0 and heavy passes the pull itself tenses the axis, and the curve bends back.
      if (c.limit === 0) continue;
      const angles = c.points.map((p) => p.semiAngleDeg);
      expect(angles).toEqual([...angles].sort((a, b) => a - b));
    }
  });

  /** Table of critical semi-angles derived for this project: reductions 0.10–0.30, m 0.10. */
  test.each([
    [0, [2.26, 3.36, 4.43, 5.46, 6.44]],
    [1 / 3, [3.15, 4.67, 6.15, 7.6, 9.01]],
    [2 / 3, [4.51, 6.6, 8.6, 10.52, 12.37]],
    [1, [7.48, 10.47, 13.14, 15.59, 17.87]],
  ])("B = %d passes through its table", (limit, angles) => {
    const { points } = boundaryCurve(limit, friction, "value", 40);
    angles.forEach((deg, i) => {
      const at = points.find((p) => Math.abs(p.reduction - (0.1 + 0.05 * i)) < 1e-9);
      expect(at!.semiAngleDeg).toBeCloseTo(deg, 1.7);
      expect(at!.extrapolated).toBe(deg < 3);
    });
  });

  test("every point solves B = limit, with a Coulomb coefficient too", () => {
    for (const p of boundaryCurve(2 / 3, friction, "high").points)
      expect(centrelineStress(degToRad(p.semiAngleDeg), p.reduction, 0.2)).toBeCloseTo(2 / 3, 8);
    expect(
      boundaryCurve(2 / 3, { kind: "mu", value: 0.05, low: 0.02, high: 0.08 }, "value").points.length,
    ).toBeGreaterThan(40);
  });

  test("more friction enlarges the danger region: the heavy curve lies below the light one", () => {
    const [light, , heavy] = boundaryCurves(friction, [2 / 3]);
    for (const p of heavy!.points) {
      const same = light!.points.find((q) => q.reduction === p.reduction);
      if (same !== undefined) expect(p.semiAngleDeg).toBeLessThan(same.semiAngleDeg);
    }
  });
});

describe("where a pass stands", () => {
  test("outside, inside, between the ends of the friction band, not known", () => {
    expect(standingOf(pass(6, 0.2), 2 / 3)).toBe("outside");
    expect(standingOf(pass(12, 0.2), 2 / 3)).toBe("inside");
    expect(standingOf(pass(8.5, 0.2), 2 / 3)).toBe("between");
    expect(standingOf(pass(8, 0.03), 2 / 3)).toBe("not known");
    expect(standingOf(pass(7, 0.2, { semiAngleDeg: { value: 8, low: 7, high: 11 } }), 2 / 3)).toBe("between");
  });

  test("margins in degrees and in reduction vanish together on the boundary and change sign across it", () => {
    const { degrees, reduction } = marginOf(pass(6, 0.2), 2 / 3);
    /** Critical angle at m 0.2: 8.19°, from the same table. */
    expect(degrees).toBeCloseTo(8.19 - 6, 2);
    expect(marginOf(pass(6 + degrees!, 0.2), 2 / 3).reduction).toBeCloseTo(0, 6);
    expect(marginOf(pass(6, 0.2 - reduction!), 2 / 3).degrees).toBeCloseTo(0, 6);
    expect(marginOf(pass(12, 0.2), 2 / 3).degrees!).toBeLessThan(0);
    expect(marginOf(pass(12, 0.2), 2 / 3).reduction!).toBeLessThan(0);
  });

  test("a boundary beyond the verified range gives no margin", () => {
    expect(marginOf(pass(3, 0.45), 1)).toEqual({ degrees: null, reduction: null });
  });
});
