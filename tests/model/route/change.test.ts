import { describe, expect, test } from "vitest";
import { fulfils, heaviestStress, isOutside, mustBeOutside } from "../../../model/route/change-check.ts";
import {
  adviseChange,
  adviseRoute,
  LUBRICATION_EFFORT,
  seriesOf,
  USUAL_GOAL,
  type ChangeGoal,
  type ChangeKind,
  type Proposal,
  type SeriesPass,
} from "../../../model/route/change.ts";
import { constantElongation } from "../../../model/route/constant-elongation.ts";
import { elongationRatio, trueStrain } from "../../../model/route/pass-geometry.ts";
import type { PassInput } from "../../../model/route/pass.ts";
import { passesOf } from "../../../model/route/route-passes.ts";
import { machine, route, withDie } from "./a-route.ts";
import fc from "../../properties.ts";

const GOAL: ChangeGoal = { ...USUAL_GOAL, limit: 2 / 3, marginDeg: 0.5 };

/** A series from diameters and semi-angles. */
function series(diameters: readonly number[], angles: readonly number[], m = 0.08): readonly SeriesPass[] {
  return angles.map((deg, i) => ({
    renewed: null,
    input: {
      semiAngleDeg: { value: deg, low: deg, high: deg },
      inMm: diameters[i]!,
      outMm: diameters[i + 1]!,
      friction: { kind: "m", value: m, low: m / 2, high: 1.5 * m },
      bearingMm: diameters[i + 1]! / 4,
      backTension: 0,
    },
  }));
}
const inputs = (s: readonly SeriesPass[]) => s.map((p) => p.input);
const total = (p: readonly PassInput[]) => p.reduce((x, q) => x * elongationRatio(q.inMm, q.outMm), 1);
const of = (proposals: readonly Proposal[], kind: ChangeKind) =>
  proposals.find((p) => p.kinds.length === 1 && p.kinds[0] === kind);

/** Two to four passes of 8–30 %, angles 5–12°: some in danger, some not. */
const anySeries = fc
  .array(
    fc.record({
      r: fc.double({ min: 0.08, max: 0.3, noNaN: true }),
      deg: fc.double({ min: 5, max: 12, noNaN: true }),
    }),
    { minLength: 2, maxLength: 4 },
  )
  .map((passes) => {
    const diameters = passes.reduce<number[]>((d, { r }) => [...d, d.at(-1)! * Math.sqrt(1 - r)], [5]);
    return series(
      diameters,
      passes.map((p) => p.deg),
    );
  });

/** The series with the diameters between its dies replaced. */
function withDiameters(s: readonly SeriesPass[], between: readonly number[]): readonly PassInput[] {
  const all = [s[0]!.input.inMm, ...between, s.at(-1)!.input.outMm];
  return inputs(s).map((p, i) => ({
    ...p,
    inMm: all[i]!,
    outMm: all[i + 1]!,
    bearingMm: (p.bearingMm * all[i + 1]!) / p.outMm,
  }));
}

describe("every proposal", () => {
  test("keeps the total reduction, leaves every pass outside with the margin, and chains its diameters", () => {
    fc.assert(
      fc.property(anySeries, (s) => {
        for (const { passes } of adviseChange(s, GOAL).proposals) {
          expect(total(passes) / total(inputs(s))).toBeCloseTo(1, 9);
          expect(passes[0]!.inMm).toBe(s[0]!.input.inMm);
          expect(passes.at(-1)!.outMm).toBe(s.at(-1)!.input.outMm);
          passes.forEach((p, i) => {
            expect(isOutside(p, GOAL)).toBe(true);
            expect(heaviestStress(p)).toBeLessThanOrEqual(GOAL.mostStress + 1e-9);
            if (i > 0) expect(p.inMm).toBe(passes[i - 1]!.outMm);
          });
        }
      }),
      {
        numRuns: 60,
        // Ends at the largest stress that can be pulled: rounding must not carry it over.
        examples: [[series([5, 4.731642502937194, 3.958776142057194, 3.3577699983001095], [5, 7.753473087275213, 5])]],
      },
    );
  });

  test("tells its effect on each pass that it touches, and nothing of the others", () => {
    const s = series([5, 4.5, 4.2, 3.85], [6, 9, 6]);
    const { proposals } = adviseChange(s, GOAL);
    const angle = of(proposals, "angle")!;
    expect(angle.effects.map((e) => e.index)).toEqual([1]);
    const [{ before, after }] = angle.effects as [Proposal["effects"][number]];
    expect(after.centrelineStress).toBeLessThan(before.centrelineStress);
    expect(after.marginDeg!).toBeGreaterThanOrEqual(GOAL.marginDeg - 1e-6);
    expect(before.marginDeg!).toBeLessThan(GOAL.marginDeg);
    expect(angle.says).toMatch(/^pass 2: semi-angle 9° to \d+(\.\d)?°\. Nothing else changes\.$/);
    const diameter = of(proposals, "diameter");
    if (diameter !== undefined) expect(diameter.effects.map((e) => e.index)).toHaveLength(2);
  });

  test("least effort stands first", () => {
    fc.assert(
      fc.property(anySeries, (s) => {
        const efforts = adviseChange(s, GOAL).proposals.map((p) => p.effort);
        expect(efforts).toEqual([...efforts].sort((a, b) => a - b));
      }),
      { numRuns: 30 },
    );
  });
});

describe("no smaller change of the same kind does it", () => {
  test("angle: every other choice of dies from stock that works is at least as large", () => {
    fc.assert(
      fc.property(anySeries, (s) => {
        const must = mustBeOutside(s, GOAL);
        const found = of(adviseChange(s, GOAL).proposals, "angle");
        let least = Infinity;
        const choose = (i: number, passes: readonly PassInput[], size: number): void => {
          if (size >= least) return;
          if (i === s.length) {
            if (fulfils(passes, must, GOAL)) least = size;
            return;
          }
          const p = s[i]!.input;
          choose(i + 1, [...passes, p], size);
          for (const deg of GOAL.semiAnglesDeg)
            choose(
              i + 1,
              [...passes, { ...p, semiAngleDeg: { value: deg, low: deg, high: deg } }],
              size + Math.abs(deg - p.semiAngleDeg.value),
            );
        };
        choose(0, [], 0);
        // Nothing to change, or nothing that works.
        if (least === 0 || least === Infinity) expect(found).toBeUndefined();
        else expect(found!.size).toBeCloseTo(least, 9);
      }),
      { numRuns: 40 },
    );
  });

  test("diameter: a fine search of every single die finds none smaller", () => {
    fc.assert(
      fc.property(anySeries, (s) => {
        const must = mustBeOutside(s, GOAL);
        if (fulfils(inputs(s), must, GOAL)) return;
        const found = of(adviseChange(s, GOAL).proposals, "diameter");
        const between = s.slice(0, -1).map((p) => p.input.outMm);
        let least = Infinity;
        between.forEach((d, i) => {
          for (let k = -400; k <= 400; k++) {
            const to = d * (1 + k / 4000);
            if (to >= s[i]!.input.inMm || to <= s[i + 1]!.input.outMm) continue;
            const passes = withDiameters(
              s,
              between.map((x, j) => (j === i ? to : x)),
            );
            if (fulfils(passes, must, GOAL)) least = Math.min(least, Math.abs(k / 4000));
          }
        });
        if (found === undefined) expect(least).toBe(Infinity);
        // The search has steps of 1/4000.
        else if (found.size < 0.1) expect(Math.abs(found.size - least)).toBeLessThanOrEqual(1 / 3900);
      }),
      { numRuns: 15 },
    );
  });

  test("re-split: a grid over all diameters between finds none nearer", () => {
    fc.assert(
      fc.property(anySeries, (s) => {
        fc.pre(s.length <= 3);
        const must = mustBeOutside(s, GOAL);
        if (fulfils(inputs(s), must, GOAL)) return;
        const found = of(adviseChange(s, GOAL).proposals, "resplit");
        const strains = inputs(s).map((p) => trueStrain(p.inMm, p.outMm));
        const whole = strains.reduce((sum, x) => sum + x, 0);
        const step = whole / 60;
        let least = Infinity;
        const first = s[0]!.input.inMm;
        for (let a = step; a < whole; a += step)
          for (let b = s.length === 3 ? step : 0; b < (s.length === 3 ? whole - a : step); b += step) {
            const between =
              s.length === 3 ? [first * Math.exp(-a / 2), first * Math.exp(-(a + b) / 2)] : [first * Math.exp(-a / 2)];
            const passes = withDiameters(s, between);
            const size = Math.hypot(...passes.map((p, i) => trueStrain(p.inMm, p.outMm) - strains[i]!));
            if (size < least && fulfils(passes, must, GOAL)) least = size;
          }
        if (found === undefined) expect(least).toBe(Infinity);
        else expect(found.size).toBeLessThanOrEqual(least + 1e-9);
      }),
      { numRuns: 25 },
    );
  });

  test("lubrication: a little more friction than proposed is too much", () => {
    fc.assert(
      fc.property(anySeries, (s) => {
        const found = of(adviseChange(s, GOAL).proposals, "lubrication");
        if (found === undefined) return;
        const share = 1 - found.size + 0.002;
        const more = inputs(s).map((p) => ({
          ...p,
          friction: {
            ...p.friction,
            value: p.friction.value * share,
            low: p.friction.low * share,
            high: p.friction.high * share,
          },
        }));
        expect(fulfils(more, mustBeOutside(s, GOAL), GOAL)).toBe(false);
        expect(found.size).toBeLessThanOrEqual(0.5 + 1e-9);
      }),
      { numRuns: 60 },
    );
  });
});

describe("renewal, lubrication and bounds", () => {
  const worn = () =>
    seriesOf(
      passesOf(
        withDie(route({ machines: [machine("a", 8, 4)], transfers: [], brokeAt: null }), 0, 2, {
          wear: { entrySemiAngleDeg: 12 },
        }),
      ),
    );

  test("a worn die is renewed, and nothing else need change", () => {
    const { proposals, inDanger } = adviseChange(worn(), GOAL);
    expect(inDanger).toEqual([2]);
    const renew = of(proposals, "renew")!;
    expect([renew.size, renew.effort, renew.dies]).toEqual([
      1,
      1,
      [{ index: 2, renewed: true, semiAngleDeg: { from: 9, to: 6 } }],
    ]);
    expect(renew.says).toMatch(/^pass 3: renew, semi-angle 9° to 6°/);
  });

  test("lubrication alone can do it where friction is what puts the pass inside", () => {
    const s = series([5, 5 * Math.sqrt(0.8)], [7.6], 0.16);
    const found = of(adviseChange(s, GOAL).proposals, "lubrication")!;
    expect([found.effort, found.dies[0]!.frictionShare! < 1]).toEqual([LUBRICATION_EFFORT, true]);
    expect(found.says).toMatch(/^lubrication: friction down to \d+ %/);
    expect(of(adviseChange(s, { ...GOAL, leastFrictionShare: 1 }).proposals, "lubrication")).toBeUndefined();
  });

  test("a frictionless pass has nothing to gain from lubrication", () => {
    const { proposals } = adviseChange(series([5, 5 * Math.sqrt(0.8)], [9], 0), GOAL);
    expect(proposals.map((p) => p.kinds)).toEqual([["angle"]]);
  });

  test("one chosen pass: the others are left as they are, but not made worse", () => {
    const s = series([5, 4.6, 4.2, 3.8], [11, 8, 11]);
    const all = adviseChange(s, GOAL);
    const one = adviseChange(s, { ...GOAL, only: 0 });
    expect([all.inDanger.length > 1, one.inDanger]).toEqual([true, [0]]);
    for (const p of one.proposals) {
      expect(isOutside(p.passes[0]!, GOAL)).toBe(true);
      expect(p.kinds.includes("lubrication") || p.dies.every((d) => d.index <= 1)).toBe(true);
    }
    expect(of(one.proposals, "angle")!.dies.map((d) => d.index)).toEqual([0]);
  });

  test("a route is advised machine by machine", () => {
    const steep = withDie(route(), 1, 2, { semiAngleDeg: 8.2 });
    const told = adviseRoute(steep, { ...GOAL, only: 0 });
    expect(told.map(({ name, advice }) => [name, advice.inDanger])).toEqual([
      ["breakdown", []],
      ["finisher", [2]],
    ]);
    expect(told[1]!.advice.proposals.every((p) => p.passes.length === 5)).toBe(true);
  });

  test("nothing in danger: nothing proposed", () => {
    expect(adviseChange(series([5, 5 * Math.sqrt(0.8)], [6]), GOAL)).toMatchObject({ inDanger: [], proposals: [] });
  });

  test("two kinds together only where no single one helps", () => {
    const d = constantElongation(5, 5 * Math.sqrt(0.885 * 0.885), 2);
    const s = series([5, ...d], [12, 12], 0.15);
    const goal = { ...GOAL, semiAnglesDeg: [5], leastFrictionShare: 0.4, marginDeg: 0 };
    const { proposals } = adviseChange(s, goal);
    expect(proposals.length).toBeGreaterThan(0);
    for (const p of proposals) {
      expect(p.kinds).toHaveLength(2);
      expect(p.says).toMatch(/Both are needed together\.$/);
      expect(p.passes.every((x) => isOutside(x, goal))).toBe(true);
    }
  });

  test("a worn and too steep die: renewal and another change together", () => {
    const steep = withDie(route({ machines: [machine("a", 8, 4)], transfers: [], brokeAt: null }), 0, 2, {
      semiAngleDeg: 8.2,
      wear: { entrySemiAngleDeg: 13 },
    });
    const { proposals } = adviseChange(seriesOf(passesOf(steep)), { ...GOAL, semiAnglesDeg: [11] });
    expect(proposals.length).toBeGreaterThan(0);
    expect(proposals.every((p) => p.passes.every((x) => isOutside(x, GOAL)))).toBe(true);
  });

  test("no way out within the bounds is said plainly, with what to allow", () => {
    const s = series([5, 4.87], [12]);
    const { proposals, says, inDanger } = adviseChange(s, { ...GOAL, semiAnglesDeg: [11] });
    expect([inDanger, proposals]).toEqual([[0], []]);
    expect(says).toMatch(/no change within these bounds helps: allow flatter dies/);
  });

  test("the drawing stress is a bound too: a pass too heavy to pull counts as not outside", () => {
    const s = series([5, 5 * Math.sqrt(0.6), 5 * Math.sqrt(0.6 * 0.85)], [8, 6]);
    const { inDanger, proposals } = adviseChange(s, { ...GOAL, mostStress: 0.7 });
    expect(inDanger).toContain(0);
    const split = of(proposals, "resplit")!;
    expect(split.passes.every((p) => heaviestStress(p) <= 0.7)).toBe(true);
    expect(adviseChange(s, GOAL).cautions.length).toBeGreaterThan(0);
  });
});
