import { chooseTone, orderedValues } from "./choose-tone.ts";
import type { DeepRaster } from "./deep-raster.ts";
import type { DeepTone } from "./deep-tone.ts";

/** Columns of the histogram. */
export const TONE_BINS = 256;
/** Longest side of the picture that goes with it, px. */
const PREVIEW_PX = 280;
/** Share of the samples beyond each end of the histogram: dead and hot pixels would squeeze all others into one column. */
const BEYOND = 0.0002;

/** What a person needs to choose black and white of a deep picture. */
export interface ToneSurvey {
  /** What is chosen when nobody chooses. */
  readonly automatic: DeepTone;
  /** Sample values at the left and right edge of the histogram. */
  readonly from: number;
  readonly to: number;
  /** Samples per column; those beyond an edge are left out. */
  readonly counts: readonly number[];
  /** Lowest and highest value that is a number; null when there is none. */
  readonly lowest: number | null;
  readonly highest: number | null;
  /** A small copy, upright, samples in file units, to try black and white on. */
  readonly preview: DeepRaster;
}

/** Counts the samples of a deep picture and makes the small copy. */
export function surveyTone(raster: DeepRaster): ToneSurvey {
  const ordered = orderedValues(raster);
  const automatic = chooseTone(raster, ordered);
  const last = ordered.length - 1;
  let from = Math.min(automatic.black, ordered[Math.floor(BEYOND * last)] ?? automatic.black);
  let to = Math.max(automatic.white, ordered[Math.ceil((1 - BEYOND) * last)] ?? automatic.white);
  const margin = (to - from) * 0.15;
  from -= margin;
  to += margin;
  if (raster.fullScale !== null) {
    from = Math.max(0, from);
    to = Math.min(raster.fullScale, to);
  }
  const counts = new Array<number>(TONE_BINS).fill(0);
  const scale = TONE_BINS / (to - from);
  for (const value of ordered) {
    const column = Math.floor((value - from) * scale);
    const at = column === TONE_BINS && value === to ? TONE_BINS - 1 : column;
    if (at >= 0 && at < TONE_BINS) counts[at] = (counts[at] ?? 0) + 1;
  }
  return {
    automatic,
    from,
    to,
    counts,
    lowest: ordered[0] ?? null,
    highest: ordered[last] ?? null,
    preview: every(raster, Math.max(1, Math.ceil(Math.max(raster.widthPx, raster.heightPx) / PREVIEW_PX))),
  };
}

/** @returns every `step`-th pixel of every `step`-th row. */
function every(raster: DeepRaster, step: number): DeepRaster {
  const { channels, data } = raster;
  const widthPx = Math.ceil(raster.widthPx / step);
  const heightPx = Math.ceil(raster.heightPx / step);
  const small = data.slice(0, widthPx * heightPx * channels);
  for (let y = 0, i = 0; y < heightPx; y++) {
    for (let x = 0; x < widthPx; x++) {
      const from = (y * step * raster.widthPx + x * step) * channels;
      for (let s = 0; s < channels; s++) small[i++] = data[from + s]!;
    }
  }
  return { ...raster, widthPx, heightPx, data: small, alpha: null };
}
