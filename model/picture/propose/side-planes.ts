import type { GreyImage, Raster } from "../pixels/grey.ts";
import { newGrey } from "../pixels/grey.ts";

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

/**
 * Luma and warmth of a photograph, in one pass over its pixels.
 *
 * @source ITU-R BT.709-6, 3.2 (coefficients of luma)
 */
export function sidePlanes(raster: Raster): SidePlanes {
  const { widthPx, heightPx, rgba } = raster;
  const by = Math.max(1, Math.round(Math.max(widthPx, heightPx) / SMALL_PX));
  const w = Math.max(1, Math.floor(widthPx / by));
  const h = Math.max(1, Math.floor(heightPx / by));
  const small = newGrey(w, h);
  const warm = newGrey(w, h);
  const share = 1 / (by * by);
  for (let y = 0; y < heightPx; y++) {
    const row = Math.floor(y / by);
    for (let x = 0, from = 4 * y * widthPx; x < widthPx; x++, from += 4) {
      const r = rgba[from]!;
      const b = rgba[from + 2]!;
      const l = (0.2126 * r + 0.7152 * rgba[from + 1]! + 0.0722 * b) / 255;
      const column = Math.floor(x / by);
      if (row >= h || column >= w) continue;
      small.data[row * w + column]! += l * share;
      warm.data[row * w + column]! += ((r - b) / 510) * share;
    }
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
