import { ln } from "./steady-math.ts";

/** Share with the bounds of its 95 % interval. */
export interface Share {
  readonly of: number;
  readonly n: number;
  /** of / n; NaN when n is 0. */
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

/**
 * Share with Wilson's score interval.
 *
 * @param z – normal quantile; 1.96 gives 95 %.
 * @returns bounds 0 and 1 when nothing was counted: then nothing is known.
 * @source E. B. Wilson, "Probable inference, the law of succession, and statistical inference", J. Am. Stat. Assoc. 22 (1927) 209–212
 */
export function wilson(of: number, n: number, z = 1.959963984540054): Share {
  if (n === 0) return { of, n, value: NaN, low: 0, high: 1 };
  const p = of / n;
  const z2 = z * z;
  const middle = (p + z2 / (2 * n)) / (1 + z2 / n);
  const half = (z / (1 + z2 / n)) * Math.sqrt((p * (1 - p)) / n + z2 / (4 * n * n));
  return { of, n, value: p, low: Math.max(0, middle - half), high: Math.min(1, middle + half) };
}

/** rows × classes, row by row; every row sums to 1. */
export interface Answers {
  readonly classes: number;
  readonly probabilities: Float64Array;
  readonly truth: Int32Array;
}

export const topOf = ({ classes, probabilities }: Answers, row: number): number => {
  let best = 0;
  for (let c = 1; c < classes; c++)
    if (probabilities[row * classes + c]! > probabilities[row * classes + best]!) best = c;
  return best;
};

export function accuracy(answers: Answers): Share {
  let right = 0;
  for (let i = 0; i < answers.truth.length; i++) if (topOf(answers, i) === answers.truth[i]) right++;
  return wilson(right, answers.truth.length);
}

/** Mean of −ln p(truth). */
export function logLoss({ classes, probabilities, truth }: Answers): number {
  let sum = 0;
  for (let i = 0; i < truth.length; i++) sum -= ln(Math.max(1e-12, probabilities[i * classes + truth[i]!]!));
  return sum / truth.length;
}

export interface CalibrationBin {
  readonly from: number;
  readonly to: number;
  readonly n: number;
  /** Mean stated probability of the likeliest type. */
  readonly said: number;
  /** Share that was right. */
  readonly right: number;
}

export interface Calibration {
  /** Mean distance of said and right over the bins, weighted by their counts. */
  readonly error: number;
  readonly bins: readonly CalibrationBin[];
}

/**
 * Expected calibration error of the likeliest type, in bins of equal width.
 *
 * @source M. P. Naeini, G. F. Cooper, M. Hauskrecht, "Obtaining well calibrated probabilities using Bayesian binning",
 *   AAAI 2015; from memory.
 */
export function calibrationOf(answers: Answers, bins = 10): Calibration {
  const n = new Float64Array(bins);
  const said = new Float64Array(bins);
  const right = new Float64Array(bins);
  for (let i = 0; i < answers.truth.length; i++) {
    const top = topOf(answers, i);
    const p = answers.probabilities[i * answers.classes + top]!;
    const bin = Math.min(bins - 1, Math.floor(p * bins));
    n[bin]!++;
    said[bin]! += p;
    if (top === answers.truth[i]) right[bin]!++;
  }
  let error = 0;
  const list: CalibrationBin[] = [];
  for (let b = 0; b < bins; b++) {
    if (n[b]! > 0) error += Math.abs(said[b]! - right[b]!) / answers.truth.length;
    list.push({
      from: b / bins,
      to: (b + 1) / bins,
      n: n[b]!,
      said: n[b] ? said[b]! / n[b]! : NaN,
      right: n[b] ? right[b]! / n[b]! : NaN,
    });
  }
  return { error, bins: list };
}

/** Counts, true class by row, answered class by column. */
export function confusionOf(answers: Answers): readonly (readonly number[])[] {
  const table = Array.from({ length: answers.classes }, () => new Array<number>(answers.classes).fill(0));
  for (let i = 0; i < answers.truth.length; i++) table[answers.truth[i]!]![topOf(answers, i)]!++;
  return table;
}

/** Of those called so, how many were (precision); of those that were, how many were called so (recall). */
export function perClass(
  confusion: readonly (readonly number[])[],
): readonly { readonly precision: Share; readonly recall: Share }[] {
  return confusion.map((row, c) => {
    const hit = row[c]!;
    const called = confusion.reduce((sum, r) => sum + r[c]!, 0);
    const were = row.reduce((a, b) => a + b, 0);
    return { precision: wilson(hit, called), recall: wilson(hit, were) };
  });
}

export interface PairedTest {
  /** Breaks that only the first, or only the second, had right. */
  readonly onlyFirst: number;
  readonly onlySecond: number;
  /** Two-sided exact probability of a difference at least so lopsided, were both equally good. */
  readonly p: number;
}

/**
 * McNemar's test in its exact form, for two models on the same breaks.
 *
 * @source Q. McNemar, "Note on the sampling error of the difference between correlated proportions or percentages",
 *   Psychometrika 12 (1947) 153–157; exact (binomial) form: common practice, no source
 */
export function pairedTest(first: Answers, second: Answers): PairedTest {
  let [onlyFirst, onlySecond] = [0, 0];
  for (let i = 0; i < first.truth.length; i++) {
    const a = topOf(first, i) === first.truth[i];
    const b = topOf(second, i) === second.truth[i];
    if (a && !b) onlyFirst++;
    if (b && !a) onlySecond++;
  }
  const n = onlyFirst + onlySecond;
  const least = Math.min(onlyFirst, onlySecond);
  let tail = 0;
  let term = -n * Math.LN2;
  for (let k = 0; k <= least; k++) {
    if (k > 0) term += Math.log((n - k + 1) / k);
    tail += Math.exp(term);
  }
  return { onlyFirst, onlySecond, p: Math.min(1, 2 * tail) };
}
