import { describe, expect, test } from "vitest";
import { reductionFromRatios } from "../../../model/measure/reduction-of-area.ts";
import {
  combine,
  correlation,
  directionDeg,
  exact,
  hypotenuse,
  linear,
  mean,
  minus,
  over,
  plus,
  reading,
  scaled,
  squareRoot,
  standardUncertainty,
  times,
  toUncertain,
} from "../../../model/measure/uncertain.ts";
import { seeded } from "./a-break.ts";
import fc from "../../properties.ts";

describe("uncertainty by named sources", () => {
  test("the end gauge of JCGM 100 H.1: l = 50.000 838 mm, u = 32 nm", () => {
    // JCGM 100:2008, H.1: l = ls + d − ls (δα θ + αs δθ); values from memory. Lengths in nm.
    const ls = reading("standard", 50_000_623, 25);
    const d = reading("comparison", 215, 9.7);
    const alpha = reading("alpha", 11.5e-6, 1.2e-6);
    const theta = reading("theta", -0.1, 0.41);
    const dAlpha = reading("difference of alpha", 0, 0.58e-6);
    const dTheta = reading("difference of theta", 0, 0.029);
    const direct = minus(plus(ls, d), times(ls, plus(times(dAlpha, theta), times(alpha, dTheta))));
    expect(direct.value).toBeCloseTo(50_000_838, 6);
    expect(Math.round(standardUncertainty(direct))).toBe(32);
    const stepped = combine(
      [ls, d, alpha, theta, dAlpha, dTheta],
      ([a = 0, b = 0, c = 0, e = 0, f = 0, g = 0]) => a + b - a * (f * e + c * g),
    );
    expect(standardUncertainty(stepped)).toBeCloseTo(standardUncertainty(direct), 3);
  });

  test("ten resistors against one standard of JCGM 100 5.2.2 add linearly to 1 Ω", () => {
    // JCGM 100:2008, 5.2.2 example: each 1000 Ω ± 100 mΩ, all from one standard; from memory.
    const resistors = Array.from({ length: 10 }, () => reading("standard", 1000, 0.1));
    const sum = resistors.reduce(plus);
    expect(toUncertain(sum)).toEqual({ value: 10_000, u: expect.closeTo(1, 12) as number });
  });

  test("resistance, reactance and impedance of JCGM 100 H.2 with correlated readings", () => {
    // JCGM 100:2008, H.2, tables H.2 to H.4: V, I, φ with r(V,I) = −0.36, r(V,φ) = 0.86, r(I,φ) = −0.65; from memory.
    const [rVI, rVP, rIP] = [-0.36, 0.86, -0.65];
    const [a, b, c] = [reading("a", 0, 1), reading("b", 0, 1), reading("c", 0, 1)];
    const l11 = Math.sqrt(1 - rVI ** 2);
    const l21 = (rIP - rVI * rVP) / l11;
    const v = linear(4.999, [[a, 0.0032]]);
    const i = linear(19.661e-3, [
      [a, rVI * 9.5e-6],
      [b, l11 * 9.5e-6],
    ]);
    const p = linear(1.04446, [
      [a, rVP * 7.5e-4],
      [b, l21 * 7.5e-4],
      [c, Math.sqrt(1 - rVP ** 2 - l21 ** 2) * 7.5e-4],
    ]);
    expect(correlation(v, p)).toBeCloseTo(rVP, 10);
    expect(correlation(i, p)).toBeCloseTo(rIP, 10);
    const r = combine([v, i, p], ([x = 0, y = 1, z = 0]) => (x / y) * Math.cos(z));
    const x = combine([v, i, p], ([q = 0, y = 1, z = 0]) => (q / y) * Math.sin(z));
    const z = over(v, i);
    expect(r.value).toBeCloseTo(127.732, 2);
    expect(x.value).toBeCloseTo(219.847, 2);
    expect(z.value).toBeCloseTo(254.26, 2);
    expect(standardUncertainty(r)).toBeCloseTo(0.071, 2);
    expect(standardUncertainty(x)).toBeCloseTo(0.295, 2);
    expect(standardUncertainty(z)).toBeCloseTo(0.236, 2);
    expect(correlation(x, z)).toBeCloseTo(0.993, 2);
    expect(correlation(r, x)).toBeCloseTo(-0.588, 1);
  });

  test("a ratio of two lengths does not feel their common scale", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 1e3, noNaN: true }),
        fc.double({ min: 1, max: 1e3, noNaN: true }),
        (a, b) => {
          const scale = reading("scale", 50, 10);
          const ratio = over(over(exact(a), scale), over(exact(b), scale));
          expect(ratio.value).toBeCloseTo(a / b, 9);
          expect(standardUncertainty(ratio)).toBeLessThan((1e-9 * a) / b);
        },
      ),
    );
  });

  test("a Monte Carlo run agrees with the law of propagation", () => {
    // Idea of JCGM 101:2008: propagate distributions; 40 000 trials from a fixed seed.
    const random = seeded(20260101);
    const inputs = { d1: [60, 2], d2: [66, 2], wire: [100, 1] } as const;
    const draw = ([value, u]: readonly [number, number]) => value + u * random.normal();
    const trials = Array.from(
      { length: 40_000 },
      () => 100 * (1 - (draw(inputs.d1) * draw(inputs.d2)) / draw(inputs.wire) ** 2),
    );
    const average = trials.reduce((s, t) => s + t, 0) / trials.length;
    const spread = Math.sqrt(trials.reduce((s, t) => s + (t - average) ** 2, 0) / (trials.length - 1));
    const wire = reading("wire", ...inputs.wire);
    const z = reductionFromRatios([over(reading("d1", ...inputs.d1), wire), over(reading("d2", ...inputs.d2), wire)]);
    expect(Math.abs(average - z.value)).toBeLessThan(0.05 * spread);
    expect(Math.abs(spread / standardUncertainty(z) - 1)).toBeLessThan(0.03);
  });

  test("a direction from two clicks agrees with a Monte Carlo run", () => {
    const random = seeded(7);
    const trials = Array.from(
      { length: 20_000 },
      () => (Math.atan2(200 + 2 * random.normal(), 100 + 2 * random.normal()) * 180) / Math.PI,
    );
    const average = trials.reduce((s, t) => s + t, 0) / trials.length;
    const spread = Math.sqrt(trials.reduce((s, t) => s + (t - average) ** 2, 0) / trials.length);
    const found = directionDeg(reading("x", 100, 2), reading("y", 200, 2));
    expect(found.value).toBeCloseTo(average, 1);
    expect(Math.abs(spread / standardUncertainty(found) - 1)).toBeLessThan(0.03);
  });

  test("mean, root and length follow the law", () => {
    const a = reading("a", 4, 0.2);
    const b = reading("b", 8, 0.2);
    expect(toUncertain(mean([a, b]))).toEqual({ value: 6, u: expect.closeTo(0.1 * Math.SQRT2, 12) as number });
    expect(standardUncertainty(mean([a, a]))).toBeCloseTo(0.2, 12);
    expect(toUncertain(squareRoot(a))).toEqual({ value: 2, u: expect.closeTo(0.05, 12) as number });
    expect(standardUncertainty(hypotenuse(reading("x", 3, 0.5), reading("y", 4, 0.5)))).toBeCloseTo(0.5, 12);
    expect(toUncertain(hypotenuse(reading("x", 0, 0.5), reading("y", 0, 0.5)))).toEqual({ value: 0, u: 0.5 });
    expect(correlation(a, exact(1))).toBe(0);
    expect(correlation(a, scaled(a, -3))).toBe(-1);
  });

  test("what has no answer is an error with a code, never NaN", () => {
    const code = (f: () => unknown) => expect(f).toThrow(expect.objectContaining({ name: "MeasureError" }) as Error);
    code(() => over(exact(1), exact(0)));
    code(() => squareRoot(exact(0)));
    code(() => directionDeg(exact(0), exact(0)));
    code(() => mean([]));
    code(() => reading("x", NaN, 1));
    code(() => reading("x", 1, -1));
    code(() => combine([exact(1)], () => NaN));
    expect(standardUncertainty(combine([reading("x", 1, 1)], ([x = 0]) => 1 / x))).toBe(0);
  });
});
