import type { ByteRange } from "../../model/picture/byte-reader.ts";
import type { CameraData } from "../../model/picture/camera-data.ts";
import { readCameraData } from "../../model/picture/camera-data.ts";
import { chooseTone } from "../../model/picture/choose-tone.ts";
import type { DeepRaster } from "../../model/picture/deep-raster.ts";
import { uprightDeep } from "../../model/picture/deep-raster.ts";
import type { DeepTone } from "../../model/picture/deep-tone.ts";
import type { PictureHeader, WalkDepth } from "../../model/picture/header.ts";
import { PictureError } from "../../model/picture/picture-error.ts";
import { readPictureHeader } from "../../model/picture/sniff.ts";
import { AS_IT_COMES, type ShownAs } from "../../model/picture/shown-as.ts";
import { showDeep } from "../../model/picture/show-deep.ts";
import { uprightSize, uprightTransform } from "../../model/picture/upright.ts";
import { readerOfBlob } from "./blob-reader.ts";
import { checkPngPixels, pngSamples } from "./png-check.ts";
import { decodeTiff, tiffSamples } from "./tiff-decode.ts";

/** Header and camera data together: what is known before a pixel is decoded. */
export interface Opened {
  readonly blob: Blob;
  readonly header: PictureHeader;
  readonly camera: CameraData;
}

/**
 * Judges a file by its header.
 * @param depth – "whole" when it comes in, "limits" for files checked before.
 * @param page – from 0.
 * @throws PictureError
 */
export async function open(blob: Blob, depth: WalkDepth, page = 0): Promise<Opened> {
  const reader = readerOfBlob(blob);
  const header = await readPictureHeader(reader, depth, page);
  return { blob, header, camera: await readCameraData(reader, header) };
}

/** @returns whether browsers show the original upright by themselves; else a working copy is kept. */
export function shownByBrowsers({ header, camera }: Opened): boolean {
  // Browsers agree on the orientation of JPEG only; for PNG and WebP some apply it and some do not.
  return header.kind !== "tiff" && (header.kind === "jpeg" || camera.orientation === 1);
}

/** @returns whether something about the picture shown can be chosen anew, so that no finished copy of it is kept. */
export const shownByChoice = ({ header }: Opened): boolean => (header.deep ?? null) !== null || header.pages > 1;

/**
 * Decodes the photograph in a file, upright.
 * @returns a bitmap that the caller closes.
 * @throws PictureError as `open`, and as `decodeUpright`.
 */
export async function decodeFile(blob: Blob, depth: WalkDepth, shown: ShownAs = AS_IT_COMES): Promise<ImageBitmap> {
  return decodeUpright(await open(blob, depth, shown.page ?? 0), depth, shown.deepTone);
}

/**
 * Decodes a photograph upright.
 * @param tone – black and white of a deep file; left out = chosen from the pixels.
 * @returns a bitmap that the caller closes.
 * @throws PictureError truncated, damaged, decoder-failed.
 */
export async function decodeUpright(opened: Opened, depth: WalkDepth, tone?: DeepTone): Promise<ImageBitmap> {
  return (await decodeToned(opened, depth, tone)).bitmap;
}

/** As `decodeUpright`. @returns the tone used as well; null for 8-bit files. */
export async function decodeToned(
  opened: Opened,
  depth: WalkDepth,
  tone?: DeepTone,
): Promise<{ readonly bitmap: ImageBitmap; readonly deepTone: DeepTone | null }> {
  const raster = await deepUpright(opened);
  if (raster === null) return { bitmap: await decodeShallow(opened, depth), deepTone: null };
  const deepTone = tone ?? chooseTone(raster);
  const pixels = new ImageData(showDeep(raster, deepTone), raster.widthPx, raster.heightPx);
  return { bitmap: await createImageBitmap(pixels), deepTone };
}

/**
 * @returns the samples of a deep file, upright; null for 8-bit files.
 * @throws PictureError truncated, damaged, unsupported-kind.
 */
export async function deepUpright({ blob, header, camera }: Opened): Promise<DeepRaster | null> {
  const sample = header.deep ?? null;
  if (sample === null) return null;
  if (header.tiff) {
    return uprightDeep(await tiffSamples(readerOfBlob(blob), header.tiff, sample), camera.orientation);
  }
  return header.png ? uprightDeep(await pngSamples(blob, header.png), camera.orientation) : null;
}

async function decodeShallow(opened: Opened, depth: WalkDepth): Promise<ImageBitmap> {
  const { blob, header, camera } = opened;
  if (header.png && depth === "whole") await checkPngPixels(blob, header.png);
  const byBrowser = shownByBrowsers(opened);
  const bitmap = header.tiff
    ? await createImageBitmap(await decodeTiff(blob, readerOfBlob(blob), header.tiff))
    : await byTheBrowser(byBrowser ? blob : withoutCameraData(blob, header));
  const upright = byBrowser ? bitmap : turn(bitmap, camera.orientation);
  const expected = uprightSize(header.widthPx, header.heightPx, camera.orientation);
  if (upright.width !== expected.widthPx || upright.height !== expected.heightPx) {
    upright.close();
    throw new PictureError("decoder-failed", "The photograph decodes to another size than it states.");
  }
  return upright;
}

async function byTheBrowser(blob: Blob): Promise<ImageBitmap> {
  try {
    return await createImageBitmap(blob, { imageOrientation: "from-image" });
  } catch {
    throw new PictureError("decoder-failed", "The browser cannot decode this picture: it is damaged or unusual.");
  }
}

/** @returns the same pixels in a file that states no orientation, so that no browser can apply it a second time. */
function withoutCameraData(blob: Blob, header: PictureHeader): Blob {
  if (!header.exif) return blob;
  const { offset, length }: ByteRange = header.exif;
  if (header.kind === "png") return new Blob([blob.slice(0, offset - 8), blob.slice(offset + length + 4)]);
  // WebP: readers pass over chunks whose name they do not know.
  const at = header.webpExifAt ?? 0;
  return new Blob([blob.slice(0, at), "XXXX", blob.slice(at + 4)]);
}

function turn(bitmap: ImageBitmap, orientation: number): ImageBitmap {
  if (orientation === 1) return bitmap;
  const { widthPx, heightPx } = uprightSize(bitmap.width, bitmap.height, orientation);
  const { canvas, context } = blank(widthPx, heightPx);
  context.imageSmoothingEnabled = false;
  context.setTransform(...uprightTransform(bitmap.width, bitmap.height, orientation));
  context.drawImage(bitmap, 0, 0);
  bitmap.close();
  return canvas.transferToImageBitmap();
}

/** @throws PictureError decoder-failed when the browser gives no canvas of this size. */
export function blank(
  widthPx: number,
  heightPx: number,
): { canvas: OffscreenCanvas; context: OffscreenCanvasRenderingContext2D } {
  const canvas = new OffscreenCanvas(widthPx, heightPx);
  const context = canvas.getContext("2d");
  if (!context) throw new PictureError("decoder-failed", "The browser has no memory left for a picture of this size.");
  return { canvas, context };
}
