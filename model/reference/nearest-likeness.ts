import { type ComparedColumn, WEIGHT_PARTS } from "./nearest-columns.ts";

/** Where the values of a column lie in a set: from `low` over `width`; width 0 = they tell nothing apart. */
export interface Spread {
  readonly low: number;
  readonly width: number;
}

/** Values used for the spread of a column; of larger sets every n-th known one. */
const LOOKED_AT = 4096;
/** Interquartile ranges beyond the quartiles: what lies farther out counts as if it lay there. */
const FAR_OUT = 3;
/** Interquartile range of a normal distribution with a standard deviation of 1. */
const IQR_OF_NORMAL = 1.349;

/** Of the median: where all breaks of a set are much alike, a tenth of a value is no difference. @source common practice, no source */
const LEAST_SHARE = 0.4;

/**
 * The spread of a column: its range without far-out values, so that a single wild one does not squeeze the rest together.
 * Where half of the values are the same, the squares stand in for the quartiles.
 *
 * @param known – values of one column, none missing. @param least – width it has at least, beside 0.4 of the median.
 * @returns width 0 when there are no values, or all are 0.
 * @source far-out values: J. W. Tukey, "Exploratory Data Analysis", 1977, outer fences; quartiles by linear interpolation:
 *   R. J. Hyndman, Y. Fan, The American Statistician 50 (1996) 361–365, definition 7; both from memory
 */
export function spreadOf(known: Float32Array, least = 0): Spread {
  const sorted = known.slice().sort();
  if (sorted.length === 0) return { low: 0, width: 0 };
  const [q1, median, q3] = [quantile(sorted, 0.25), quantile(sorted, 0.5), quantile(sorted, 0.75)];
  const iqr = q3 > q1 ? q3 - q1 : IQR_OF_NORMAL * standardDeviation(sorted);
  const low = Math.max(sorted[0]!, q1 - FAR_OUT * iqr);
  const high = Math.min(sorted.at(-1)!, q3 + FAR_OUT * iqr);
  const width = Math.max(high - low, LEAST_SHARE * Math.abs(median), least);
  return { low: (low + high - width) / 2, width };
}

function quantile(sorted: Float32Array, share: number): number {
  const at = share * (sorted.length - 1);
  const [below, above] = [sorted[Math.floor(at)]!, sorted[Math.ceil(at)]!];
  return below + (above - below) * (at - Math.floor(at));
}

function standardDeviation(values: Float32Array): number {
  if (values.length < 2) return 0;
  const mean = values.reduce((sum, v) => sum + v, 0) / values.length;
  return Math.sqrt(values.reduce((sum, v) => sum + (v - mean) ** 2, 0) / (values.length - 1));
}

/** Flags need no spread. */
const FLAG: Spread = { low: 0, width: 1 };

/** A column with its spread in a set. */
export interface ScaledColumn extends ComparedColumn {
  readonly spread: Spread;
}

/** @param vectors – one per break of the set, values per column; NaN is missing. */
export function scaledColumns(
  columns: readonly ComparedColumn[],
  vectors: readonly ArrayLike<number>[],
): readonly ScaledColumn[] {
  const seen = new Uint32Array(columns.length);
  for (const vector of vectors) for (let k = 0; k < seen.length; k++) if (!Number.isNaN(vector[k])) seen[k]!++;
  const steps = seen.map((n) => Math.max(1, Math.ceil(n / LOOKED_AT)));
  const taken = columns.map(({ kind }, k) => new Float32Array(kind === "number" ? Math.ceil(seen[k]! / steps[k]!) : 0));
  seen.fill(0);
  for (const vector of vectors)
    for (let k = 0; k < seen.length; k++) {
      if (Number.isNaN(vector[k])) continue;
      // Beyond the end of a column that needs no spread, nothing is kept.
      if (seen[k]! % steps[k]! === 0) taken[k]![seen[k]! / steps[k]!] = vector[k]!;
      seen[k]!++;
    }
  return columns.map((column, k) => ({
    ...column,
    spread: column.kind === "number" ? spreadOf(taken[k]!, column.leastWidth) : FLAG,
  }));
}

/** 0–1 on the spread; NaN stays NaN. */
export const onSpread = ({ low, width }: Spread, value: number): number =>
  Math.min(1, Math.max(0, (value - low) / width));

/**
 * How far apart two values of a column are, 0–1; null when they are not compared: one is missing, both are absent, or the
 * column is the same in the whole set.
 */
export function apart({ kind, spread, weight }: ScaledColumn, a: number, b: number): number | null {
  if (weight === 0 || spread.width === 0 || Number.isNaN(a) || Number.isNaN(b)) return null;
  if (kind === "presence" && a <= 0 && b <= 0) return null;
  if (kind !== "number") return a > 0 === b > 0 ? 0 : 1;
  return Math.abs(onSpread(spread, a) - onSpread(spread, b));
}

/** What comparing two breaks adds up to. */
export interface Comparison {
  /** Σ weight × distance, and Σ weight, over the columns compared, in parts of a weight. */
  readonly apart: number;
  readonly weight: number;
  /** Columns compared that tell of the fracture: marks and what the pixels show, not facts of the wire. */
  readonly observed: number;
}

/** Compares two breaks column by column. */
export function compare(columns: readonly ScaledColumn[], a: ArrayLike<number>, b: ArrayLike<number>): Comparison {
  let [sum, weight, observed] = [0, 0, 0];
  for (let k = 0; k < columns.length; k++) {
    const column = columns[k]!;
    const d = apart(column, a[k]!, b[k]!);
    if (d === null) continue;
    sum += column.weight * d;
    weight += column.weight;
    if (column.group !== "facts") observed++;
  }
  return { apart: sum, weight, observed };
}

/**
 * Gower's coefficient: weighted mean likeness of the columns known on both, 0–1; NaN when there are none.
 *
 * @source J. C. Gower, Biometrics 27 (1971) 857–871
 */
export const gower = ({ apart: sum, weight }: Comparison): number => 1 - sum / weight;

/** Fewer columns in common than this, and nothing comparable is known. @source common practice, no source */
export const FEWEST_SHARED = 3;

/**
 * Few columns in common are little to go by: it is counted as if this many more had been compared and were half alike.
 * @source common practice, no source
 */
export const DAMPING = 4;

/** 0–1: 0 is the same. */
export const dampedDistance = (sum: number, weight: number): number =>
  (sum + 0.5 * DAMPING * WEIGHT_PARTS) / (weight + DAMPING * WEIGHT_PARTS);
