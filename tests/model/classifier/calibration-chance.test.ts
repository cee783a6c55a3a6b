import { describe, expect, test } from "vitest";
import { calibrationByChance } from "../../../model/classifier/calibration-chance.ts";
import type { Answers } from "../../../model/classifier/metrics.ts";

const saying = (p: readonly number[]): Answers => ({
  classes: 2,
  probabilities: Float64Array.from(p.flatMap((v) => [v, 1 - v])),
  truth: new Int32Array(p.length),
});

describe("the calibration error that chance alone gives", () => {
  test("one break said to be 70 % sure: 0.3 when right, 0.7 when wrong; mean 2 · 0.7 · 0.3", () => {
    const { mean, oneInTwenty } = calibrationByChance(saying([0.7]));
    expect(Math.abs(mean - 0.42)).toBeLessThan(0.02);
    expect(oneInTwenty).toBeCloseTo(0.7, 9);
  });

  test("two breaks of one bin, by counting their four outcomes", () => {
    const p = 0.85;
    // Both right |p − 1|, one right |p − ½|, none p.
    const exact = p * p * (1 - p) + 2 * p * (1 - p) * Math.abs(p - 0.5) + (1 - p) ** 2 * p;
    expect(Math.abs(calibrationByChance(saying([p, p])).mean - exact)).toBeLessThan(0.02);
  });

  test("the more breaks, the less; the surer, the less", () => {
    const of = (n: number, p: number) => calibrationByChance(saying(Array<number>(n).fill(p))).mean;
    expect(of(400, 0.8)).toBeLessThan(0.6 * of(100, 0.8));
    expect(of(100, 0.99)).toBeLessThan(0.5 * of(100, 0.8));
    // Mean of |N(0, s)| is s · √(2/π), s² = p(1 − p)/n.
    expect(of(400, 0.8)).toBeCloseTo(Math.sqrt((0.16 / 400) * (2 / Math.PI)), 2);
  });
});
