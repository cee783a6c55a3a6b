import type { DeepRaster } from "./deep-raster.ts";
import type { DeepTone } from "./deep-tone.ts";

/**
 * Makes the 8-bit picture of deep samples: black and below is 0, white and above 255, evenly between.
 * Samples that are no number are black; infinite ones lie beyond black or white.
 *
 * @returns rows × columns × RGBA, 0–255.
 */
export function showDeep(
  raster: DeepRaster,
  { black, white }: Pick<DeepTone, "black" | "white">,
): Uint8ClampedArray<ArrayBuffer> {
  const { data, channels, alpha } = raster;
  const rgba = new Uint8ClampedArray(raster.widthPx * raster.heightPx * 4);
  const scale = 255 / (white - black);
  if (data instanceof Float32Array) {
    for (let i = 0, to = 0; to < rgba.length; to += 4, i += channels) {
      // Multiplied before clamping: the array clamps and rounds by itself.
      rgba[to] = (data[i]! - black) * scale;
      rgba[to + 1] = channels === 1 ? rgba[to]! : (data[i + 1]! - black) * scale;
      rgba[to + 2] = channels === 1 ? rgba[to]! : (data[i + 2]! - black) * scale;
    }
  } else {
    const offset = data instanceof Int16Array ? 32_768 : 0;
    const table = Uint8ClampedArray.from({ length: 65_536 }, (_, v) => (v - offset - black) * scale);
    if (channels === 1) {
      // A whole pixel a step: a third of the time for the many pixels of a large picture.
      const pixels = new Uint32Array(rgba.buffer);
      const greys = new Uint32Array(Uint8Array.from({ length: 4 * 65_536 }, (_, i) => table[i >> 2]!).buffer);
      for (let pixel = 0; pixel < pixels.length; pixel++) pixels[pixel] = greys[data[pixel]! + offset]!;
    } else
      for (let i = 0, to = 0; to < rgba.length; to += 4, i += channels) {
        rgba[to] = table[data[i]! + offset]!;
        rgba[to + 1] = table[data[i + 1]! + offset]!;
        rgba[to + 2] = table[data[i + 2]! + offset]!;
      }
  }
  if (alpha === null) for (let to = 3; to < rgba.length; to += 4) rgba[to] = 255;
  else for (let pixel = 0, to = 3; to < rgba.length; to += 4, pixel++) rgba[to] = alpha[pixel]!;
  return rgba;
}
