import { stageMatrix, stagePoint, toPhoto, type Frame } from "./transform.ts";
import type { Picture } from "./types.ts";

/** From this magnification on, single pixels are shown as squares, so that nobody measures a blur. */
const SHOW_PIXELS_FROM = 6;

/** Half-open rectangle in photograph pixels that the stage shows, cut to the picture; null when nothing is seen. */
export function shownPart(frame: Frame, widthPx: number, heightPx: number) {
  const corners = [
    toPhoto(frame, stagePoint(0, 0)),
    toPhoto(frame, stagePoint(frame.widthPx, 0)),
    toPhoto(frame, stagePoint(0, frame.heightPx)),
    toPhoto(frame, stagePoint(frame.widthPx, frame.heightPx)),
  ];
  const xs = corners.map((c) => c[0]);
  const ys = corners.map((c) => c[1]);
  const left = Math.max(0, Math.min(...xs));
  const top = Math.max(0, Math.min(...ys));
  const right = Math.min(widthPx, Math.max(...xs));
  const bottom = Math.min(heightPx, Math.max(...ys));
  return right > left && bottom > top ? { left, top, right, bottom } : null;
}

/**
 * Which level to draw from: the coarsest that still has a pixel for every device pixel.
 *
 * @param devicePxPerPhotoPx – zoom times device pixel ratio.
 */
export function levelFor(picture: Picture, devicePxPerPhotoPx: number): ImageBitmap | null {
  let chosen: ImageBitmap | null = null;
  for (const level of picture.levels)
    if (chosen === null || level.width / picture.widthPx >= devicePxPerPhotoPx) chosen = level;
  return chosen;
}

/** Draws the shown part of the picture. The context is in stage pixels and is left as it was. */
export function paintPicture(ctx: CanvasRenderingContext2D, frame: Frame, picture: Picture, pixelRatio: number): void {
  const part = shownPart(frame, picture.widthPx, picture.heightPx);
  const level = levelFor(picture, frame.zoom * pixelRatio);
  if (part === null || level === null) return;
  const kx = level.width / picture.widthPx;
  const ky = level.height / picture.heightPx;
  // Whole source pixels with one to spare, else the edge of the cut shimmers while panning.
  const left = Math.max(0, Math.floor(part.left * kx) - 1);
  const top = Math.max(0, Math.floor(part.top * ky) - 1);
  const width = Math.min(level.width, Math.ceil(part.right * kx) + 1) - left;
  const height = Math.min(level.height, Math.ceil(part.bottom * ky) + 1) - top;
  ctx.save();
  ctx.transform(...stageMatrix(frame));
  ctx.imageSmoothingEnabled = frame.zoom * pixelRatio < SHOW_PIXELS_FROM;
  ctx.drawImage(level, left, top, width, height, left / kx, top / ky, width / kx, height / ky);
  ctx.restore();
}
