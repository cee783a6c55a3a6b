import { MISSING_BIN, MOST_BINS, type Binned } from "./tree-bins.ts";
import type { TreeNode } from "./trees.ts";

export interface GrowOptions {
  readonly depth: number;
  readonly rate: number;
  /** Shrinks leaf values. */
  readonly l2: number;
  /** Least sum of curvature in a leaf. */
  readonly leastWeight: number;
}

interface BinNode {
  column: number;
  /** Last bin that goes low. */
  bin: number;
  missingLow: boolean;
  low: number;
  high: number;
  readonly value: number;
}

interface Split {
  readonly column: number;
  readonly bin: number;
  readonly missingLow: boolean;
}

/** Rows of a node with their sums, waiting to be split. */
interface Branch {
  readonly place: number;
  readonly rows: Int32Array;
  readonly g: number;
  readonly h: number;
  /** Slope and curvature per column of the tree and bin, side by side. */
  readonly sums: Float64Array;
}

/**
 * Grows one tree after another over the same binned rows, each question the best of all columns and bins.
 *
 * Only the smaller side of a split is counted; the larger is what is left of the whole.
 */
export class TreeGrower {
  readonly #binned: Binned;
  readonly #options: GrowOptions;
  /** Place of the node in which each row of the tree lies now; −1 for a row that the tree does not learn from. */
  readonly #nodeOf: Int32Array;
  #nodes: BinNode[] = [];

  constructor(binned: Binned, options: GrowOptions) {
    this.#binned = binned;
    this.#options = options;
    this.#nodeOf = new Int32Array(binned.rows);
  }

  /**
   * @param used – rows to learn from, rising.
   * @param columns – columns that may be asked about, rising.
   * @param pull – slope and curvature of each row, side by side.
   */
  grow(used: Int32Array, columns: Int32Array, pull: Float64Array): readonly TreeNode[] {
    this.#nodes = [];
    this.#nodeOf.fill(-1);
    let level: Branch[] = [];
    const root = this.#leaf(used, pull);
    if (this.#maySplit(root.h, this.#options.depth)) level.push({ ...root, sums: this.#count(root, columns, pull) });
    for (let depth = this.#options.depth; depth > 0; depth--)
      level = level.flatMap((branch) => this.#split(branch, columns, pull, depth - 1));
    return this.#nodes.map((n): TreeNode => ({
      column: n.column,
      edge: n.column < 0 ? 0 : this.#binned.edges[n.column]![n.bin - 1]!,
      missingLow: n.missingLow,
      low: n.low,
      high: n.high,
      value: n.column < 0 ? n.value : 0,
      mean: n.value,
    }));
  }

  /** Adds what the last tree says of each row to its score of one class. */
  addTo(scores: Float64Array, of: number, classes: number): void {
    const { rows, bins } = this.#binned;
    const nodes = this.#nodes;
    for (let i = 0; i < rows; i++) {
      let node = nodes[0]!;
      while (node.column >= 0) {
        const bin = bins[node.column * rows + i]!;
        node = nodes[(bin === MISSING_BIN ? node.missingLow : bin <= node.bin) ? node.low : node.high]!;
      }
      scores[i * classes + of]! += node.value;
    }
  }

  #maySplit(h: number, depth: number): boolean {
    return depth > 0 && h >= 2 * this.#options.leastWeight;
  }

  /** Makes a node of these rows that says what suits them best. */
  #leaf(rows: Int32Array, pull: Float64Array): Omit<Branch, "sums"> {
    const place = this.#nodes.length;
    let g = 0;
    let h = 0;
    for (const i of rows) {
      g += pull[2 * i]!;
      h += pull[2 * i + 1]!;
      this.#nodeOf[i] = place;
    }
    const value = Math.fround((-this.#options.rate * g) / (h + this.#options.l2));
    this.#nodes.push({ column: -1, bin: 0, missingLow: true, low: 0, high: 0, value });
    return { place, rows, g, h };
  }

  /** @returns the two new branches, as far as they may be split in turn. */
  #split(branch: Branch, columns: Int32Array, pull: Float64Array, depthLeft: number): Branch[] {
    const split = this.#best(branch, columns);
    if (split === null) return [];
    const [lowRows, highRows] = this.#parted(branch.rows, split);
    const low = this.#leaf(lowRows, pull);
    const high = this.#leaf(highRows, pull);
    const node = this.#nodes[branch.place]!;
    node.column = split.column;
    node.bin = split.bin;
    node.missingLow = split.missingLow;
    node.low = low.place;
    node.high = high.place;
    const on = [low, high].filter(({ h }) => this.#maySplit(h, depthLeft));
    if (on.length === 0) return [];
    const small = lowRows.length <= highRows.length ? low : high;
    const counted = this.#count(small, columns, pull);
    const rest = branch.sums;
    for (let k = 0; k < rest.length; k++) rest[k]! -= counted[k]!;
    return on.map((b) => ({ ...b, sums: b === small ? counted : rest }));
  }

  #count({ place, rows: mine, g, h }: Omit<Branch, "sums">, columns: Int32Array, pull: Float64Array): Float64Array {
    const { rows, bins, knowing } = this.#binned;
    const sums = new Float64Array(columns.length * 2 * MOST_BINS);
    for (let k = 0; k < columns.length; k++) {
      const column = columns[k]!;
      const at = k * 2 * MOST_BINS;
      const few = knowing[column]!;
      if (few === null) addRows(sums, at, bins, column * rows, mine, pull);
      else {
        addKnown(sums, at, bins, column * rows, few, this.#nodeOf, place, pull);
        let [knownG, knownH] = [0, 0];
        for (let b = 2; b < 2 * MOST_BINS; b += 2) {
          knownG += sums[at + b]!;
          knownH += sums[at + b + 1]!;
        }
        sums[at] = g - knownG;
        sums[at + 1] = h - knownH;
      }
    }
    return sums;
  }

  #best({ g: sumG, h: sumH, sums }: Branch, columns: Int32Array): Split | null {
    const { l2, leastWeight } = this.#options;
    const whole = (sumG * sumG) / (sumH + l2);
    let best: Split | null = null;
    let most = 1e-9;
    for (let k = 0; k < columns.length; k++) {
      const count = this.#binned.edges[columns[k]!]!.length;
      const at = k * 2 * MOST_BINS;
      const missG = sums[at]!;
      const missH = sums[at + 1]!;
      // What is left of sums that cancel is no row.
      const ways = missH > 1e-9 ? 2 : 1;
      let g = 0;
      let h = 0;
      for (let bin = 1; bin <= count; bin++) {
        g += sums[at + 2 * bin]!;
        h += sums[at + 2 * bin + 1]!;
        for (let way = 0; way < ways; way++) {
          const lowG = way === 0 ? g + missG : g;
          const lowH = way === 0 ? h + missH : h;
          const highG = sumG - lowG;
          const highH = sumH - lowH;
          if (lowH < leastWeight || highH < leastWeight) continue;
          const gain = (lowG * lowG) / (lowH + l2) + (highG * highG) / (highH + l2) - whole;
          if (gain > most) {
            most = gain;
            best = { column: columns[k]!, bin, missingLow: way === 0 };
          }
        }
      }
    }
    return best;
  }

  #parted(list: Int32Array, split: Split): [Int32Array, Int32Array] {
    const { rows, bins } = this.#binned;
    const low = new Int32Array(list.length);
    const high = new Int32Array(list.length);
    let [lows, highs] = [0, 0];
    const from = split.column * rows;
    for (const i of list) {
      const bin = bins[from + i]!;
      if (bin === MISSING_BIN ? split.missingLow : bin <= split.bin) low[lows++] = i;
      else high[highs++] = i;
    }
    return [low.subarray(0, lows), high.subarray(0, highs)];
  }
}

function addRows(
  sums: Float64Array,
  at: number,
  bins: Uint8Array,
  from: number,
  rows: Int32Array,
  pull: Float64Array,
): void {
  for (let k = 0; k < rows.length; k++) {
    const i = rows[k]!;
    const slot = at + 2 * bins[from + i]!;
    sums[slot]! += pull[2 * i]!;
    sums[slot + 1]! += pull[2 * i + 1]!;
  }
}

/** The same for a column that few rows know: those in the node among them. */
function addKnown(
  sums: Float64Array,
  at: number,
  bins: Uint8Array,
  from: number,
  knowing: Int32Array,
  nodeOf: Int32Array,
  place: number,
  pull: Float64Array,
): void {
  for (let k = 0; k < knowing.length; k++) {
    const i = knowing[k]!;
    if (nodeOf[i] !== place) continue;
    const slot = at + 2 * bins[from + i]!;
    sums[slot]! += pull[2 * i]!;
    sums[slot + 1]! += pull[2 * i + 1]!;
  }
}
