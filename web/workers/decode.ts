import type { ByteRange } from "../../model/picture/byte-reader.ts";
import type { CameraData } from "../../model/picture/camera-data.ts";
import { readCameraData } from "../../model/picture/camera-data.ts";
import type { PictureHeader, WalkDepth } from "../../model/picture/header.ts";
import { PictureError } from "../../model/picture/picture-error.ts";
import { readPictureHeader } from "../../model/picture/sniff.ts";
import { uprightSize, uprightTransform } from "../../model/picture/upright.ts";
import { readerOfBlob } from "./blob-reader.ts";
import { checkPngPixels } from "./png-check.ts";
import { decodeTiff } from "./tiff-decode.ts";

/** Header and camera data together: what is known before a pixel is decoded. */
export interface Opened {
  readonly blob: Blob;
  readonly header: PictureHeader;
  readonly camera: CameraData;
}

/**
 * Judges a file by its header.
 * @param depth – "whole" when it comes in, "limits" for files checked before.
 * @throws PictureError
 */
export async function open(blob: Blob, depth: WalkDepth): Promise<Opened> {
  const reader = readerOfBlob(blob);
  const header = await readPictureHeader(reader, depth);
  return { blob, header, camera: await readCameraData(reader, header) };
}

/** @returns whether browsers show the original upright by themselves; else a working copy is kept. */
export function shownByBrowsers({ header, camera }: Opened): boolean {
  // Browsers agree on the orientation of JPEG only; for PNG and WebP some apply it and some do not.
  return header.kind !== "tiff" && (header.kind === "jpeg" || camera.orientation === 1);
}

/**
 * Decodes a photograph upright.
 * @returns a bitmap that the caller closes.
 * @throws PictureError truncated, damaged, decoder-failed.
 */
export async function decodeUpright(opened: Opened, depth: WalkDepth): Promise<ImageBitmap> {
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
