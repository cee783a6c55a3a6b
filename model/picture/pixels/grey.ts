/** Decoded pixels of a photograph, upright, 8-bit sRGB. */
export interface Raster {
  readonly widthPx: number;
  readonly heightPx: number;
  /** 4 per pixel, row by row from the top left: red, green, blue, cover. */
  readonly rgba: Uint8ClampedArray | Uint8Array;
}

/** One value per pixel, row by row from the top left; 0 is black, 1 white. */
export interface GreyImage {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly data: Float32Array;
}

export const newGrey = (widthPx: number, heightPx: number): GreyImage => ({
  widthPx,
  heightPx,
  data: new Float32Array(widthPx * heightPx),
});

/**
 * Luma of a photograph, on its stored (gamma) values: even steps look even.
 *
 * @returns 0–1, same size. Pixels that cover nothing count with their colour.
 * @source ITU-R BT.709-6, 3.2 (coefficients of luma)
 */
export function greyOf({ widthPx, heightPx, rgba }: Raster): GreyImage {
  const grey = newGrey(widthPx, heightPx);
  for (let i = 0, at = 0; i < grey.data.length; i++, at += 4)
    grey.data[i] = (0.2126 * rgba[at]! + 0.7152 * rgba[at + 1]! + 0.0722 * rgba[at + 2]!) / 255;
  return grey;
}

/**
 * A smaller copy: every pixel is the mean of the `by` × `by` pixels it stands for. Pixel (x, y) of the copy covers
 * x·by … (x + 1)·by, so a place in the copy times `by` is the place in the picture (both count from outer corners).
 *
 * @param by – whole number, at least 1; a rest at the right and lower edge that fills no whole pixel is left out.
 */
export function shrinkGrey(image: GreyImage, by: number): GreyImage {
  if (by === 1) return image;
  const out = newGrey(Math.max(1, Math.floor(image.widthPx / by)), Math.max(1, Math.floor(image.heightPx / by)));
  const columns = Math.min(by, image.widthPx);
  const rows = Math.min(by, image.heightPx);
  for (let y = 0; y < out.heightPx; y++)
    for (let x = 0; x < out.widthPx; x++) {
      let sum = 0;
      for (let j = 0; j < rows; j++) {
        const from = (y * by + j) * image.widthPx + x * by;
        for (let i = 0; i < columns; i++) sum += image.data[from + i]!;
      }
      out.data[y * out.widthPx + x] = sum / (rows * columns);
    }
  return out;
}

/**
 * Value at a place, between the four nearest pixels; beyond the edge the edge goes on.
 *
 * @param x, y – px from the outer corner of the first pixel (the middle of the first pixel is 0.5, 0.5).
 */
export function sampleGrey({ widthPx, heightPx, data }: GreyImage, x: number, y: number): number {
  const u = Math.min(widthPx - 1, Math.max(0, x - 0.5));
  const v = Math.min(heightPx - 1, Math.max(0, y - 0.5));
  const x0 = Math.floor(u);
  const y0 = Math.floor(v);
  const x1 = Math.min(widthPx - 1, x0 + 1);
  const y1 = Math.min(heightPx - 1, y0 + 1);
  const a = u - x0;
  const b = v - y0;
  const top = data[y0 * widthPx + x0]! * (1 - a) + data[y0 * widthPx + x1]! * a;
  const low = data[y1 * widthPx + x0]! * (1 - a) + data[y1 * widthPx + x1]! * a;
  return top * (1 - b) + low * b;
}
