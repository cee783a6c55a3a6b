import type { DeepSample } from "./deep-tone.ts";
import { uprightSize, uprightTransform } from "./upright.ts";

export type DeepData = Uint16Array | Int16Array | Float32Array;

/**
 * The samples of a deep file, as stored or upright. 32-bit whole numbers and 64-bit floats are held as 32-bit floats:
 * 24 bits of a value, more than any camera resolves.
 */
export interface DeepRaster {
  readonly widthPx: number;
  readonly heightPx: number;
  /** 1 grey, or red, green, blue. */
  readonly channels: 1 | 3;
  /** rows × columns × channels, in the file's own numbers; white-is-zero files are turned round. */
  readonly data: DeepData;
  readonly sample: DeepSample;
  /** Whole-number range of unsigned samples, such as 4095 for 12 bits; null for the others. */
  readonly fullScale: number | null;
  /** Cover per pixel, 0–255; null = opaque. */
  readonly alpha: Uint8Array | null;
  readonly statedRange: { readonly black: number; readonly white: number } | null;
}

/** @returns one value per pixel in file units: the sample of grey files, the luma of colour files. */
export function greyAt({ channels, data }: DeepRaster, pixel: number): number {
  if (channels === 1) return data[pixel] ?? NaN;
  const at = 3 * pixel;
  // Coefficients of luma: ITU-R BT.709-6, 3.2.
  return 0.2126 * (data[at] ?? NaN) + 0.7152 * (data[at + 1] ?? NaN) + 0.0722 * (data[at + 2] ?? NaN);
}

/** @returns the raster as the camera saw it: orientation 1–8 undone, as for other pictures. */
export function uprightDeep(raster: DeepRaster, orientation: number): DeepRaster {
  if (orientation === 1) return raster;
  const { widthPx: w, heightPx: h, channels, data, alpha } = raster;
  const size = uprightSize(w, h, orientation);
  const [a, b, c, d, e, f] = uprightTransform(w, h, orientation);
  // Corners move to e and f; pixels lie half a pixel inside of them.
  const [x0, y0] = [e + (a + c - 1) / 2, f + (b + d - 1) / 2];
  const turned = data.slice();
  const cover = alpha && alpha.slice();
  for (let y = 0, pixel = 0; y < h; y++) {
    for (let x = 0; x < w; x++, pixel++) {
      const to = (b * x + d * y + y0) * size.widthPx + a * x + c * y + x0;
      for (let s = 0; s < channels; s++) turned[to * channels + s] = data[pixel * channels + s]!;
      if (cover && alpha) cover[to] = alpha[pixel]!;
    }
  }
  return { ...raster, ...size, data: turned, alpha: cover };
}

/** A stretch of the picture, px; null = all of it. */
type Stretch = { readonly x: number; readonly y: number; readonly widthPx: number; readonly heightPx: number } | null;

/** @returns one value per pixel in file units, of the part of the stretch that lies in the picture. */
export function valuesIn(
  raster: DeepRaster,
  stretch: Stretch,
): {
  readonly x: number;
  readonly y: number;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly values: Float32Array<ArrayBuffer>;
} {
  const x = Math.max(0, Math.floor(stretch?.x ?? 0));
  const y = Math.max(0, Math.floor(stretch?.y ?? 0));
  const right = stretch === null ? raster.widthPx : Math.min(raster.widthPx, Math.ceil(stretch.x + stretch.widthPx));
  const bottom =
    stretch === null ? raster.heightPx : Math.min(raster.heightPx, Math.ceil(stretch.y + stretch.heightPx));
  const widthPx = Math.max(0, right - x);
  const heightPx = Math.max(0, bottom - y);
  const values = new Float32Array(widthPx * heightPx);
  for (let row = 0, i = 0; row < heightPx; row++) {
    const from = (y + row) * raster.widthPx + x;
    for (let column = 0; column < widthPx; column++) values[i++] = greyAt(raster, from + column);
  }
  return { x, y, widthPx, heightPx, values };
}
