import { expect, test } from "vitest";
import { deltaOf } from "../../../model/route/delta.ts";

/** W. A. Backofen, Deformation Processing (Addison-Wesley, 1972); values computed from the formula. */
test.each([
  [4, 10, 2.651062],
  [6, 20, 1.8791198],
  [8, 20, 2.505493],
  [12, 30, 2.3550217],
  [15, 5, 20.416995],
])("Δ of %d° and %d %% is %d by the formula", (angle, reduction, delta) => {
  expect(deltaOf(angle, reduction)).toBeCloseTo(delta, 5);
});

/** A die-maker's published Δ table (semi-angle 2–16°, reduction 5–35 %). */
test.each([
  [4, 10, 2.66, 0.015],
  [4, 20, 1.26, 0.015],
  [6, 15, 2.59, 0.015],
  [6, 20, 1.88, 0.015],
  [8, 20, 2.51, 0.015],
  [8, 35, 1.3, 0.015],
  [10, 25, 2.44, 0.015],
  [12, 30, 2.35, 0.015],
  [16, 10, 10.59, 0.04],
  [14, 20, 4.38, 0.015],
])("Δ of %d° and %d %% is %d in the published table", (angle, reduction, delta, tolerance) => {
  expect(Math.abs(deltaOf(angle, reduction) - delta)).toBeLessThanOrEqual(tolerance);
});

test.each([
  [0, 20],
  [8, 0],
  [8, 100],
  [Number.NaN, 20],
])("a pass of %d° and %d %% has no Δ", (angle, reduction) => {
  expect(deltaOf(angle, reduction)).toBeNaN();
});
