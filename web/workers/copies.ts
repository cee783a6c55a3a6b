import { PictureError } from "../../model/picture/picture-error.ts";
import { blank } from "./decode.ts";

export const THUMBNAIL_PX = 320;
/** Below this the next half would save nothing when drawing. */
const SMALLEST_LEVEL_PX = 512;
/** Behind see-through parts: the neutral grey of the bench. */
const BEHIND = "#808080";

/** @returns a smaller copy with the longest side `maxPx`; the picture itself when it is not larger. */
export async function shrink(bitmap: ImageBitmap, maxPx: number): Promise<ImageBitmap> {
  const longest = Math.max(bitmap.width, bitmap.height);
  if (longest <= maxPx) return bitmap;
  return createImageBitmap(bitmap, {
    resizeWidth: Math.max(1, Math.round((bitmap.width * maxPx) / longest)),
    resizeHeight: Math.max(1, Math.round((bitmap.height * maxPx) / longest)),
    resizeQuality: "high",
  });
}

/** @returns half, quarter, … sizes, so that drawing a large photograph small costs little. */
export async function halves(bitmap: ImageBitmap): Promise<ImageBitmap[]> {
  const levels: ImageBitmap[] = [];
  let last = bitmap;
  while (Math.max(last.width, last.height) > SMALLEST_LEVEL_PX) {
    last = await createImageBitmap(last, {
      resizeWidth: Math.max(1, Math.round(last.width / 2)),
      resizeHeight: Math.max(1, Math.round(last.height / 2)),
      resizeQuality: "medium",
    });
    levels.push(last);
  }
  return levels;
}

/** @returns JPEG of at most 320 px. @throws PictureError decoder-failed. */
export async function thumbnailOf(bitmap: ImageBitmap): Promise<Blob> {
  const little = await shrink(bitmap, THUMBNAIL_PX);
  const { canvas, context } = blank(little.width, little.height);
  context.fillStyle = BEHIND;
  context.fillRect(0, 0, little.width, little.height);
  context.drawImage(little, 0, 0);
  if (little !== bitmap) little.close();
  return encode(canvas, { type: "image/jpeg", quality: 0.85 });
}

/** @returns lossless PNG of the same size. @throws PictureError decoder-failed. */
export async function losslessOf(bitmap: ImageBitmap): Promise<Blob> {
  const { canvas, context } = blank(bitmap.width, bitmap.height);
  context.drawImage(bitmap, 0, 0);
  return encode(canvas, { type: "image/png" });
}

async function encode(canvas: OffscreenCanvas, options: { type: string; quality?: number }): Promise<Blob> {
  try {
    return await canvas.convertToBlob(options);
  } catch {
    throw new PictureError("decoder-failed", "The browser cannot make a copy of a picture of this size.");
  }
}
