import type { DeepRaster } from "../../model/picture/deep-raster.ts";
import type { PngPixels } from "../../model/picture/header.ts";
import { PaletteCheck } from "../../model/picture/palette-check.ts";
import { pngDeep } from "../../model/picture/png-deep.ts";
import { inflateInto } from "./inflate.ts";

/**
 * Unpacks a PNG once to see that all of it is there: browsers show what they can of a damaged one and say nothing.
 * @throws PictureError truncated, damaged.
 */
export async function checkPngPixels(blob: Blob, png: PngPixels): Promise<void> {
  const palette = png.paletteSize === null ? null : new PaletteCheck(png, png.paletteSize);
  await inflateInto(packedPixels(blob, png), png.rawBytes, (piece) => palette?.feed(piece));
}

/**
 * The 16-bit samples of a PNG; browsers would hand over 8 bits of them. All of the picture must be there.
 * @throws PictureError truncated, damaged.
 */
export async function pngSamples(blob: Blob, png: PngPixels): Promise<DeepRaster> {
  const raw = new Uint8Array(png.rawBytes);
  await inflateInto(packedPixels(blob, png), png.rawBytes, (piece, at) => {
    raw.set(piece, at);
  });
  return pngDeep(raw, png);
}

const packedPixels = (blob: Blob, png: PngPixels) =>
  new Blob(png.parts.map(({ offset, length }) => blob.slice(offset, offset + length)));
