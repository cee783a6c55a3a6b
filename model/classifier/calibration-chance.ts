import { topOf, type Answers } from "./metrics.ts";
import { seeded } from "./seeded.ts";

const RUNS = 2000;

/**
 * Calibration error that chance alone gives on so few breaks: of a model that said exactly these probabilities of the
 * likeliest type, every one of them true. In a bin of five breaks, "80 % said" cannot come out exact.
 *
 * @param bins – as many as the error itself is counted in.
 * @returns the mean, and the value that one such set in twenty exceeds.
 * @source resampling as in J. Bröcker, L. A. Smith, "Increasing the reliability of reliability diagrams", Weather and
 *   Forecasting 22 (2007) 651–661; from memory
 */
export function calibrationByChance(
  answers: Answers,
  bins = 10,
): { readonly mean: number; readonly oneInTwenty: number } {
  const rows = answers.truth.length;
  const said = Float64Array.from({ length: rows }, (_, i) => answers.probabilities[i * answers.classes + topOf(answers, i)]!); // prettier-ignore
  const bin = Int32Array.from(said, (p) => Math.min(bins - 1, Math.floor(p * bins)));
  const next = seeded(1);
  const errors = new Float64Array(RUNS);
  const gap = new Float64Array(bins);
  for (let run = 0; run < RUNS; run++) {
    gap.fill(0);
    for (let i = 0; i < rows; i++) gap[bin[i]!]! += said[i]! - (next() < said[i]! ? 1 : 0);
    errors[run] = gap.reduce((sum, g) => sum + Math.abs(g), 0) / Math.max(1, rows);
  }
  errors.sort();
  return { mean: errors.reduce((a, b) => a + b, 0) / RUNS, oneInTwenty: errors[Math.ceil(0.95 * RUNS) - 1]! };
}
