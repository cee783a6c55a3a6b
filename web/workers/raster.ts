import type { Raster } from "../../model/picture/pixels/grey.ts";
import { shrink } from "./copies.ts";
import { AS_IT_COMES, type ShownAs } from "../../model/picture/shown-as.ts";
import { blank, decodeFile } from "./decode.ts";

export interface ReadRaster {
  readonly raster: Raster;
  /** Size of the photograph over size of the raster, at least 1. */
  readonly shrunkBy: number;
}

/**
 * Pixels of a photograph for finding and comparing, upright.
 *
 * @param maxPx – bound of the longest side; null = full size (reading 24 megapixels back costs up to a second).
 * @param shown – page and tone of the photograph's record.
 * @throws PictureError as `decodeUpright`.
 */
export async function rasterOf(blob: Blob, maxPx: number | null, shown: ShownAs = AS_IT_COMES): Promise<ReadRaster> {
  const full = await decodeFile(blob, "limits", shown);
  const bitmap = maxPx === null ? full : await shrink(full, maxPx);
  try {
    const { context } = blank(bitmap.width, bitmap.height);
    context.drawImage(bitmap, 0, 0);
    const { data, width, height } = context.getImageData(0, 0, bitmap.width, bitmap.height);
    return { raster: { widthPx: width, heightPx: height, rgba: data }, shrunkBy: full.width / width };
  } finally {
    bitmap.close();
    if (bitmap !== full) full.close();
  }
}
