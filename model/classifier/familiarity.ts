import type { Standard } from "./standardise.ts";
import { standardRow } from "./standardise.ts";
import type { TrainingSet } from "./training-set.ts";
import { rowsOf } from "./training-set.ts";

/** What the breaks learnt from look like, for saying when another is unlike all of them. */
export interface Familiarity {
  readonly standard: Standard;
  /** classes × columns: means of the standardised values. */
  readonly mean: Float64Array;
  /** classes × columns: 1 / variance, the variance drawn toward that of all breaks. */
  readonly sharpness: Float64Array;
  /** Rising distances of the breaks learnt from, each measured without itself; the k-th of n is the k/n quantile. */
  readonly distances: Float64Array;
}

/** Breaks of prior weight that the variance of a small type is drawn toward. @source common practice, no source */
const PRIOR = 8;
const QUANTILES = 101;

/** Sums over the breaks learnt from, by type and column, from which means and variances follow. */
interface Sums {
  readonly n: Float64Array;
  readonly sum: Float64Array;
  readonly squares: Float64Array;
}

/**
 * What the breaks learnt from look like. Each break's own distance is measured without any of its rows: a break that
 * helped to draw its type lies nearer to it than a fresh one ever will, and every fresh break would seem a stranger.
 */
export function familiarityOf(set: TrainingSet, standard: Standard): Familiarity {
  const columns = set.names.length;
  const size = set.classes.length * columns;
  const sums: Sums = { n: new Float64Array(size), sum: new Float64Array(size), squares: new Float64Array(size) };
  const rows = rowsOf(set);
  const line = new Float64Array(2 * columns);
  const rowAt = (i: number) => set.x.subarray(i * columns, (i + 1) * columns);
  /** Adds the row to what its type looks like, or takes it out. */
  const count = (i: number, by: 1 | -1): void => {
    standardRow(rowAt(i), standard, line);
    const from = set.y[i]! * columns;
    for (let j = 0; j < columns; j++) {
      if (line[columns + j] === 0) continue;
      sums.n[from + j]! += by;
      sums.sum[from + j]! += by * line[j]!;
      sums.squares[from + j]! += by * line[j]! * line[j]!;
    }
  };
  for (let i = 0; i < rows; i++) count(i, 1);
  const mean = new Float64Array(size);
  const sharpness = new Float64Array(size);
  const look = (type: number) => lookOf(sums, type * columns, (type + 1) * columns, mean, sharpness);
  set.classes.forEach((_, type) => look(type));
  const whole: Familiarity = {
    standard,
    mean: mean.slice(),
    sharpness: sharpness.slice(),
    distances: new Float64Array(0),
  };
  const all = new Float64Array(rows);
  for (const own of rowsByBreak(set)) {
    const types = new Set(own.map((i) => set.y[i]!));
    for (const i of own) count(i, -1);
    types.forEach(look);
    for (const i of own) all[i] = distanceOf({ ...whole, mean, sharpness }, rowAt(i));
    for (const i of own) count(i, 1);
    for (const type of types)
      for (const [now, before] of [
        [mean, whole.mean],
        [sharpness, whole.sharpness],
      ] as const)
        // prettier-ignore
        now.set(before.subarray(type * columns, (type + 1) * columns), type * columns);
  }
  all.sort();
  const distances = Float64Array.from({ length: QUANTILES }, (_, k) =>
    rows === 0 ? 0 : all[Math.min(rows - 1, Math.round((k * (rows - 1)) / (QUANTILES - 1)))]!,
  );
  return { ...whole, distances };
}

/** Writes means and sharpness of the columns from `from` to before `to`. */
function lookOf(
  { n, sum, squares }: Sums,
  from: number,
  to: number,
  mean: Float64Array,
  sharpness: Float64Array,
): void {
  for (let k = from; k < to; k++) {
    const count = n[k]! + PRIOR;
    const m = sum[k]! / count;
    mean[k] = m;
    sharpness[k] = 1 / Math.max(0.04, (squares[k]! + PRIOR - count * m * m) / count);
  }
}

/** Rows of each break. */
function rowsByBreak({ group }: TrainingSet): readonly (readonly number[])[] {
  const found = new Map<number, number[]>();
  group.forEach((g, i) => {
    const own = found.get(g);
    if (own === undefined) found.set(g, [i]);
    else own.push(i);
  });
  return [...found.values()];
}

/**
 * Mean squared distance, in spreads of the type, to the nearest type, over the columns that are known.
 *
 * @returns 0 when nothing is known: then nothing is unlike either.
 */
export function distanceOf(familiarity: Familiarity, row: ArrayLike<number>): number {
  const { least, known } = nearestType(familiarity, row);
  return known === 0 ? 0 : least / known;
}

/**
 * Where the distance comes from: the share of each column in it.
 *
 * @returns one value per column, summing to 1; all 0 when the distance is 0.
 */
export function distanceShares(familiarity: Familiarity, row: ArrayLike<number>): Float64Array {
  const { least, from, squareAt, columns } = nearestType(familiarity, row);
  return Float64Array.from({ length: columns }, (_, j) => (least > 0 ? squareAt(from, j) / least : 0));
}

/** The type that a row lies nearest to. */
function nearestType({ standard, mean, sharpness }: Familiarity, row: ArrayLike<number>) {
  const columns = standard.mean.length;
  const line = new Float64Array(2 * columns);
  standardRow(row, standard, line);
  let known = 0;
  for (let j = 0; j < columns; j++) known += line[columns + j]!;
  const squareAt = (from: number, j: number): number =>
    line[columns + j] === 1 ? sharpness[from + j]! * (line[j]! - mean[from + j]!) ** 2 : 0;
  let best = { from: 0, least: known === 0 ? 0 : Infinity };
  for (let from = 0; from < mean.length; from += columns) {
    let sum = 0;
    // A type that is farther already cannot be the nearest any more.
    for (let j = 0; j < columns && sum < best.least; j++) sum += squareAt(from, j);
    if (sum < best.least) best = { from, least: sum };
  }
  return { ...best, known, columns, squareAt };
}

/**
 * How unlike the breaks learnt from this one is.
 *
 * @returns 0–1: share of the breaks learnt from that lie nearer to their types; beyond the farthest it is 1.
 */
export const unlikeness = (familiarity: Familiarity, row: ArrayLike<number>): number =>
  unlikenessAt(familiarity, distanceOf(familiarity, row));

/** The same from a distance that is known already. */
export function unlikenessAt({ distances }: Familiarity, d: number): number {
  let below = 0;
  while (below < distances.length && distances[below]! < d) below++;
  return distances.length === 0 ? 0 : Math.min(1, below / (distances.length - 1));
}
