import type { ByteReader } from "./byte-reader.ts";
import { unpackLzw } from "./lzw.ts";
import { unpackBits } from "./pack-bits.ts";
import { PictureError } from "./picture-error.ts";
import { blockBytes, blockRows } from "./tiff-header.ts";
import type { TiffLayout } from "./tiff-layout.ts";

/** Unpacks Deflate (zlib) data into exactly `length` bytes; the platform brings the method. */
export type Inflate = (packed: Uint8Array, length: number) => Promise<Uint8Array>;

/**
 * Decodes the first page of an 8-bit TIFF, as stored: the orientation is not applied. Every strip or tile must unpack
 * to its full length, so a gap is an error and never grey.
 * @returns rows × columns × RGBA, 0–255, opaque.
 * @throws PictureError truncated, damaged, unsupported-kind (JPEG-compressed: not decoded here).
 * @source TIFF 6.0 (1992), sections 3–9, 13–16.
 */
export async function tiffPixels(
  reader: ByteReader,
  layout: TiffLayout,
  inflate: Inflate,
): Promise<Uint8ClampedArray<ArrayBuffer>> {
  const { widthPx, heightPx, blockWidthPx, blockHeightPx, samples } = layout;
  const across = Math.ceil(widthPx / blockWidthPx);
  const down = Math.ceil(heightPx / blockHeightPx);
  const rgba = new Uint8ClampedArray(widthPx * heightPx * 4);
  const apart = layout.planes === "apart";
  const step = apart ? 1 : samples;
  for (const [index, block] of layout.blocks.entries()) {
    const packed = await reader.read(block.offset, block.length);
    const length = blockBytes(layout, index);
    const raw = await unpack(packed, length, layout.compression, inflate);
    const stride = blockWidthPx * step;
    if (layout.differences) addDifferences(raw, stride, step);
    const plane = apart ? Math.floor(index / (across * down)) : 0;
    const inPlane = index % (across * down);
    const left = (inPlane % across) * blockWidthPx;
    const top = Math.floor(inPlane / across) * blockHeightPx;
    const columns = Math.min(blockWidthPx, widthPx - left);
    const rows = Math.min(blockRows(layout, inPlane), heightPx - top);
    // Samples wait in the four channels of the result until all are there. A fifth one is never shown.
    const take = Math.min(step, 4);
    if (plane > 3) continue;
    for (let y = 0; y < rows; y++) {
      let from = y * stride;
      let to = ((top + y) * widthPx + left) * 4 + plane;
      for (let x = 0; x < columns; x++, from += step, to += 4) {
        for (let s = 0; s < take; s++) rgba[to + s] = raw[from + s] ?? 0;
      }
    }
  }
  toRgb(rgba, layout);
  return rgba;
}

async function unpack(packed: Uint8Array, length: number, compression: number, inflate: Inflate): Promise<Uint8Array> {
  switch (compression) {
    case 1:
      return packed.slice(0, length);
    case 5:
      if (packed[0] === 0 && ((packed[1] ?? 0) & 1) === 1) {
        throw new PictureError("unsupported-kind", "This TIFF uses an outdated form of LZW that is not read.");
      }
      return unpackLzw(packed, length);
    case 8:
    case 32946:
      return inflate(packed, length);
    case 32773:
      return unpackBits(packed, length);
    default:
      throw new PictureError("unsupported-kind", `TIFF compression ${String(compression)} is not read.`);
  }
}

/** Undoes horizontal differencing. @source TIFF 6.0 (1992), section 14. */
function addDifferences(raw: Uint8Array, stride: number, step: number): void {
  for (let row = 0; row < raw.length; row += stride) {
    const end = Math.min(row + stride, raw.length);
    for (let i = row + step; i < end; i++) raw[i] = (raw[i] ?? 0) + (raw[i - step] ?? 0);
  }
}

/** Turns the samples waiting in the four channels into opaque RGB, in place. */
function toRgb(rgba: Uint8ClampedArray, layout: TiffLayout): void {
  const { photometric, palette } = layout;
  if (photometric === 3 && palette) {
    const table = eightBit(palette);
    for (let i = 0; i < rgba.length; i += 4) {
      const index = rgba[i] ?? 0;
      rgba[i] = table[index] ?? 0;
      rgba[i + 1] = table[256 + index] ?? 0;
      rgba[i + 2] = table[512 + index] ?? 0;
      rgba[i + 3] = 255;
    }
    return;
  }
  for (let i = 0; i < rgba.length; i += 4) {
    const first = rgba[i] ?? 0;
    if (photometric === 0 || photometric === 1) {
      const grey = photometric === 0 ? 255 - first : first;
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
