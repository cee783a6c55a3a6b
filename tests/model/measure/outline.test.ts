import { describe, expect, test } from "vitest";
import type { Point } from "../../../model/break/geometry.ts";
import { fitCircle, fitEllipse } from "../../../model/measure/outline.ts";
import { realCubicRoots, inverse, multiply } from "../../../model/measure/linear-solve.ts";
import { seeded } from "./a-break.ts";
import fc from "../../properties.ts";

interface Truth {
  readonly cx: number;
  readonly cy: number;
  readonly rx: number;
  readonly ry: number;
  readonly deg: number;
}

function around(e: Truth, n: number, noise: () => number = () => 0, from = 0.1, sweep = 2 * Math.PI): Point[] {
  const [cos, sin] = [Math.cos((e.deg * Math.PI) / 180), Math.sin((e.deg * Math.PI) / 180)];
  return Array.from({ length: n }, (_, i): Point => {
    const t = from + (i * sweep) / n;
    const [x, y] = [e.rx * Math.cos(t), e.ry * Math.sin(t)];
    return [e.cx + x * cos - y * sin + noise(), e.cy + x * sin + y * cos + noise()];
  });
}

describe("an outline fitted through clicked points", () => {
  test("points on an ellipse give that ellipse back, whatever its place, size and turn", () => {
    // Published property of the direct fit: exact data are recovered exactly (Fitzgibbon et al. 1999; from memory).
    fc.assert(
      fc.property(
        fc.record({
          cx: fc.double({ min: -3000, max: 6000, noNaN: true }),
          cy: fc.double({ min: -3000, max: 6000, noNaN: true }),
          rx: fc.double({ min: 50, max: 2000, noNaN: true }),
          flat: fc.double({ min: 0.3, max: 0.97, noNaN: true }),
          deg: fc.double({ min: 0, max: 179.9, noNaN: true }),
          n: fc.integer({ min: 5, max: 30 }),
        }),
        ({ cx, cy, rx, flat, deg, n }) => {
          const { ellipse, residualPx } = fitEllipse(around({ cx, cy, rx, ry: rx * flat, deg }, n), 2);
          const [large, small] = [Math.max(ellipse.rx, ellipse.ry), Math.min(ellipse.rx, ellipse.ry)];
          expect(Math.abs(ellipse.cx - cx)).toBeLessThan(1e-5 * rx);
          expect(Math.abs(ellipse.cy - cy)).toBeLessThan(1e-5 * rx);
          expect(Math.abs(large / rx - 1)).toBeLessThan(1e-5);
          expect(Math.abs(small / (rx * flat) - 1)).toBeLessThan(1e-5);
          const turn = ellipse.angle_deg + (ellipse.rx >= ellipse.ry ? 0 : 90);
          const off = (((turn - deg + 90) % 180) + 180) % 180;
          expect(Math.abs(off - 90)).toBeLessThan(0.01);
          expect(residualPx).toBeLessThan(1e-4 * rx);
        },
      ),
      { numRuns: 200 },
    );
  });

  test("with noise the truth lies within the stated uncertainty about as often as it should", () => {
    const random = seeded(41);
    const truth = { cx: 1000, cy: 800, rx: 520, ry: 480, deg: 25 };
    const trials = 300;
    const scores = { d: 0, cx: 0, spreadD: 0 };
    for (let i = 0; i < trials; i++) {
      const fit = fitEllipse(
        around(truth, 10, () => 3 * random.normal()),
        3,
      );
      const off = fit.diameterPx.value - 2 * Math.sqrt(truth.rx * truth.ry);
      if (Math.abs(off) <= 2 * fit.diameterPx.u) scores.d++;
      if (Math.abs(fit.ellipse.cx - truth.cx) <= 2 * fit.u.cx) scores.cx++;
      scores.spreadD += off * off;
    }
    expect(scores.d / trials).toBeGreaterThan(0.9);
    expect(scores.cx / trials).toBeGreaterThan(0.9);
    const stated = fitEllipse(around(truth, 10), 3).diameterPx.u;
    expect(Math.sqrt(scores.spreadD / trials) / stated).toBeGreaterThan(0.8);
    expect(Math.sqrt(scores.spreadD / trials) / stated).toBeLessThan(1.2);
  });

  test("a poor fit states a larger uncertainty than the placing", () => {
    const random = seeded(5);
    const rough = fitEllipse(
      around({ cx: 0, cy: 0, rx: 500, ry: 450, deg: 0 }, 12, () => 20 * random.normal()),
      2,
    );
    const smooth = fitEllipse(around({ cx: 0, cy: 0, rx: 500, ry: 450, deg: 0 }, 12), 2);
    expect(rough.residualPx).toBeGreaterThan(5);
    expect(rough.diameterPx.u).toBeGreaterThan(3 * smooth.diameterPx.u);
  });

  test("half a rim is known less well than a whole one", () => {
    const truth = { cx: 0, cy: 0, rx: 500, ry: 450, deg: 0 };
    const half = fitEllipse(
      around(truth, 12, () => 0, 0, Math.PI),
      2,
    );
    expect(half.ellipse.rx).toBeCloseTo(500, 3);
    expect(half.diameterPx.u).toBeGreaterThan(2 * fitEllipse(around(truth, 12), 2).diameterPx.u);
  });

  test("a circle is fitted as a circle, and its angle is unknown", () => {
    const truth = { cx: 700, cy: 600, rx: 300, ry: 300, deg: 0 };
    const asEllipse = fitEllipse(around(truth, 8), 2);
    expect(asEllipse.ellipse.rx).toBeCloseTo(300, 6);
    expect(asEllipse.ellipse.ry).toBeCloseTo(300, 6);
    expect(asEllipse.u.angleDeg).toBeCloseTo(180 / Math.sqrt(12), 6);
    const asCircle = fitCircle(around(truth, 3), 2);
    expect(asCircle.ellipse).toMatchObject({
      rx: expect.closeTo(300, 6) as number,
      cx: expect.closeTo(700, 6) as number,
    });
    expect(asCircle.residualPx).toBeLessThan(1e-9);
    // Eight clicks round a circle: u(r) = u/√8.
    expect(fitCircle(around(truth, 8), 2).u.rx).toBeCloseTo(2 / Math.sqrt(8), 3);
  });

  test("a short, noisy arc of a circle is not pulled small", () => {
    const random = seeded(9);
    const radii = Array.from(
      { length: 60 },
      () =>
        fitCircle(
          around({ cx: 0, cy: 0, rx: 400, ry: 400, deg: 0 }, 20, () => 2 * random.normal(), 0, 2),
          2,
        ).ellipse.rx,
    );
    expect(Math.abs(radii.reduce((s, r) => s + r, 0) / radii.length - 400)).toBeLessThan(4);
  });

  test("too few points, points on a line and points on each other are refused", () => {
    const on = (n: number): Point[] => Array.from({ length: n }, (_, i): Point => [i, 2 * i]);
    expect(() => fitEllipse(on(4), 2)).toThrow(/at least 5/);
    expect(() => fitEllipse(on(8), 2)).toThrow(/Spread them/);
    expect(() => fitCircle(on(2), 2)).toThrow(/at least 3/);
    expect(() => fitCircle(on(8), 2)).toThrow(/Spread them/);
    expect(() =>
      fitEllipse(
        Array.from({ length: 6 }, (): Point => [3, 3]),
        2,
      ),
    ).toThrow(/Spread them/);
  });
});

describe("small linear algebra", () => {
  test("an inverse undoes its matrix, a singular one is null", () => {
    const m = [
      [0, 2, 1],
      [1, 1, 4],
      [3, 0, 1],
    ];
    const product = multiply(m, inverse(m) ?? []);
    product.forEach((row, i) => row.forEach((v, j) => expect(v).toBeCloseTo(i === j ? 1 : 0, 12)));
    expect(
      inverse([
        [1, 2],
        [2, 4],
      ]),
    ).toBeNull();
  });

  test("real roots of a cubic, largest first", () => {
    const three = realCubicRoots(-6, 11, -6);
    [3, 2, 1].forEach((r, i) => expect(three[i]).toBeCloseTo(r, 10));
    expect(realCubicRoots(0, 0, -8)).toEqual([expect.closeTo(2, 10)]);
    expect(realCubicRoots(-3, 3, -1)).toEqual([expect.closeTo(1, 10)]);
  });
});
