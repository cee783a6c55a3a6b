import type { GreyImage, Raster } from "../pixels/grey.ts";
import { newGrey } from "../pixels/grey.ts";

/** A photograph made smaller: mean colours of squares. */
export interface SmallColours {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Pixels of the raster per pixel of the smaller copy. */
  readonly by: number;
  /** Red, green and blue in turn, 0–1, row by row. */
  readonly rgb: Float32Array;
}

/** What the side finder looks at: the photograph, and brightness and warmth of a smaller, smoothed copy. */
export interface SidePlanes {
  readonly raster: Raster;
  /** Luma of the smaller copy, 0–1, smoothed with a 5-tap binomial. */
  readonly smallLuma: GreyImage;
  /** Half the red less the blue of the smaller copy, −0.5–0.5, smoothed likewise: copper stands out on any grey card. */
  readonly smallWarmth: GreyImage;
  /** Pixels of the raster per pixel of the smaller copy. */
  readonly by: number;
}

/** Longest side of the smaller copy, px, about: small enough to be quick and quiet, large enough for thin wires. */
const SMALL_PX = 700;

/** Mean colours of a photograph's squares, in one pass over its pixels. */
export function smallColours({ widthPx, heightPx, rgba }: Raster): SmallColours {
  const by = Math.max(1, Math.round(Math.max(widthPx, heightPx) / SMALL_PX));
  const w = Math.max(1, Math.floor(widthPx / by));
  const h = Math.max(1, Math.floor(heightPx / by));
  const rgb = new Float32Array(3 * w * h);
  const share = 1 / (255 * by * by);
  for (let y = 0; y < h; y++)
    for (let x = 0; x < w; x++) {
      let r = 0;
      let g = 0;
      let b = 0;
      for (let j = 0; j < by; j++) {
        const from = 4 * ((y * by + j) * widthPx + x * by);
        for (let at = from; at < from + 4 * by; at += 4) {
          r += rgba[at]!;
          g += rgba[at + 1]!;
          b += rgba[at + 2]!;
        }
      }
      const to = 3 * (y * w + x);
      rgb[to] = r * share;
      rgb[to + 1] = g * share;
      rgb[to + 2] = b * share;
    }
  return { widthPx: w, heightPx: h, by, rgb };
}

/**
 * Luma and warmth of a photograph's smaller copy.
 *
 * @source ITU-R BT.709-6, 3.2 (coefficients of luma)
 */
export function sidePlanes(raster: Raster, { widthPx, heightPx, by, rgb }: SmallColours): SidePlanes {
  const small = newGrey(widthPx, heightPx);
  const warm = newGrey(widthPx, heightPx);
  for (let i = 0, at = 0; i < small.data.length; i++, at += 3) {
    small.data[i] = 0.2126 * rgb[at]! + 0.7152 * rgb[at + 1]! + 0.0722 * rgb[at + 2]!;
    warm.data[i] = (rgb[at]! - rgb[at + 2]!) / 2;
  }
  return { raster, smallLuma: binomial(small), smallWarmth: binomial(warm), by };
}

/** Smooths with 1 4 6 4 1 along rows and columns; the edge pixel goes on beyond the edge. */
export function binomial(image: GreyImage): GreyImage {
  return pass(pass(image, true), false);
}

function pass({ widthPx, heightPx, data }: GreyImage, rowWise: boolean): GreyImage {
  const out = newGrey(widthPx, heightPx);
  const length = rowWise ? widthPx : heightPx;
  const lines = rowWise ? heightPx : widthPx;
  const step = rowWise ? 1 : widthPx;
  const next = rowWise ? widthPx : 1;
  for (let line = 0; line < lines; line++) {
    const from = line * next;
    const last = length - 1;
    for (let i = 0; i < length; i++) {
      const at = from + i * step;
      const a = from + Math.max(0, i - 2) * step;
      const b = from + Math.max(0, i - 1) * step;
      const d = from + Math.min(last, i + 1) * step;
      const e = from + Math.min(last, i + 2) * step;
      out.data[at] = (data[a]! + data[e]! + 4 * (data[b]! + data[d]!) + 6 * data[at]!) / 16;
    }
  }
  return out;
}
