import type { GreyImage } from "./grey.ts";
import { sampleGrey } from "./grey.ts";
import type { Point } from "../../break/geometry.ts";

/** Slope of a grey picture, grey per px; x to the right, y down. */
export interface Gradient {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly x: Float32Array;
  readonly y: Float32Array;
}

/**
 * Slope at every pixel by the 3 × 3 weights (3, 10, 3)/32, which keep the direction truest; beyond the edge the edge
 * pixel goes on.
 *
 * @source H. Scharr, "Optimale Operatoren in der digitalen Bildverarbeitung", thesis, Heidelberg 2000; from memory.
 */
export function gradientOf({ widthPx, heightPx, data }: GreyImage): Gradient {
  const gx = new Float32Array(data.length);
  const gy = new Float32Array(data.length);
  for (let y = 0; y < heightPx; y++) {
    const up = Math.max(0, y - 1) * widthPx;
    const mid = y * widthPx;
    const low = Math.min(heightPx - 1, y + 1) * widthPx;
    for (let x = 0; x < widthPx; x++) {
      const left = Math.max(0, x - 1);
      const right = Math.min(widthPx - 1, x + 1);
      const [a, c] = [data[up + left]!, data[up + right]!];
      const [g, i] = [data[low + left]!, data[low + right]!];
      gx[mid + x] = (3 * (c - a + (i - g)) + 10 * (data[mid + right]! - data[mid + left]!)) / 32;
      gy[mid + x] = (3 * (g - a + (i - c)) + 10 * (data[low + x]! - data[up + x]!)) / 32;
    }
  }
  return { widthPx, heightPx, x: gx, y: gy };
}

/** An edge found along a short line across it. */
export interface EdgeOnNormal {
  /** Where, px from the place that was given, along the normal. */
  readonly offsetPx: number;
  /** Slope there along the normal, grey per px; positive = brighter in the direction of the normal. */
  readonly slope: number;
}

/**
 * Place of the steepest grey step on a line across an expected edge, between pixels by a parabola through the slopes.
 *
 * @param at – expected place, px. @param normal – unit vector across the edge. @param reachPx – how far to look each way.
 * @param sign – 1: only steps that get brighter along the normal; −1: darker; 0: either.
 * @returns null when no step of that sign lies within reach.
 * @source F. Devernay, "A non-maxima suppression method for edge detection with sub-pixel accuracy", INRIA RR-2724 (1995);
 *   from memory.
 */
export function edgeOnNormal(
  image: GreyImage,
  at: Point,
  normal: Point,
  reachPx: number,
  sign: -1 | 0 | 1,
): EdgeOnNormal | null {
  const n = Math.max(2, Math.ceil(2 * reachPx)) + 2;
  const value = (k: number): number =>
    sampleGrey(image, at[0] + normal[0] * (k - n) * 0.5, at[1] + normal[1] * (k - n) * 0.5);
  const values = Float64Array.from({ length: 2 * n + 1 }, (_, k) => value(k));
  // A pixel each way: closer, the straight lines between pixels would show as steps.
  const slope = (k: number): number => (values[k + 2]! - values[k - 2]!) / 2;
  const weight = (k: number): number => (sign === 0 ? Math.abs(slope(k)) : sign * slope(k));
  let best = 0;
  let peak = 0;
  for (let k = 2; k <= 2 * n - 2; k++)
    if (weight(k) > peak) {
      peak = weight(k);
      best = k;
    }
  if (best === 0) return null;
  const before = best > 2 ? weight(best - 1) : peak;
  const after = best < 2 * n - 2 ? weight(best + 1) : peak;
  const bend = before - 2 * peak + after;
  const shift = bend < 0 ? Math.max(-0.5, Math.min(0.5, (0.5 * (before - after)) / bend)) : 0;
  return { offsetPx: (best - n + shift) * 0.5, slope: slope(best) };
}
