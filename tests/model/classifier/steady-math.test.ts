import { describe, expect, test } from "vitest";
import { exp, ln } from "../../../model/classifier/steady-math.ts";
import fc from "../../properties.ts";

const near = (found: number, wanted: number) => Math.abs(found - wanted) <= 4.5e-16 * Math.abs(wanted);

describe("exponential and logarithm from sums and products", () => {
  test("the exponential agrees with the engine's own to the last digits", () => {
    fc.assert(
      fc.property(fc.double({ min: -700, max: 700, noNaN: true }), (x) => near(exp(x), Math.exp(x))),
      { numRuns: 5000 },
    );
    for (let x = -1; x <= 1; x += 1 / 1024) expect(near(exp(x), Math.exp(x))).toBe(true);
  });

  test("its edges", () => {
    expect([exp(0), exp(-800), exp(-Infinity), exp(800), exp(Infinity), exp(NaN)]).toEqual([
      1,
      0,
      0,
      Infinity,
      Infinity,
      NaN,
    ]);
  });

  test("the logarithm agrees with the engine's own, and undoes the exponential", () => {
    fc.assert(
      fc.property(fc.double({ min: 1e-300, max: 1e300, noNaN: true }), (x) => near(ln(x), Math.log(x))),
      { numRuns: 5000 },
    );
    // Near 1 the logarithm is small and every digit counts.
    for (let x = 0.5; x <= 2; x += 1 / 1024) expect(near(ln(x), Math.log(x))).toBe(true);
    for (let x = -50; x <= 50; x += 0.37) expect(ln(exp(x))).toBeCloseTo(x, 12);
  });

  test("its edges", () => {
    expect([ln(1), ln(Infinity), ln(0), ln(-1), ln(NaN)]).toEqual([0, Infinity, NaN, NaN, NaN]);
  });

  test("a few values to the last bit, as they were first computed: an engine that adds up otherwise is noticed", () => {
    expect([exp(1), exp(-0.3), exp(12.345), ln(2), ln(10), ln(0.7)]).toEqual([
      2.7182818284590455, 0.7408182206817179, 229808.1248612461, 0.6931471805599453, 2.302585092994046,
      -0.35667494393873245,
    ]);
  });
});
