import { type ComparedColumn, WEIGHT_PARTS } from "./nearest-columns.ts";
import { apart, DAMPING, dampedDistance, FEWEST_SHARED, type ScaledColumn } from "./nearest-likeness.ts";
import { LEVEL_OF_STATE, TOP_LEVEL } from "./nearest-levels.ts";

/**
 * Three sums in one double, added at once: weight × distance × 254 below 2^25, weight below 2^17, columns below 2^11.
 * Whole numbers below 2^53 add without rounding.
 */
const WEIGHT_AT = 2 ** 25;
const COLUMN_AT = 2 ** 42;

export function checkRoom(columns: readonly ComparedColumn[]): void {
  const weight = columns.reduce((sum, column) => sum + column.weight, 0);
  if (weight >= 2 ** 17 || columns.length >= 2 ** 11)
    throw new Error("The weights of the columns are too large to be packed.");
}

/** What a break of each level adds; null when the column is not compared at all. */
export function tableOf(column: ScaledColumn, value: number): Float64Array | null {
  const { spread, weight, group } = column;
  if (Number.isNaN(value)) return null;
  const table = new Float64Array(256);
  for (let level = 0; level <= TOP_LEVEL; level++) {
    const d = apart(column, value, spread.low + (spread.width * level) / TOP_LEVEL);
    if (d === null) continue;
    table[level] = Math.round(TOP_LEVEL * weight * d) + weight * WEIGHT_AT + (group === "facts" ? 0 : COLUMN_AT);
  }
  return table;
}

/** What a break with each byte adds; null when nothing in the byte is compared. */
export function tableOfByte(
  columns: readonly ScaledColumn[],
  ks: readonly number[],
  vector: ArrayLike<number>,
): Float64Array | null {
  const tables = ks.map((k) => tableOf(columns[k]!, vector[k]!));
  if (columns[ks[0]!]!.kind === "number" || tables.every((table) => table === null)) return tables[0] ?? null;
  return Float64Array.from({ length: 256 }, (_, byte) =>
    tables.reduce((sum, table, j) => {
      const state = Math.floor(byte / 3 ** j) % 3;
      return sum + (table?.[LEVEL_OF_STATE[state]!] ?? 0);
    }, 0),
  );
}

export function distanceOf(sums: number): number {
  const observed = Math.floor(sums / COLUMN_AT);
  if (observed < FEWEST_SHARED) return Infinity;
  const rest = sums - observed * COLUMN_AT;
  const weight = Math.floor(rest / WEIGHT_AT);
  return dampedDistance((rest - weight * WEIGHT_AT) / TOP_LEVEL, weight);
}

/** The least the distance can become when everything else turns out the same. */
export function leastOf(sums: number, more: number): number {
  const rest = sums - Math.floor(sums / COLUMN_AT) * COLUMN_AT;
  const weight = Math.floor(rest / WEIGHT_AT);
  return dampedDistance((rest - weight * WEIGHT_AT) / TOP_LEVEL, weight + more);
}

/**
 * How wrong a rough distance can be. A level is off by half a step; a product of weight and distance is rounded to a whole
 * number, half of one off in each column, and divided by 254 times at least the weight of the damping.
 */
export const roughError = (columns: number): number =>
  0.5 / TOP_LEVEL + (0.5 * columns) / (TOP_LEVEL * DAMPING * WEIGHT_PARTS) + 1e-9;
