import type { GreyImage, Raster } from "../pixels/grey.ts";
import { newGrey, shrinkGrey } from "../pixels/grey.ts";

/** Red, green and blue of a smaller copy, 0–1 each; pixel (x, y) is the mean of `by` × `by` pixels. */
export interface ColourPlanes {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Pixels of the raster per pixel of the copy. */
  readonly by: number;
  readonly planes: readonly [GreyImage, GreyImage, GreyImage];
}

/**
 * A copy of a raster small enough to search through quickly.
 *
 * @param longestPx – the copy's longer side is at most about this.
 */
export function shrinkColour({ widthPx, heightPx, rgba }: Raster, longestPx: number): ColourPlanes {
  const by = Math.max(1, Math.round(Math.max(widthPx, heightPx) / longestPx));
  const w = Math.max(1, Math.floor(widthPx / by));
  const h = Math.max(1, Math.floor(heightPx / by));
  const planes = [newGrey(w, h), newGrey(w, h), newGrey(w, h)] as const;
  const [red, green, blue] = planes;
  const share = 1 / (255 * by * by);
  for (let y = 0; y < h * by && y < heightPx; y++) {
    const to = Math.floor(y / by) * w;
    for (let x = 0, at = y * widthPx * 4; x < w; x++) {
      let [r, g, b] = [0, 0, 0];
      for (let i = 0; i < by; i++, at += 4) {
        r += rgba[at]!;
        g += rgba[at + 1]!;
        b += rgba[at + 2]!;
      }
      red.data[to + x]! += r * share;
      green.data[to + x]! += g * share;
      blue.data[to + x]! += b * share;
    }
  }
  return { widthPx: w, heightPx: h, by, planes };
}

/** A copy of half its size. */
export function halfColour({ by, planes: [red, green, blue] }: ColourPlanes): ColourPlanes {
  const planes = [shrinkGrey(red, 2), shrinkGrey(green, 2), shrinkGrey(blue, 2)] as const;
  return { widthPx: planes[0].widthPx, heightPx: planes[0].heightPx, by: 2 * by, planes };
}
