import type { ByteReader } from "./byte-reader.ts";
import { eachBlock, type Unpackers } from "./tiff-blocks.ts";
import type { TiffLayout } from "./tiff-layout.ts";

/**
 * Decodes one page of a TIFF of at most 8 bits a sample, as stored: the orientation is not applied.
 * @returns rows × columns × RGBA, 0–255, opaque.
 * @throws PictureError truncated, damaged, unsupported-kind (JPEG-compressed: not decoded here).
 */
export async function tiffPixels(
  reader: ByteReader,
  layout: TiffLayout,
  unpackers: Unpackers,
): Promise<Uint8ClampedArray<ArrayBuffer>> {
  const { widthPx } = layout;
  const rgba = new Uint8ClampedArray(widthPx * layout.heightPx * 4);
  await eachBlock(reader, layout, unpackers, (samples, { left, top, columns, rows, firstSample, step, stride }) => {
    // Samples wait in the four channels of the result until all are there. A fifth one is never shown.
    const take = Math.min(step, 4);
    if (firstSample > 3) return;
    for (let y = 0; y < rows; y++) {
      let from = y * stride;
      let to = ((top + y) * widthPx + left) * 4 + firstSample;
      for (let x = 0; x < columns; x++, from += step, to += 4) {
        for (let s = 0; s < take; s++) rgba[to + s] = samples[from + s]!;
      }
    }
  });
  toRgb(rgba, layout);
  return rgba;
}

/** Turns the samples waiting in the four channels into opaque RGB, in place. */
function toRgb(rgba: Uint8ClampedArray, layout: TiffLayout): void {
  const { photometric, palette, bits } = layout;
  if (photometric === 3 && palette) {
    const table = eightBit(palette);
    const colours = 1 << bits;
    for (let i = 0; i < rgba.length; i += 4) {
      const index = rgba[i] ?? 0;
      rgba[i] = table[index] ?? 0;
      rgba[i + 1] = table[colours + index] ?? 0;
      rgba[i + 2] = table[2 * colours + index] ?? 0;
      rgba[i + 3] = 255;
    }
    return;
  }
  const full = 255 / ((1 << bits) - 1);
  for (let i = 0; i < rgba.length; i += 4) {
    const first = rgba[i] ?? 0;
    if (photometric === 0 || photometric === 1) {
      const grey = photometric === 0 ? 255 - first * full : first * full;
      rgba[i] = grey;
      rgba[i + 1] = grey;
      rgba[i + 2] = grey;
    } else if (photometric === 5) {
      const white = 255 - (rgba[i + 3] ?? 0);
      rgba[i] = ((255 - first) * white) / 255;
      rgba[i + 1] = ((255 - (rgba[i + 1] ?? 0)) * white) / 255;
      rgba[i + 2] = ((255 - (rgba[i + 2] ?? 0)) * white) / 255;
    }
    rgba[i + 3] = 255;
  }
}

/** Palettes hold 16-bit values; some writers fill in 8-bit ones, which shows in that none is above 255. */
function eightBit(palette: readonly number[]): number[] {
  const small = palette.every((value) => value < 256);
  return palette.map((value) => (small ? value : value >> 8));
}
