import { expect, test } from "vitest";
import { crossing } from "../../../model/route/root.ts";

test.each<readonly [string, (x: number) => number, number, number, number]>([
  ["a line", (x) => x - 0.25, 0, 1, 0.25],
  ["a falling line", (x) => 0.25 - x, 0, 1, 0.25],
  ["a cube root's cube", (x) => x ** 3 - 2, 0, 2, Math.cbrt(2)],
  ["a steep bend", (x) => Math.exp(6 * x) - 5, -1, 1, Math.log(5) / 6],
  ["a zero at the end", (x) => x - 1, 0, 1, 1],
])("%s is crossed where it is zero", (_what, f, low, high, root) => {
  let calls = 0;
  const counted = (x: number) => {
    calls += 1;
    return f(x);
  };
  expect(crossing(counted, low, high, 1e-12)).toBeCloseTo(root, 10);
  expect(calls).toBeLessThan(40);
});
