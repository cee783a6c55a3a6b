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
  /** Rising distances of the breaks learnt from; the k-th of n is the k/n quantile. */
  readonly distances: Float64Array;
}

/** Breaks of prior weight that the variance of a small type is drawn toward. @source common practice, no source */
const PRIOR = 8;
const QUANTILES = 101;

export function familiarityOf(set: TrainingSet, standard: Standard): Familiarity {
  const columns = set.names.length;
  const classes = set.classes.length;
  const n = new Float64Array(classes * columns);
  const mean = new Float64Array(classes * columns);
  const squares = new Float64Array(classes * columns);
  const line = new Float64Array(2 * columns);
  const rows = rowsOf(set);
  for (let i = 0; i < rows; i++) {
    standardRow(set.x.subarray(i * columns, (i + 1) * columns), standard, line);
    const from = set.y[i]! * columns;
    for (let j = 0; j < columns; j++) {
      if (line[columns + j] === 0) continue;
      n[from + j]!++;
      mean[from + j]! += line[j]!;
      squares[from + j]! += line[j]! * line[j]!;
    }
  }
  const sharpness = new Float64Array(classes * columns);
  for (let k = 0; k < mean.length; k++) {
    const count = n[k]!;
    const m = mean[k]! / (count + PRIOR);
    const variance = (squares[k]! + PRIOR - (count + PRIOR) * m * m) / (count + PRIOR);
    mean[k] = m;
    sharpness[k] = 1 / Math.max(0.04, variance);
  }
  const bare: Familiarity = { standard, mean, sharpness, distances: new Float64Array(0) };
  const all = new Float64Array(rows);
  for (let i = 0; i < rows; i++) all[i] = distanceOf(bare, set.x.subarray(i * columns, (i + 1) * columns));
  all.sort();
  const distances = Float64Array.from({ length: QUANTILES }, (_, k) =>
    rows === 0 ? 0 : all[Math.min(rows - 1, Math.round((k * (rows - 1)) / (QUANTILES - 1)))]!,
  );
  return { ...bare, distances };
}

/**
 * Mean squared distance, in spreads of the type, to the nearest type, over the columns that are known.
 *
 * @returns 0 when nothing is known: then nothing is unlike either.
 */
export function distanceOf({ standard, mean, sharpness }: Familiarity, row: ArrayLike<number>): number {
  const columns = standard.mean.length;
  const line = new Float64Array(2 * columns);
  standardRow(row, standard, line);
  let known = 0;
  for (let j = 0; j < columns; j++) known += line[columns + j]!;
  if (known === 0) return 0;
  let least = Infinity;
  for (let from = 0; from < mean.length; from += columns) {
    let sum = 0;
    for (let j = 0; j < columns; j++)
      if (line[columns + j] === 1) {
        const away = line[j]! - mean[from + j]!;
        sum += sharpness[from + j]! * away * away;
      }
    least = Math.min(least, sum);
  }
  return least / known;
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
