import { blurGrey } from "../../../model/picture/pixels/gaussian.ts";
import type { GreyImage } from "../../../model/picture/pixels/grey.ts";
import { newGrey } from "../../../model/picture/pixels/grey.ts";

export const MADE = { widthPx: 160, heightPx: 120 };

/** A number of 0–1 for a place and a seed, the same everywhere. */
function hashed(x: number, y: number, seed: number): number {
  let h = Math.imul(x + 1, 374761393) ^ Math.imul(y + 1, 668265263) ^ Math.imul(seed + 1, 2147483647);
  h = Math.imul(h ^ (h >>> 13), 1274126177);
  return ((h ^ (h >>> 16)) >>> 0) / 4294967296;
}

/** Grain of about two pixels round mid grey. */
export function grainy(seed: number, { widthPx, heightPx } = MADE): GreyImage {
  const image = newGrey(widthPx, heightPx);
  for (let y = 0; y < heightPx; y++) for (let x = 0; x < widthPx; x++) image.data[y * widthPx + x] = hashed(x, y, seed);
  const soft = blurGrey(image, 0.9);
  return { ...soft, data: soft.data.map((v) => 0.5 + 1.6 * (v - 0.5)) };
}

const SIGMAS = [0, 0.5, 0.8, 1.2, 1.7, 2.4, 3.4, 4.8, 6.8];

/**
 * A series of frames of a grainy face: each pixel is read from copies of rising blur by its distance from focus.
 *
 * @param heightOf – place to height, in steps, toward the lens; frame k is in focus at height −k.
 * @param change – brightness of frame k.
 */
export function madeSeries(
  frames: number,
  heightOf: (x: number, y: number) => number,
  change: (k: number) => number = () => 1,
  noise = 0.004,
): GreyImage[] {
  const sharp = grainy(7);
  const blurred = SIGMAS.map((s) => blurGrey(sharp, s));
  const { widthPx, heightPx } = sharp;
  return Array.from({ length: frames }, (_, k) => {
    const frame = newGrey(widthPx, heightPx);
    for (let y = 0; y < heightPx; y++)
      for (let x = 0; x < widthPx; x++) {
        const sigma = Math.min(6.79, 0.8 * Math.abs(heightOf(x, y) + k));
        const n = SIGMAS.findLastIndex((s) => s <= sigma);
        const [low, high] = [SIGMAS[n]! ** 2, SIGMAS[n + 1]! ** 2];
        const t = (sigma * sigma - low) / (high - low);
        const at = y * widthPx + x;
        const v = blurred[n]!.data[at]! * (1 - t) + blurred[n + 1]!.data[at]! * t;
        frame.data[at] = change(k) * v + noise * (hashed(x, y, 100 + k) - 0.5);
      }
    return frame;
  });
}
