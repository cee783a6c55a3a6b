import { PictureError } from "../../model/picture/picture-error.ts";
import { blank } from "./decode.ts";

export const THUMBNAIL_PX = 320;
/** Below this the next half would save nothing when drawing. */
const SMALLEST_LEVEL_PX = 512;
/** Behind see-through parts: the neutral grey of the bench. */
const BEHIND = "#808080";

/**
 * Half the size: every pixel is the mean of four, which the plain smoothing of a canvas does at exactly this step.
 * Resizing while making a bitmap took three to seven times as long for 24 megapixels.
 */
function half(bitmap: ImageBitmap): ImageBitmap {
  const { canvas, context } = blank(Math.max(1, bitmap.width >> 1), Math.max(1, bitmap.height >> 1));
  context.imageSmoothingQuality = "low";
  context.drawImage(bitmap, 0, 0, canvas.width, canvas.height);
  return canvas.transferToImageBitmap();
}

/** @returns a smaller copy with the longest side `maxPx`; the picture itself when it is not larger. */
export async function shrink(bitmap: ImageBitmap, maxPx: number): Promise<ImageBitmap> {
  const longest = Math.max(bitmap.width, bitmap.height);
  if (longest <= maxPx) return bitmap;
  let near = bitmap;
  while (Math.max(near.width, near.height) >= 4 * maxPx) {
    const next = half(near);
    if (near !== bitmap) near.close();
    near = next;
  }
  const result = await createImageBitmap(near, {
    resizeWidth: Math.max(1, Math.round((bitmap.width * maxPx) / longest)),
    resizeHeight: Math.max(1, Math.round((bitmap.height * maxPx) / longest)),
    resizeQuality: "high",
  });
  if (near !== bitmap) near.close();
  return result;
}

/** @returns half, quarter, … sizes, so that drawing a large photograph small costs little. */
export function halves(bitmap: ImageBitmap): ImageBitmap[] {
  const levels: ImageBitmap[] = [];
  for (let last = bitmap; Math.max(last.width, last.height) > SMALLEST_LEVEL_PX;) {
    last = half(last);
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
