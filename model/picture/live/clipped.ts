import type { Raster } from "../pixels/grey.ts";

/** From this value on a colour counts as clipped: the last steps below 255 are lost to noise and sharpening. @source common practice, no source */
export const CLIPPED_FROM = 253;

/** Where highlights have run out of range: what is lost there no later setting brings back. */
export interface Clipped {
  /** Share of the pixels, 0–1. */
  readonly share: number;
  readonly widthPx: number;
  readonly heightPx: number;
  /** 1 where clipped, row by row. */
  readonly mask: Uint8Array;
}

/** Pixels of which any colour is at its limit. */
export function clippedHighlights({ widthPx, heightPx, rgba }: Raster): Clipped {
  const mask = new Uint8Array(widthPx * heightPx);
  let count = 0;
  for (let i = 0, at = 0; i < mask.length; i++, at += 4)
    if (rgba[at]! >= CLIPPED_FROM || rgba[at + 1]! >= CLIPPED_FROM || rgba[at + 2]! >= CLIPPED_FROM) {
      mask[i] = 1;
      count += 1;
    }
  return { share: mask.length === 0 ? 0 : count / mask.length, widthPx, heightPx, mask };
}
