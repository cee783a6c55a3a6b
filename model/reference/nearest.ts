import { compare, dampedDistance, FEWEST_SHARED } from "./nearest-likeness.ts";
import type { NearestIndex } from "./nearest-pack.ts";
import { distanceOf, leastOf, roughError, tableOf, tableOfByte } from "./nearest-sums.ts";

/** A confirmed break that is like the open one. */
export interface Neighbour {
  /** Place in the list that the index was made of. */
  readonly at: number;
  /** 0–1, 1 is the same: Gower's coefficient, damped where few columns are known on both. */
  readonly likeness: number;
  /** Columns compared that tell of the fracture. */
  readonly observed: number;
}

/** Breaks looked through together: their sums stay in the nearest cache of the processor. */
const BLOCK = 4096;

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
