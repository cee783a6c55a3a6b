import { describe, expect, test } from "vitest";
import { coulombOf, shearFactorOf } from "../../../model/route/friction.ts";
import { computePass, type PassInput } from "../../../model/route/pass.ts";
import { RouteError } from "../../../model/route/route-error.ts";
import { computeRoute, passesOf, realSemiAngle } from "../../../model/route/route-passes.ts";
import { die, route, withDie } from "./a-route.ts";
import fc from "../../properties.ts";

const pass = (over: Partial<PassInput> = {}): PassInput => ({
  semiAngleDeg: { value: 8, low: 8, high: 8 },
  inMm: 2,
  outMm: 2 * Math.sqrt(0.8),
  friction: { kind: "m", value: 0.1, low: 0.05, high: 0.2 },
  bearingMm: 0,
  backTension: 0,
  ...over,
});

describe("a computed pass", () => {
  /** Derived for this project; the same numbers stand among the check values. */
  test("8°, 20 %, m 0.1: every number, its band from friction 0.05 to 0.2", () => {
    const c = computePass(pass(), 2 / 3);
    expect(c.centrelineStress.value).toBeCloseTo(0.59933102, 7);
    expect(c.criticalSemiAngle.value).toBeCloseTo(8.5950534, 6);
    /** Table of critical angles: 8.60 (8.79 at m 0.05, 8.19 at m 0.20). */
    expect(c.criticalSemiAngle.high).toBeCloseTo(8.79, 2);
    expect(c.criticalSemiAngle.low).toBeCloseTo(8.19, 2);
    expect([c.risk, c.inFittedRange, c.drawable]).toEqual(["moderate", true, true]);
    for (const v of [c.centrelineStress, c.drawingStressRatio, c.damageIncrement, c.voidGrowth]) {
      expect(v.low!).toBeLessThan(v.value!);
      expect(v.high!).toBeGreaterThan(v.value!);
      expect(v.formula.length * v.source.length).toBeGreaterThan(0);
    }
    expect(c.reduction).toMatchObject({ unit: "1", formula: "area-reduction", source: "definition" });
    expect(c.criticalSemiAngle.unit).toBe("deg");
  });

  test("outside the fitted range there is a reason instead of a number", () => {
    const c = computePass(pass({ semiAngleDeg: { value: 15, low: 15, high: 15 }, outMm: 2 * Math.sqrt(0.9) }), 2 / 3);
    expect([c.inFittedRange, c.risk, c.centrelineStress.value, c.damageIncrement.value]).toEqual([
      false,
      null,
      null,
      null,
    ]);
    expect(c.centrelineStress.outside).toMatch(/^Δ 9.94 lies outside the verified/);
    expect(c.estimate.sd).toBeGreaterThan(0.29);
    expect(c.delta.value).toBeCloseTo(9.94, 2);
  });

  test("friction a little above the fit gives no number, but a narrower guess than a wild angle", () => {
    const c = computePass(pass({ friction: { kind: "m", value: 0.3, low: 0.3, high: 0.3 } }), 2 / 3);
    expect(c.centrelineStress.outside).toMatch(/Shear factor 0.3/);
    expect(c.criticalSemiAngle.outside).toMatch(/Shear factor 0.30/);
    expect(c.estimate.sd).toBeCloseTo(0.04, 6);
  });

  test.each([
    [{ outMm: 2 * Math.sqrt(0.96) }, 2 / 3, /Reduction 4.0 %/],
    [{ outMm: 2 * Math.sqrt(0.56) }, 1, /stays below the limit/],
    [{}, -1, /exceeds the limit at every/],
    [{ outMm: 2 * Math.sqrt(0.94) }, 1.2, /Δ exceeds the verified 7/],
  ])("no critical angle with %o and a limit of %d", (over, limit, why) => {
    const c = computePass(pass(over), limit);
    expect([c.criticalSemiAngle.value, c.criticalSemiAngle.outside]).toEqual([null, expect.stringMatching(why)]);
  });

  test("a critical angle below 3° is called extrapolated", () => {
    const c = computePass(pass({ outMm: 2 * Math.sqrt(0.9) }), 0);
    expect([c.criticalSemiAngle.value! < 3, c.criticalSemiAngle.note]).toEqual([
      true,
      expect.stringMatching(/Extrapolated/),
    ]);
  });

  test("a band that leaves the verified range says so beside its number", () => {
    const c = computePass(pass({ friction: { kind: "m", value: 0.15, low: 0.1, high: 0.25 } }), 2 / 3);
    expect([c.centrelineStress.value !== null, c.centrelineStress.note]).toEqual([
      true,
      expect.stringMatching(/One end/),
    ]);
  });

  test("an angle band that holds the angle of least drawing stress reaches down to it", () => {
    const at = (value: number, low: number, high: number) =>
      computePass(
        pass({ semiAngleDeg: { value, low, high }, friction: { kind: "m", value: 0.1, low: 0.1, high: 0.1 } }),
        1,
      ).drawingStressRatio;
    const wide = at(9, 5, 12);
    /** Angle of least stress at 20 % and m 0.1: 7.402°, among the check values. */
    expect(wide.low).toBeCloseTo(at(7.402248, 7.402248, 7.402248).value!, 9);
  });

  test("back tension adds itself to B, the bearing does not", () => {
    const b = (over: Partial<PassInput>) => computePass(pass(over), 1).centrelineStress.value!;
    expect(b({ backTension: 0.1 }) - b({})).toBeCloseTo(0.1, 9);
    expect(b({ bearingMm: 1 })).toBe(b({}));
  });

  test("every bad input has its code", () => {
    const code = (over: Partial<PassInput>, limit = 1) => {
      try {
        computePass(pass(over), limit);
        return "none";
      } catch (error) {
        return error instanceof RouteError ? error.code : "other";
      }
    };
    expect(code({ outMm: 2 })).toBe("diameters-not-a-reduction");
    expect(code({ semiAngleDeg: { value: 90, low: 8, high: 90 } })).toBe("semi-angle-out-of-range");
    expect(code({ friction: { kind: "m", value: 1.1, low: 0, high: 1.1 } })).toBe("friction-out-of-range");
    expect(code({ bearingMm: -1 })).toBe("bearing-negative");
    expect(code({}, Number.NaN)).toBe("limit-not-a-number");
  });
});

test("a Coulomb coefficient and its shear factor turn into each other", () => {
  fc.assert(
    fc.property(
      fc.double({ min: 0.05, max: 0.3, noNaN: true }),
      fc.double({ min: 0.08, max: 0.4, noNaN: true }),
      fc.double({ min: 0.005, max: 0.09, noNaN: true }),
      (alpha, r, mu) => {
        const m = shearFactorOf(mu, alpha, r);
        fc.pre(m < 1);
        expect(coulombOf(m, alpha, r)).toBeCloseTo(mu, 9);
      },
    ),
  );
  expect(coulombOf(1, 0.02, 0.1)).toBeNull();
});

describe("the passes of a route", () => {
  test("volume is kept through any route: the elongations multiply to rod area over wire area", () => {
    fc.assert(
      fc.property(fc.array(fc.double({ min: 0.06, max: 0.4, noNaN: true }), { minLength: 1, maxLength: 12 }), (rs) => {
        let mm = 8;
        const dies = rs.map((r) => die({ outMm: (mm *= Math.sqrt(1 - r)) }));
        const passes = computeRoute(route({ machines: [{ name: "a", dies }], transfers: [], brokeAt: null }), 1);
        const product = passes.reduce((x, p) => x * p.computed.elongationRatio.value!, 1);
        expect(product / (8 / mm) ** 2).toBeCloseTo(1, 9);
      }),
      { numRuns: 40 },
    );
  });

  test("damage is summed since the last full anneal, not since a partial one", () => {
    const plain = computeRoute(route(), 2 / 3);
    const half = computeRoute(route({ anneals: [{ after: { machine: 0, die: 3 }, full: false }] }), 2 / 3);
    const full = computeRoute(route({ anneals: [{ after: { machine: 0, die: 3 }, full: true }] }), 2 / 3);
    expect(half.at(-1)!.damageSum).toBe(plain.at(-1)!.damageSum);
    expect(full[3]!.damageSum).toBe(plain[3]!.damageSum);
    expect(full[4]!.damageSum).toBe(full[4]!.computed.damageIncrement.value);
  });

  test("a pass outside the range leaves no sum until the next full anneal", () => {
    const wild = withDie(route({ anneals: [{ after: { machine: 0, die: 3 }, full: true }] }), 0, 1, {
      semiAngleDeg: 25,
    });
    const sums = computeRoute(wild, 2 / 3).map((p) => p.damageSum);
    expect(sums.map((s) => s === null)).toEqual([false, true, true, true, false, false, false, false, false]);
  });

  test("measured wear widens the angle and changes the diameter that leaves", () => {
    expect(realSemiAngle(die())).toEqual({ value: 6, low: 6, high: 6 });
    expect(realSemiAngle(die({ wear: { entrySemiAngleDeg: 10 } }))).toEqual({ value: 8, low: 6, high: 10 });
    /** A ring 0.1 mm deep and 1 mm wide: its rear half is steeper by atan(0.2) = 11.31°. */
    expect(realSemiAngle(die({ wear: { ring: { depthMm: 0.1, widthMm: 1 } } })).high).toBeCloseTo(17.31, 2);
    const worn = passesOf(withDie(route(), 0, 0, { wear: { outMm: 7.3 } }));
    expect([worn[0]!.input.outMm, worn[1]!.input.inMm]).toEqual([7.3, 7.3]);
    const steep = (wear: { entrySemiAngleDeg: number } | null) =>
      computeRoute(withDie(route(), 0, 0, { wear }), 1)[0]!.computed.centrelineStress;
    expect(steep({ entrySemiAngleDeg: 10 }).high!).toBeGreaterThan(steep(null).high!);
  });
});
