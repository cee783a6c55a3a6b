import type { GreyImage } from "./grey.ts";
import type { Mask } from "./mask.ts";

const BINS = 256;

/**
 * How many pixels have each of 256 even steps of grey, 0 to 1 (the stored 8-bit values of a grey picture).
 *
 * @param within – counts only pixels set here; left out = all.
 */
export function histogramOf({ data }: GreyImage, within?: Mask): Float64Array {
  const counts = new Float64Array(BINS);
  for (let i = 0; i < data.length; i++) {
    if (within !== undefined && within.data[i] === 0) continue;
    counts[Math.min(BINS - 1, Math.max(0, Math.round(data[i]! * (BINS - 1))))]! += 1;
  }
  return counts;
}

/** A level that parts a picture, and how well. */
export interface Parting {
  /** 0–1; what is brighter belongs to the upper class. */
  readonly level: number;
  /** Variance between the classes / whole variance, 0–1: 1 = two flat greys. */
  readonly separation: number;
}

/**
 * Level that parts dark from bright pixels with the largest variance between the two classes.
 *
 * @param histogram – counts of even steps, as `histogramOf` gives them.
 * @returns the upper edge of the last bin of the dark class; null when all pixels have one grey.
 * @source N. Otsu, "A threshold selection method from gray-level histograms", IEEE Trans. SMC 9 (1979) 62–66; from memory.
 */
export function otsu(histogram: Float64Array): Parting | null {
  const { n, sum, squares } = moments(histogram);
  const whole = squares / n - (sum / n) ** 2;
  if (!(whole > 0)) return null;
  let below = 0;
  let belowSum = 0;
  let best = -1;
  let at = 0;
  for (let k = 0; k < histogram.length - 1; k++) {
    below += histogram[k]!;
    belowSum += k * histogram[k]!;
    const above = n - below;
    if (below === 0 || above === 0) continue;
    const gap = belowSum / below - (sum - belowSum) / above;
    const between = below * above * gap * gap;
    if (between > best) {
      best = between;
      at = k;
    }
  }
  return { level: (at + 0.5) / (histogram.length - 1), separation: best / (n * n) / whole };
}

/**
 * Two levels that part dark, middle and bright pixels with the largest variance between the three classes.
 *
 * @returns lower and upper level, 0–1; null when fewer than three greys occur.
 * @source N. Otsu 1979, section IV (extension to several thresholds); from memory.
 */
export function otsuTwo(histogram: Float64Array): readonly [lower: number, upper: number] | null {
  const bins = histogram.length;
  const count = new Float64Array(bins + 1);
  const weight = new Float64Array(bins + 1);
  for (let k = 0; k < bins; k++) {
    count[k + 1] = count[k]! + histogram[k]!;
    weight[k + 1] = weight[k]! + k * histogram[k]!;
  }
  const part = (from: number, to: number): number => {
    const c = count[to]! - count[from]!;
    return c === 0 ? -1 : (weight[to]! - weight[from]!) ** 2 / c;
  };
  let best = -1;
  let levels: [number, number] | null = null;
  for (let a = 1; a < bins - 1; a++) {
    const dark = part(0, a);
    if (dark < 0) continue;
    for (let b = a + 1; b < bins; b++) {
      const middle = part(a, b);
      const bright = part(b, bins);
      if (middle < 0 || bright < 0 || dark + middle + bright <= best) continue;
      best = dark + middle + bright;
      levels = [(a - 0.5) / (bins - 1), (b - 0.5) / (bins - 1)];
    }
  }
  return levels;
}

function moments(histogram: Float64Array): { n: number; sum: number; squares: number } {
  let [n, sum, squares] = [0, 0, 0];
  for (let k = 0; k < histogram.length; k++) {
    n += histogram[k]!;
    sum += k * histogram[k]!;
    squares += k * k * histogram[k]!;
  }
  return { n, sum, squares };
}
