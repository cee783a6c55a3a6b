import { type ComparedColumn, WEIGHT_PARTS } from "./nearest-columns.ts";
import {
  apart,
  compare,
  DAMPING,
  dampedDistance,
  FEWEST_SHARED,
  onSpread,
  type ScaledColumn,
  scaledColumns,
} from "./nearest-likeness.ts";

/** A confirmed break that is like the open one. */
export interface Neighbour {
  /** Place in the list that the index was made of. */
  readonly at: number;
  /** 0–1, 1 is the same: Gower's coefficient, damped where few columns are known on both. */
  readonly likeness: number;
  /** Columns compared that tell of the fracture. */
  readonly observed: number;
}

/** Confirmed breaks, packed so that all of them are looked through in a moment. */
export interface NearestIndex {
  readonly columns: readonly ScaledColumn[];
  /** The numbers as given, for exact figures. */
  readonly vectors: readonly ArrayLike<number>[];
  /** Column after column, one level 0–254 per break; 255 is missing. */
  readonly levels: Uint8Array;
  /** How many breaks have each level, 256 per column. */
  readonly counts: Uint32Array;
}

const TOP_LEVEL = 254;
const MISSING = 255;

/**
 * @param vectors – one per confirmed break, values per column; NaN is missing.
 * @param columns – how each is compared.
 */
export function nearestIndex(vectors: readonly ArrayLike<number>[], columns: readonly ComparedColumn[]): NearestIndex {
  checkRoom(columns);
  const scaled = scaledColumns(columns, vectors.length, (i, k) => vectors[i]![k]!);
  const levels = new Uint8Array(vectors.length * columns.length).fill(MISSING);
  const counts = new Uint32Array(256 * columns.length);
  scaled.forEach(({ spread }, k) => {
    if (spread.width === 0) return;
    const from = k * vectors.length;
    for (let i = 0; i < vectors.length; i++) {
      const value = vectors[i]![k]!;
      const level = Number.isNaN(value) ? MISSING : Math.round(TOP_LEVEL * onSpread(spread, value));
      levels[from + i] = level;
      counts[256 * k + level]!++;
    }
  });
  return { columns: scaled, vectors, levels, counts };
}

/** Breaks looked through together: their sums stay in the nearest cache of the processor. */
const BLOCK = 4096;
/**
 * Three sums in one double, added at once: weight × distance × 254 below 2^25, weight below 2^17, columns below 2^11.
 * Whole numbers below 2^53 add without rounding.
 */
const WEIGHT_AT = 2 ** 25;
const COLUMN_AT = 2 ** 42;

function checkRoom(columns: readonly ComparedColumn[]): void {
  const weight = columns.reduce((sum, column) => sum + column.weight, 0);
  if (weight >= 2 ** 17 || columns.length >= 2 ** 11)
    throw new Error("The weights of the columns are too large to be packed.");
}

/**
 * The confirmed breaks most like a break; of equally like ones the first in the list.
 *
 * Two steps: levels of all breaks give every distance to within a known error; whatever can be among the first `most` is
 * then computed from the numbers themselves. So the answer is the same as of `nearestPlainly`.
 *
 * @param vector – of the open break, values per column.
 * @param except – place in the list that is passed over: the break itself; −1 = none.
 */
export function nearest(
  index: NearestIndex,
  vector: ArrayLike<number>,
  most: number,
  except = -1,
): readonly Neighbour[] {
  const rough = roughDistances(index, vector);
  if (except >= 0) rough[except] = Infinity;
  const reach = smallest(rough, most) + 2 * ROUGH_ERROR(index.columns.length);
  const found: Neighbour[] = [];
  for (let i = 0; i < rough.length; i++)
    if (rough[i]! <= reach && rough[i] !== Infinity) found.push(exactly(index, vector, i));
  return firstOf(found, most);
}

/** The same by comparing with every break one after the other. */
export function nearestPlainly(
  index: NearestIndex,
  vector: ArrayLike<number>,
  most: number,
  except = -1,
): readonly Neighbour[] {
  const all = index.vectors.map((_, i) => exactly(index, vector, i));
  return firstOf(
    all.filter(({ at, observed }) => at !== except && observed >= FEWEST_SHARED),
    most,
  );
}

function exactly({ columns, vectors }: NearestIndex, vector: ArrayLike<number>, at: number): Neighbour {
  const { apart: sum, weight, observed } = compare(columns, vector, vectors[at]!);
  return { at, likeness: 1 - dampedDistance(sum, weight), observed };
}

const firstOf = (found: Neighbour[], most: number): readonly Neighbour[] =>
  found.sort((a, b) => b.likeness - a.likeness || a.at - b.at).slice(0, most);

/**
 * How wrong a rough distance can be. A level is off by half a step; a product of weight and distance is rounded to a whole
 * number, half of one off in each column, and divided by 254 times at least the weight of the damping.
 */
const ROUGH_ERROR = (columns: number): number =>
  0.5 / TOP_LEVEL + (0.5 * columns) / (TOP_LEVEL * DAMPING * WEIGHT_PARTS) + 1e-9;

/** Distance to every break from its levels; Infinity where too few columns are known on both. */
function roughDistances({ columns, vectors, levels }: NearestIndex, vector: ArrayLike<number>): Float64Array {
  const breaks = vectors.length;
  const tables = columns.flatMap((column, k) => {
    const table = tableOf(column, vector[k]!);
    return table === null ? [] : [{ table, from: k * breaks }];
  });
  const sums = new Float64Array(breaks);
  for (let start = 0; start < breaks; start += BLOCK) {
    const block = sums.subarray(start, Math.min(breaks, start + BLOCK));
    for (const { table, from } of tables)
      addColumn(block, levels.subarray(from + start, from + start + block.length), table);
  }
  for (let i = 0; i < breaks; i++) sums[i] = distanceOf(sums[i]!);
  return sums;
}

/** The one loop in which the time goes. */
function addColumn(sums: Float64Array, levels: Uint8Array, table: Float64Array): void {
  for (let i = 0; i < sums.length; i++) sums[i]! += table[levels[i]!]!;
}

/** What a break of each level adds; null when the column is not compared at all. */
function tableOf(column: ScaledColumn, value: number): Float64Array | null {
  const { spread, weight, group } = column;
  if (weight === 0 || spread.width === 0 || Number.isNaN(value)) return null;
  const table = new Float64Array(256);
  for (let level = 0; level <= TOP_LEVEL; level++) {
    const d = apart(column, value, spread.low + (spread.width * level) / TOP_LEVEL);
    if (d === null) continue;
    table[level] = Math.round(TOP_LEVEL * weight * d) + weight * WEIGHT_AT + (group === "facts" ? 0 : COLUMN_AT);
  }
  return table;
}

function distanceOf(sums: number): number {
  const observed = Math.floor(sums / COLUMN_AT);
  if (observed < FEWEST_SHARED) return Infinity;
  const rest = sums - observed * COLUMN_AT;
  const weight = Math.floor(rest / WEIGHT_AT);
  return dampedDistance((rest - weight * WEIGHT_AT) / TOP_LEVEL, weight);
}

/** The n-th smallest value; the largest when there are fewer. */
function smallest(values: Float64Array, n: number): number {
  const kept = new Float64Array(n).fill(Infinity);
  for (const value of values) {
    if (value >= kept[n - 1]!) continue;
    let at = n - 1;
    while (at > 0 && kept[at - 1]! > value) {
      kept[at] = kept[at - 1]!;
      at--;
    }
    kept[at] = value;
  }
  return kept[n - 1]!;
}
