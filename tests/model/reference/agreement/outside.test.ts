import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import type { Point } from "../../../../model/break/geometry.ts";
import { bestMatch } from "../../../../model/reference/agreement/best-match.ts";
import { cohenKappa } from "../../../../model/reference/agreement/kappa.ts";
import { type AreaGeometry, overlapOf } from "../../../../model/reference/agreement/overlap.ts";

interface Outside {
  readonly kappas: readonly {
    readonly counts: number[][];
    readonly weights: "same-only";
    readonly sklearn: number;
    readonly kappa: number;
    readonly se: number;
    readonly seWithoutAgreement: number;
    readonly low: number;
    readonly high: number;
  }[];
  readonly areas: readonly { readonly a: Point[]; readonly b: Point[]; readonly iou: number }[];
  readonly ellipses: readonly { readonly pair: [AreaGeometry, AreaGeometry]; readonly iou: number }[];
  readonly matches: readonly { readonly worth: number[][]; readonly best: number }[];
}
/** Made by tests/outside/agreement.py. */
const outside = JSON.parse(
  readFileSync(new URL("../../../outside/agreement.json", import.meta.url), "utf8"),
) as Outside;

describe("scikit-learn and statsmodels", () => {
  test.each(outside.kappas.map((row) => [`${row.counts.length} labels, ${row.weights}`, row] as const))(
    "kappa, its errors and its interval: %s",
    (_name, row) => {
      const k = cohenKappa({ labels: row.counts.map((_, i) => `L${i}`), counts: row.counts }, row.weights);
      expect(k.kappa).toBeCloseTo(row.sklearn, 9);
      expect(k.kappa).toBeCloseTo(row.kappa, 9);
      expect(k.se).toBeCloseTo(row.se, 9);
      expect(k.seWithoutAgreement).toBeCloseTo(row.seWithoutAgreement, 9);
      expect(k.low).toBeCloseTo(Math.max(-1, row.low), 9);
      expect(k.high).toBeCloseTo(Math.min(1, row.high), 9);
    },
  );
});

describe("scikit-image, NumPy and SciPy", () => {
  test("overlap of polygons and ellipses, counted in pixels there", () => {
    for (const { a, b, iou } of outside.areas)
      expect(
        Math.abs(overlapOf({ type: "polygon", points: a }, { type: "polygon", points: b }).iou - iou),
      ).toBeLessThan(0.004);
    for (const { pair, iou } of outside.ellipses) expect(Math.abs(overlapOf(...pair).iou - iou)).toBeLessThan(0.004);
    expect(outside.areas.length + outside.ellipses.length).toBe(18);
  });

  test("worth of the best pairs", () => {
    for (const { worth, best } of outside.matches) {
      const sum = bestMatch(worth).reduce((s, j, i) => s + (j < 0 ? 0 : worth[i]![j]!), 0);
      expect(sum).toBeCloseTo(best, 9);
    }
  });
});
