import { readerWithin, type ByteReader } from "../../model/picture/byte-reader.ts";
import { walkJpeg } from "../../model/picture/jpeg-header.ts";
import { PictureError } from "../../model/picture/picture-error.ts";
import type { DeepRaster } from "../../model/picture/deep-raster.ts";
import type { DeepSample } from "../../model/picture/deep-tone.ts";
import type { Unpackers } from "../../model/picture/tiff-blocks.ts";
import { tiffDeep } from "../../model/picture/tiff-deep.ts";
import { blockRows, type TiffLayout } from "../../model/picture/tiff-layout.ts";
import { tiffPixels } from "../../model/picture/tiff-pixels.ts";
import { inflate } from "./inflate.ts";
import { unpackZstd } from "./zstd.ts";

const JPEG = 7;
const UNPACKERS: Unpackers = { inflate, zstd: unpackZstd };

/**
 * Samples of a deep TIFF whose layout was read and checked before, as stored.
 * @throws PictureError truncated, damaged, unsupported-kind.
 */
export const tiffSamples = (reader: ByteReader, layout: TiffLayout, sample: DeepSample): Promise<DeepRaster> =>
  tiffDeep(reader, layout, sample, UNPACKERS);

/**
 * Decodes a page of a TIFF whose layout was read and checked before. Browsers decode no TIFF.
 * @returns the picture as stored; the orientation is not applied.
 * @throws PictureError truncated, damaged, unsupported-kind, decoder-failed.
 */
export async function decodeTiff(blob: Blob, reader: ByteReader, layout: TiffLayout): Promise<ImageData> {
  const pixels =
    layout.compression === JPEG ? await jpegPixels(blob, reader, layout) : await tiffPixels(reader, layout, UNPACKERS);
  return new ImageData(pixels, layout.widthPx, layout.heightPx);
}

/** The library for TIFF is loaded for this rare kind alone; its own workers are never started. */
async function jpegPixels(blob: Blob, reader: ByteReader, layout: TiffLayout): Promise<Uint8ClampedArray<ArrayBuffer>> {
  await checkJpegBlocks(reader, layout);
  const { fromBlob } = await import("geotiff");
  let rgb: ArrayLike<number>;
  try {
    const image = await (await fromBlob(blob)).getImage(0);
    rgb = await image.readRGB({ interleave: true });
  } catch {
    throw new PictureError("decoder-failed", "This JPEG-compressed TIFF cannot be decoded.");
  }
  const count = layout.widthPx * layout.heightPx;
  if (rgb.length !== 3 * count)
    throw new PictureError("decoder-failed", "This TIFF decodes to another size than it states.");
  const rgba = new Uint8ClampedArray(4 * count);
  for (let i = 0, from = 0; i < rgba.length; i += 4, from += 3) {
    rgba[i] = rgb[from] ?? 0;
    rgba[i + 1] = rgb[from + 1] ?? 0;
    rgba[i + 2] = rgb[from + 2] ?? 0;
    rgba[i + 3] = 255;
  }
  return rgba;
}

/** Each strip or tile is a JPEG with a size of its own: a false one could ask for any amount of memory. */
async function checkJpegBlocks(reader: ByteReader, layout: TiffLayout): Promise<void> {
  for (const [index, block] of layout.blocks.entries()) {
    const within = readerWithin(reader, block);
    await walkJpeg(within, ({ widthPx, heightPx, components }) => {
      const fits = widthPx === layout.blockWidthPx && components.length === layout.samples;
      if (!fits || heightPx < blockRows(layout, index) || heightPx > layout.blockHeightPx) {
        throw new PictureError("damaged", "The TIFF is damaged: a part has another size than the file states.");
      }
    });
  }
}
