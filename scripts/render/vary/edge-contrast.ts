import type { Pixels } from "../develop.ts";

/**
 * How well the wire stands out: brightness just inside its outline against just outside.
 *
 * @param cover – share of each pixel that the wire covers. @param perRadius – px per wire radius: sets the distance.
 * @returns median and tenth percentile of the absolute differences, 8-bit steps; zeros when there is no outline.
 */
export function edgeContrast(
  pixels: Pixels,
  cover: Float32Array,
  perRadius: number,
): { readonly median: number; readonly low: number } {
  const { width, height, rgb } = pixels;
  const step = Math.max(2, Math.round(0.05 * perRadius));
  const bright = (x: number, y: number): number => {
    const at = 3 * (y * width + x);
    return (rgb[at]! + 2 * rgb[at + 1]! + rgb[at + 2]!) / 4;
  };
  const found: number[] = [];
  const every = Math.max(1, Math.round(perRadius / 60));
  for (let y = step; y < height - step; y += every)
    for (let x = step; x < width - step; x++) {
      const at = y * width + x;
      if (cover[at]! >= 0.5 === cover[at + 1]! >= 0.5) continue;
      const inward = cover[at]! >= 0.5 ? -1 : 1;
      found.push(Math.abs(bright(x + inward * step, y) - bright(x - inward * (step - 1), y)));
    }
  for (let x = step; x < width - step; x += every)
    for (let y = step; y < height - step; y++) {
      const at = y * width + x;
      if (cover[at]! >= 0.5 === cover[at + width]! >= 0.5) continue;
      const inward = cover[at]! >= 0.5 ? -1 : 1;
      found.push(Math.abs(bright(x, y + inward * step) - bright(x, y - inward * (step - 1))));
    }
  if (found.length === 0) return { median: 0, low: 0 };
  found.sort((a, b) => a - b);
  const at = (q: number): number => Math.round(found[Math.floor(q * (found.length - 1))]! * 10) / 10;
  return { median: at(0.5), low: at(0.1) };
}
