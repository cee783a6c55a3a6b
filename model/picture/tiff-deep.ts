import type { ByteReader } from "./byte-reader.ts";
import type { DeepData, DeepRaster } from "./deep-raster.ts";
import type { DeepSample } from "./deep-tone.ts";
import { eachBlock, type Unpackers } from "./tiff-blocks.ts";
import type { TiffLayout } from "./tiff-layout.ts";

/**
 * Decodes one page of a TIFF of more than 8 bits a sample, as stored: the orientation is not applied. Extra channels are
 * left out; print colours (CMYK) are turned into red, green and blue.
 * @throws PictureError truncated, damaged, unsupported-kind.
 */
export async function tiffDeep(
  reader: ByteReader,
  layout: TiffLayout,
  sample: DeepSample,
  unpackers: Unpackers,
): Promise<DeepRaster> {
  const { widthPx, heightPx, photometric, bits } = layout;
  const inks = photometric === 5;
  const channels = photometric > 1 ? 3 : 1;
  const count = widthPx * heightPx;
  const data = holding(sample, count * channels);
  // The fourth ink waits in an array of its own.
  const black = inks ? new Uint16Array(count) : null;
  await eachBlock(reader, layout, unpackers, (samples, { left, top, columns, rows, firstSample, step, stride }) => {
    const take = Math.min(step, channels);
    for (let y = 0; y < rows; y++) {
      const pixel = (top + y) * widthPx + left;
      if (firstSample < channels) {
        let from = y * stride;
        let to = pixel * channels + firstSample;
        if (step === channels) data.set(samples.subarray(from, from + columns * step), to);
        else
          for (let x = 0; x < columns; x++, from += step, to += channels) {
            for (let s = 0; s < take; s++) data[to + s] = samples[from + s]!;
          }
      }
      const at = step > 3 ? 3 : firstSample === 3 ? 0 : -1;
      if (black && at >= 0) {
        for (let x = 0; x < columns; x++) black[pixel + x] = samples[y * stride + x * step + at]!;
      }
    }
  });
  const fullScale = layout.format === "unsigned" && bits <= 32 ? 2 ** bits - 1 : null;
  if (photometric === 0 && fullScale !== null) for (let i = 0; i < data.length; i++) data[i] = fullScale - data[i]!;
  if (black && fullScale !== null) inksToColours(data, black, fullScale);
  return {
    widthPx,
    heightPx,
    channels,
    data,
    sample,
    fullScale,
    alpha: null,
    statedRange: photometric === 1 || photometric === 2 ? layout.statedRange : null,
  };
}

function holding(sample: DeepSample, length: number): DeepData {
  if (sample === "uint16") return new Uint16Array(length);
  return sample === "int16" ? new Int16Array(length) : new Float32Array(length);
}

/** Full ink is dark, no ink is white; a plain conversion without a colour profile. */
function inksToColours(data: DeepData, black: Uint16Array, full: number): void {
  for (let pixel = 0, i = 0; i < data.length; pixel++, i += 3) {
    const white = (full - black[pixel]!) / full;
    for (let s = 0; s < 3; s++) data[i + s] = Math.round((full - data[i + s]!) * white);
  }
}
