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
  /** Marks and facts, byte column after byte column: one number, or up to five flags. */
  readonly read: { readonly columns: readonly (readonly number[])[]; readonly bytes: Uint8Array };
  /** What the pixels show: break after break, one level 0–254 per column; 255 is missing. */
  readonly shown: { readonly columns: readonly number[]; readonly levels: Uint8Array };
  /** How many breaks have each level, 256 per column. */
  readonly counts: Uint32Array;
}

const TOP_LEVEL = 254;
const MISSING = 255;

/** Flags in one byte: yes, no and missing are three states, and 3^5 = 243. */
const FLAGS_PER_BYTE = 5;

/** @returns 0–254 on the spread of a column, 255 when missing. */
export function levelOf({ kind, spread }: ScaledColumn, value: number): number {
  if (Number.isNaN(value)) return MISSING;
  return kind === "number" ? Math.round(TOP_LEVEL * onSpread(spread, value)) : value > 0 ? TOP_LEVEL : 0;
}

/** The level of one number, or the states of several flags as digits to the base of three. */
const byteOf = (columns: readonly ScaledColumn[], ks: readonly number[], vector: ArrayLike<number>): number =>
  columns[ks[0]!]!.kind === "number"
    ? levelOf(columns[ks[0]!]!, vector[ks[0]!]!)
    : ks.reduceRight((byte, k) => 3 * byte + stateOf(vector[k]!), 0);

const stateOf = (value: number): number => (Number.isNaN(value) ? 2 : value > 0 ? 1 : 0);
const LEVEL_OF_STATE = [0, TOP_LEVEL, MISSING] as const;

/**
 * @param vectors – one per confirmed break, values per column; NaN is missing.
 * @param columns – how each is compared.
 */
export function nearestIndex(vectors: readonly ArrayLike<number>[], columns: readonly ComparedColumn[]): NearestIndex {
  checkRoom(columns);
  const scaled = scaledColumns(columns, vectors);
  const compared = [...scaled.keys()].filter((k) => scaled[k]!.weight > 0 && scaled[k]!.spread.width > 0);
  const isRead = (k: number) => scaled[k]!.group === "marks" || scaled[k]!.group === "facts";
  const shown = compared.filter((k) => !isRead(k));
  const read = byteColumns(scaled, compared.filter(isRead));
  const readBytes = new Uint8Array(vectors.length * read.length);
  const shownLevels = new Uint8Array(vectors.length * shown.length);
  const counts = new Uint32Array(256 * columns.length);
  vectors.forEach((vector, i) => {
    for (const k of compared) counts[256 * k + levelOf(scaled[k]!, vector[k]!)]!++;
    read.forEach((ks, j) => (readBytes[j * vectors.length + i] = byteOf(scaled, ks, vector)));
    shown.forEach((k, j) => (shownLevels[i * shown.length + j] = levelOf(scaled[k]!, vector[k]!)));
  });
  return {
    columns: scaled,
    vectors,
    read: { columns: read, bytes: readBytes },
    shown: { columns: shown, levels: shownLevels },
    counts,
  };
}

function byteColumns(columns: readonly ScaledColumn[], read: readonly number[]): readonly (readonly number[])[] {
  const flags = read.filter((k) => columns[k]!.kind !== "number");
  const bytes = read.filter((k) => columns[k]!.kind === "number").map((k): readonly number[] => [k]);
  for (let i = 0; i < flags.length; i += FLAGS_PER_BYTE) bytes.push(flags.slice(i, i + FLAGS_PER_BYTE));
  return bytes;
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
 * @param most – at least 1.
 * @param except – place in the list that is passed over: the break itself; −1 = none.
 */
export function nearest(
  index: NearestIndex,
  vector: ArrayLike<number>,
  most: number,
  except = -1,
): readonly Neighbour[] {
  return firstOf(
    candidates(index, vector, most, except).map((at) => exactly(index, vector, at)),
    most,
  );
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
const roughError = (columns: number): number =>
  0.5 / TOP_LEVEL + (0.5 * columns) / (TOP_LEVEL * DAMPING * WEIGHT_PARTS) + 1e-9;

/** Places of all breaks that can be among the first `most`, and of a few more. */
function candidates(index: NearestIndex, vector: ArrayLike<number>, most: number, except: number): readonly number[] {
  const { columns, read, shown, vectors } = index;
  const breaks = vectors.length;
  const slack = 2 * roughError(columns.length);
  const readTables = read.columns.map((ks) => tableOfByte(columns, ks, vector));
  const shownTables = shown.columns.map((k) => tableOf(columns[k]!, vector[k]!));
  // What the pixels can add at most: enough to pass over most breaks without looking at theirs.
  const shownWeight = shown.columns.reduce((sum, k, j) => sum + (shownTables[j] === null ? 0 : columns[k]!.weight), 0);
  const tables = packed(shownTables);
  const best = new Smallest(most);
  const rough = new Float64Array(breaks).fill(Infinity);
  const sums = new Float64Array(BLOCK);
  for (let start = 0; start < breaks; start += BLOCK) {
    const block = sums.subarray(0, Math.min(BLOCK, breaks - start)).fill(0);
    readTables.forEach((table, j) => {
      const from = j * breaks + start;
      if (table !== null) addColumn(block, read.bytes.subarray(from, from + block.length), table);
    });
    for (let i = 0; i < block.length; i++) {
      const at = start + i;
      if (at === except || leastOf(block[i]!, shownWeight) > best.last + slack) continue;
      rough[at] = distanceOf(block[i]! + rowSum(shown.levels, at * shown.columns.length, shown.columns.length, tables));
      best.take(rough[at]);
    }
  }
  const found: number[] = [];
  for (let i = 0; i < breaks; i++) if (rough[i]! <= best.last + slack && rough[i] !== Infinity) found.push(i);
  return found;
}

/** Here the time goes. */
function addColumn(sums: Float64Array, bytes: Uint8Array, table: Float64Array): void {
  for (let i = 0; i < sums.length; i++) sums[i]! += table[bytes[i]!]!;
}

function rowSum(levels: Uint8Array, from: number, count: number, tables: Float64Array): number {
  let sum = 0;
  for (let j = 0; j < count; j++) sum += tables[256 * j + levels[from + j]!]!;
  return sum;
}

function packed(tables: readonly (Float64Array | null)[]): Float64Array {
  const all = new Float64Array(256 * tables.length);
  tables.forEach((table, j) => {
    if (table !== null) all.set(table, 256 * j);
  });
  return all;
}

/** What a break of each level adds; null when the column is not compared at all. */
function tableOf(column: ScaledColumn, value: number): Float64Array | null {
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
function tableOfByte(
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

function distanceOf(sums: number): number {
  const observed = Math.floor(sums / COLUMN_AT);
  if (observed < FEWEST_SHARED) return Infinity;
  const rest = sums - observed * COLUMN_AT;
  const weight = Math.floor(rest / WEIGHT_AT);
  return dampedDistance((rest - weight * WEIGHT_AT) / TOP_LEVEL, weight);
}

/** The least the distance can become when everything else turns out the same. */
function leastOf(sums: number, more: number): number {
  const rest = sums - Math.floor(sums / COLUMN_AT) * COLUMN_AT;
  const weight = Math.floor(rest / WEIGHT_AT);
  return dampedDistance((rest - weight * WEIGHT_AT) / TOP_LEVEL, weight + more);
}

/** The n smallest of the values taken so far. */
class Smallest {
  readonly #kept: Float64Array;

  constructor(n: number) {
    this.#kept = new Float64Array(n).fill(Infinity);
  }

  /** The largest of them; Infinity until there are n. */
  get last(): number {
    return this.#kept[this.#kept.length - 1]!;
  }

  take(value: number): void {
    const kept = this.#kept;
    if (value >= this.last) return;
    let at = kept.length - 1;
    while (at > 0 && kept[at - 1]! > value) {
      kept[at] = kept[at - 1]!;
      at--;
    }
    kept[at] = value;
  }
}
