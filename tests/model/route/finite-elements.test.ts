import { describe, expect, test } from "vitest";
import { degToRad } from "../../../model/measure/units.ts";
import {
  centrelineStress,
  criticalReduction,
  criticalSemiAngleDeg,
  outsideFittedRange,
  riskClass,
} from "../../../model/route/centreline-stress.ts";
import { soundFlowStress } from "../../../model/route/drawing-stress.ts";
import grid from "./centreline-stress-grid.json" with { type: "json" };
import fc from "../../properties.ts";

const rows = grid.rows.map(([alphaDeg = 0, r = 0, m = 0, stress = 0, mean = 0]) => ({ alphaDeg, r, m, stress, mean }));
const fitted = rows.filter((x) => outsideFittedRange(x.alphaDeg, x.r, x.m) === null);
const errors = fitted.map((x) => centrelineStress(degToRad(x.alphaDeg), x.r, x.m) - x.mean);
const rms = (e: readonly number[]) => Math.sqrt(e.reduce((sum, x) => sum + x * x, 0) / e.length);

/** Finite-element limit analysis made for this project: 624 cases, perfectly plastic, no bearing, no back tension. */
describe("the centreline formula against 624 finite-element cases", () => {
  test("the fitted range holds 205 of them, met with rms 0.010 and at most 0.032", () => {
    expect([rows.length, fitted.length]).toEqual([624, 205]);
    expect(rms(errors)).toBeLessThanOrEqual(0.01);
    expect(Math.max(...errors.map(Math.abs))).toBeLessThanOrEqual(0.032);
  });

  test("at a shear factor of 0.4, outside the fit, it still lies within 0.053", () => {
    const heavy = rows.filter((x) => x.m === 0.4 && outsideFittedRange(x.alphaDeg, x.r, 0.2) === null);
    const off = heavy
      .filter((x) => soundFlowStress(degToRad(x.alphaDeg), x.r, x.m) < 1)
      .map((x) => centrelineStress(degToRad(x.alphaDeg), x.r, x.m) - x.mean);
    expect(off.length).toBeGreaterThan(40);
    expect(Math.max(...off.map(Math.abs))).toBeLessThanOrEqual(0.053);
  });

  test("the upper bound is never below the finite-element load, and at most 14 % above it in the useful range", () => {
    for (const x of rows) expect(soundFlowStress(degToRad(x.alphaDeg), x.r, x.m)).toBeGreaterThan(x.stress);
    const over = fitted.map((x) => soundFlowStress(degToRad(x.alphaDeg), x.r, x.m) / x.stress);
    expect(Math.max(...over)).toBeLessThan(1.145);
  });
});

const angle = fc.double({ min: 3, max: 20, noNaN: true });
const reduction = fc.double({ min: 0.05, max: 0.45, noNaN: true });
const shear = fc.double({ min: 0, max: 0.2, noNaN: true });
const within = (a: number, r: number, m: number) => outsideFittedRange(a, r, m) === null;
const bOf = (a: number, r: number, m: number) => centrelineStress(degToRad(a), r, m);

describe("B inside the fitted range", () => {
  test("rises with friction", () => {
    fc.assert(
      fc.property(angle, reduction, shear, shear, (a, r, m, n) => {
        fc.pre(within(a, r, m) && within(a, r, n) && Math.abs(m - n) > 1e-6);
        expect(bOf(a, r, Math.max(m, n))).toBeGreaterThan(bOf(a, r, Math.min(m, n)));
      }),
    );
  });
  /** Where Δ is below 1.2 the pull outweighs the geometry and B is flat or turns; there is no tension on the axis there. */
  test("rises with the die angle and falls with the reduction, from Δ 1.2 on", () => {
    fc.assert(
      fc.property(angle, reduction, shear, (a, r, m) => {
        const [steeper, lighter] = [a * 1.02, r * 0.98];
        fc.pre([a, steeper].every((x) => within(x, r, m)) && within(a, lighter, m));
        fc.pre((degToRad(a) / r) * (1 + Math.sqrt(1 - r)) ** 2 >= 1.2);
        expect(bOf(steeper, r, m)).toBeGreaterThan(bOf(a, r, m));
        expect(bOf(a, lighter, m)).toBeGreaterThan(bOf(a, r, m));
      }),
    );
  });
  test("B at the critical semi-angle and at the critical reduction is the limit", () => {
    fc.assert(
      fc.property(reduction, shear, fc.constantFrom(0, 1 / 3, 2 / 3, 1), (r, m, limit) => {
        const deg = criticalSemiAngleDeg(r, m, limit);
        if (typeof deg === "number") expect(bOf(deg, r, m)).toBeCloseTo(limit, 9);
        const light = criticalReduction(8, () => m, limit);
        if (typeof light === "number") expect(bOf(8, light, m)).toBeCloseTo(limit, 9);
      }),
    );
  });
});

describe("critical values at the edges", () => {
  test("heavy passes stay below a high limit up to 20°", () => expect(criticalSemiAngleDeg(0.45, 0, 1)).toBe("none"));
  test("a limit below every B leaves no angle", () => expect(criticalSemiAngleDeg(0.2, 0.1, -1)).toBe("all"));
  test("a flat die is below the limit from 5 % on, a steep one never", () => {
    expect(criticalReduction(3, () => 0, 1)).toBe("none");
    expect(criticalReduction(20, () => 0, 0)).toBe("all");
  });
});

test.each([
  [2, 0.2, 0.1, /semi-angle 2°/],
  [21, 0.2, 0.1, /semi-angle 21°/],
  [8, 0.04, 0.1, /reduction 4 %/],
  [8, 0.5, 0.1, /reduction 50 %/],
  [8, 0.2, 0.3, /shear factor 0.3/],
  [15, 0.1, 0, /Δ 9.94/],
  [3, 0.3, 0, /Δ 0.59/],
  [8, 0.45, 0.2, /not drawable/],
])("%d°, r %d, m %d is outside the fitted range and says why", (a, r, m, why) => {
  expect(outsideFittedRange(a, r, m)).toMatch(why);
});

test("words for B change at 0, 1/3, 2/3 and 1", () => {
  expect([0, 1 / 3, 2 / 3, 1, 1.01].map(riskClass)).toEqual([
    "no centreline tension",
    "low",
    "moderate",
    "high",
    "severe",
  ]);
});
