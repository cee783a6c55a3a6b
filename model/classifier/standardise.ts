import type { TrainingSet } from "./training-set.ts";
import { rowsOf } from "./training-set.ts";

/** Mean and spread of each column over the rows where it is known. */
export interface Standard {
  readonly mean: Float64Array;
  /** Standard deviation; 1 where a column never varies. */
  readonly spread: Float64Array;
}

/** Values beyond this many spreads say no more than that they are far out. */
export const FAR_OUT = 4;

export function standardOf(set: TrainingSet): Standard {
  const columns = set.names.length;
  const n = new Float64Array(columns);
  const mean = new Float64Array(columns);
  const squares = new Float64Array(columns);
  const rows = rowsOf(set);
  for (let i = 0, at = 0; i < rows; i++)
    for (let j = 0; j < columns; j++, at++) {
      const v = set.x[at]!;
      if (Number.isNaN(v)) continue;
      // Welford: one pass, no loss of digits.
      n[j]!++;
      const before = v - mean[j]!;
      mean[j]! += before / n[j]!;
      squares[j]! += before * (v - mean[j]!);
    }
  const spread = squares.map((s, j) => {
    const deviation = n[j]! > 1 ? Math.sqrt(s / n[j]!) : 0;
    return deviation > 1e-9 * (1 + Math.abs(mean[j]!)) ? deviation : 1;
  });
  return { mean, spread };
}

/**
 * A row ready for a linear model: the standardised values, 0 where missing, then one flag per column, 1 where it is
 * known. So a missing value says only that it is missing.
 *
 * @param out – length 2 × columns; written.
 */
export function standardRow(
  row: ArrayLike<number>,
  { mean, spread }: Standard,
  out: Float64Array | Float32Array,
): void {
  const columns = mean.length;
  for (let j = 0; j < columns; j++) {
    const v = row[j]!;
    const known = !Number.isNaN(v);
    out[j] = known ? Math.min(FAR_OUT, Math.max(-FAR_OUT, (v - mean[j]!) / spread[j]!)) : 0;
    out[columns + j] = known ? 1 : 0;
  }
}
