import type { PngPixels } from "../../model/picture/header.ts";
import { PaletteCheck } from "../../model/picture/palette-check.ts";
import { inflateInto } from "./inflate.ts";

/**
 * Unpacks a PNG once to see that all of it is there: browsers show what they can of a damaged one and say nothing.
 * @throws PictureError truncated, damaged.
 */
export async function checkPngPixels(blob: Blob, png: PngPixels): Promise<void> {
  const packed = new Blob(png.parts.map(({ offset, length }) => blob.slice(offset, offset + length)));
  const palette = png.paletteSize === null ? null : new PaletteCheck(png, png.paletteSize);
  await inflateInto(packed, png.rawBytes, (piece) => palette?.feed(piece));
}
