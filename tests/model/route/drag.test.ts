import { expect, test } from "vitest";
import { tryPass } from "../../../model/route/drag.ts";
import { areaReduction } from "../../../model/route/pass-geometry.ts";
import { passesOf } from "../../../model/route/route-passes.ts";
import { machine, route } from "./a-route.ts";
import fc from "../../properties.ts";

const passes = passesOf(route({ machines: [machine("a", 8, 4)], transfers: [], brokeAt: null })).map((p) => p.input);

test("whatever is tried, the wire in and out of the series stays and diameters follow on", () => {
  fc.assert(
    fc.property(fc.integer({ min: 0, max: 3 }), fc.double({ min: 0.02, max: 0.9, noNaN: true }), (i, reduction) => {
      const tried = tryPass(passes, i, { reduction });
      expect([tried[0]!.inMm, tried.at(-1)!.outMm]).toEqual([passes[0]!.inMm, passes.at(-1)!.outMm]);
      tried.forEach((p, k) => {
        expect(areaReduction(p.inMm, p.outMm)).toBeGreaterThanOrEqual(0.01 - 1e-9);
        if (k > 0) expect(p.inMm).toBe(tried[k - 1]!.outMm);
      });
    }),
  );
});

test("a tried reduction is taken, the neighbour takes up the rest, the others stay", () => {
  for (const [i, neighbour] of [
    [1, 2],
    [3, 2],
  ] as const) {
    const tried = tryPass(passes, i, { reduction: 0.25 });
    expect(areaReduction(tried[i]!.inMm, tried[i]!.outMm)).toBeCloseTo(0.25, 12);
    expect(areaReduction(tried[neighbour]!.inMm, tried[neighbour]!.outMm)).toBeLessThan(0.2);
    expect(tried[0]).toEqual(i === 1 ? { ...passes[0] } : passes[0]);
  }
});

test("an angle changes its own pass only; a lone pass keeps its reduction; a pass that is not there changes nothing", () => {
  const tried = tryPass(passes, 2, { semiAngleDeg: 4 });
  expect(tried.map((p) => p.semiAngleDeg.value)).toEqual([6, 6, 4, 6]);
  expect(tryPass(passes.slice(0, 1), 0, { reduction: 0.3 })).toEqual(passes.slice(0, 1));
  expect(tryPass(passes, 9, { reduction: 0.3 })).toBe(passes);
});
