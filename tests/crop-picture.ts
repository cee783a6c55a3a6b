import type { Photograph } from "../model/break/wire-break.ts";
import { cropPixels, windowOf } from "../model/reference/export/crop-pixels.ts";
import type { CropFrame } from "../model/reference/export/crops.ts";

/** A made picture and a turned crop that reaches outside it: the command line and the browser must cut it alike. */
export function cropPicture() {
  const [widthPx, heightPx] = [61, 47];
  const stored = new Uint8ClampedArray(4 * widthPx * heightPx).map((_, i) =>
    i % 4 === 3 ? 255 : (i * 37 + (i >> 5) * 11) % 256,
  );
  const frame: CropFrame = {
    x: 7.3,
    y: -4.6,
    width: 80,
    height: 40,
    turnDeg: 31,
    outWidth: 64,
    outHeight: 32,
    pxPerDiameter: 26,
    diameter: 32,
    stretchY: 1,
  };
  const photograph = { orientation: 1, page: 0, mediaType: "image/png", widthPx, heightPx } as Photograph;
  const { x, y, width, height } = windowOf(frame, photograph);
  const part = new Uint8ClampedArray(4 * width * height);
  for (let row = 0; row < height; row++)
    part.set(stored.subarray(4 * ((y + row) * widthPx + x), 4 * ((y + row) * widthPx + x + width)), 4 * row * width);
  const raster = { widthPx: width, heightPx: height, rgba: part };
  const expected = cropPixels(raster, { x, y, width, height }, photograph, frame);
  return { photograph, stored, widthPx, heightPx, frame, expected };
}
