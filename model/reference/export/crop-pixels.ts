import type { Raster } from "../../picture/pixels/grey.ts";
import { type CropFrame, directionOf } from "./crops.ts";

/** What lies outside the photograph, each colour. */
export const CROP_FILL = 128;

/** Whole pixels of the upright photograph: a part of it that holds what a crop needs. */
export interface PictureWindow {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/**
 * The part of a photograph that a crop is made from, px; width or height 0 when the crop lies outside.
 * @param picture – size of the upright photograph.
 */
export function windowOf(
  frame: CropFrame,
  picture: { readonly widthPx: number; readonly heightPx: number },
): PictureWindow {
  const [ux, uy] = directionOf(frame.turnDeg);
  const corners = [
    [0, 0],
    [frame.width, 0],
    [0, frame.height],
    [frame.width, frame.height],
  ].map(([u, v]) => [frame.x + ux * u! - uy * v!, (frame.y + uy * u! + ux * v!) / frame.stretchY] as const);
  const range = (k: 0 | 1, most: number): readonly [number, number] => {
    const all = corners.map((corner) => corner[k]);
    const clamp = (v: number): number => Math.min(most, Math.max(0, v));
    // Two pixels more on each side: samples at the rim lie between a pixel inside and one outside.
    const from = clamp(Math.floor(Math.min(...all)) - 2);
    return [from, clamp(Math.ceil(Math.max(...all)) + 2) - from];
  };
  const [[x, width], [y, height]] = [range(0, picture.widthPx), range(1, picture.heightPx)];
  return { x, y, width, height };
}

/**
 * Pixels of a crop, RGBA, opaque. Each is the mean of samples at most one pixel of the photograph apart, each between
 * its four neighbours, on the 8-bit values as they are. Outside the photograph, and behind what is transparent, lies
 * grey. The same arithmetic runs in the browser and on the command line, so both write the same crop.
 *
 * @param part – pixels of `window`. @param picture – size of the whole upright photograph.
 */
export function cropPixels(
  part: Raster,
  window: PictureWindow,
  picture: { readonly widthPx: number; readonly heightPx: number },
  frame: CropFrame,
): Uint8ClampedArray<ArrayBuffer> {
  const { outWidth, outHeight, stretchY } = frame;
  const out = new Uint8ClampedArray(4 * outWidth * outHeight);
  const [ux, uy] = directionOf(frame.turnDeg);
  const step = frame.width / outWidth;
  const n = Math.max(1, Math.ceil(step / Math.min(1, stretchY)));
  const { widthPx: columns, heightPx: rows } = part;
  const rgb = overGrey(part);
  // Millions of samples: nothing is called or made for one of them.
  for (let row = 0, at = 0; row < outHeight; row++)
    for (let column = 0; column < outWidth; column++, at += 4) {
      let [red, green, blue, outside] = [0, 0, 0, 0];
      for (let j = 0; j < n; j++) {
        const v = (row + (j + 0.5) / n) * step;
        for (let i = 0; i < n; i++) {
          const u = (column + (i + 0.5) / n) * step;
          const x = frame.x + ux * u - uy * v;
          const y = (frame.y + uy * u + ux * v) / stretchY;
          if (x < 0 || y < 0 || x > picture.widthPx || y > picture.heightPx) {
            outside++;
            continue;
          }
          // Counted from the middle of the first pixel of the part.
          const px = Math.min(columns - 1, Math.max(0, x - window.x - 0.5));
          const py = Math.min(rows - 1, Math.max(0, y - window.y - 0.5));
          const [x0, y0] = [Math.floor(px), Math.floor(py)];
          const [fx, fy] = [px - x0, py - y0];
          const right = x0 + 1 < columns ? 3 : 0;
          const a = 3 * (y0 * columns + x0);
          const c = y0 + 1 < rows ? a + 3 * columns : a;
          const [wa, wb, wc, wd] = [(1 - fx) * (1 - fy), fx * (1 - fy), (1 - fx) * fy, fx * fy];
          red += wa * rgb[a]! + wb * rgb[a + right]! + wc * rgb[c]! + wd * rgb[c + right]!;
          green += wa * rgb[a + 1]! + wb * rgb[a + right + 1]! + wc * rgb[c + 1]! + wd * rgb[c + right + 1]!;
          blue += wa * rgb[a + 2]! + wb * rgb[a + right + 2]! + wc * rgb[c + 2]! + wd * rgb[c + right + 2]!;
        }
      }
      const grey = outside * CROP_FILL;
      out[at] = Math.round((red + grey) / (n * n));
      out[at + 1] = Math.round((green + grey) / (n * n));
      out[at + 2] = Math.round((blue + grey) / (n * n));
      out[at + 3] = 255;
    }
  return out;
}

/** Red, green and blue of each pixel, transparent ones over grey. */
function overGrey({ widthPx, heightPx, rgba }: Raster): Uint8ClampedArray {
  const rgb = new Uint8ClampedArray(3 * widthPx * heightPx);
  for (let from = 0, to = 0; to < rgb.length; from += 4, to += 3) {
    const alpha = rgba[from + 3]! / 255;
    for (let k = 0; k < 3; k++) rgb[to + k] = alpha * rgba[from + k]! + (1 - alpha) * CROP_FILL;
  }
  return rgb;
}
