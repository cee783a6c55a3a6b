import type { DeepRaster } from "./deep-raster.ts";
import type { DeepTone } from "./deep-tone.ts";
import { isTone } from "./deep-tone.ts";

/** Share of the pixels that may be darker than black, and brighter than white. Our own choice, no source. */
export const TONE_TAILS = 0.001;
/** So many values settle a percentile far better than an eye can tell. */
const MOST_VALUES = 1 << 18;

/**
 * Finite sample values in rising order: all of them in small pictures, evenly spread ones in large pictures.
 * Not-a-number and infinite samples are no values.
 */
export function orderedValues({ data }: Pick<DeepRaster, "data">): Float32Array {
  // An odd step walks through all columns and all channels.
  const step = data.length <= MOST_VALUES ? 1 : Math.ceil(data.length / MOST_VALUES) | 1;
  const values = new Float32Array(Math.ceil(data.length / step));
  let count = 0;
  for (let i = 0; i < data.length; i += step) {
    const value = data[i] ?? NaN;
    if (Number.isFinite(value)) values[count++] = value;
  }
  return values.subarray(0, count).sort();
}

/**
 * Chooses black and white of a deep picture: as the file states; else the values that a thousandth of the samples lie
 * below and above, so that a few dead or hot pixels decide nothing. The colours of a picture share one black and one white, which
 * leaves their hues alone. A colour picture that uses the upper half of its numbers was meant to be shown over its whole
 * range, as 16-bit copies of ordinary photographs are, and is.
 *
 * @param ordered – of `orderedValues`, when they are there already.
 */
export function chooseTone(raster: DeepRaster, ordered: Float32Array = orderedValues(raster)): DeepTone {
  const { sample, statedRange, fullScale, channels } = raster;
  if (statedRange && isTone(statedRange.black, statedRange.white)) {
    return { sample, ...statedRange, chosen: "stated-in-file" };
  }
  const fromPixels = (black: number, white: number): DeepTone => ({ sample, black, white, chosen: "from-the-pixels" });
  const last = ordered.length - 1;
  if (last < 0) return fromPixels(0, 1);
  const black = ordered[Math.floor(TONE_TAILS * last)] ?? 0;
  const white = ordered[Math.ceil((1 - TONE_TAILS) * last)] ?? 1;
  if (channels === 3 && fullScale !== null && white > fullScale / 2) return fromPixels(0, fullScale);
  if (white > black) return fromPixels(black, white);
  // All alike: a middle grey.
  const room = Number.isInteger(black) ? 1 : Math.max(1e-6, Math.abs(black) * 1e-3);
  return fromPixels(black - room, white + room);
}
