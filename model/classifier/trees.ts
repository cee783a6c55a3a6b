import { seeded, shuffled } from "./seeded.ts";
import { toProbabilities } from "./softmax.ts";
import { binsOf, MISSING_BIN, type Binned } from "./tree-bins.ts";
import type { TrainingSet } from "./training-set.ts";
import { classWeights, rowsOf } from "./training-set.ts";

/** A node asks whether a column is at most an edge; a leaf (column −1) gives its value. */
export interface TreeNode {
  readonly column: number;
  readonly edge: number;
  /** Where a missing value goes on. */
  readonly missingLow: boolean;
  /** Places of the next nodes in the list: at most the edge, above it. */
  readonly low: number;
  readonly high: number;
  /** Added to the score when the way ends here; 0 in a node that asks. */
  readonly value: number;
  /** What a leaf in this place would have added; tells what each question changed. */
  readonly mean: number;
}
export type Tree = readonly TreeNode[];

/** Gradient-boosted trees, one per class and round. */
export interface TreesModel {
  readonly kind: "trees";
  readonly classes: number;
  readonly base: Float64Array;
  /** Round after round, one tree per class in order. */
  readonly trees: readonly Tree[];
}

export interface TreesOptions {
  readonly rounds: number;
  readonly depth: number;
  readonly rate: number;
  /** Shrinks leaf values. */
  readonly l2: number;
  /** Least sum of curvature in a leaf. */
  readonly leastWeight: number;
  /** Share of the columns that each tree may ask about. */
  readonly columnShare: number;
  /** Share of the rows that each round learns from. */
  readonly rowShare: number;
  readonly seed: number;
  readonly onPart?: (part: number) => void;
}

/**
 * Fits by second-order boosting on histograms; the same data and seed give the same bytes.
 *
 * @source J. Friedman, "Greedy function approximation: a gradient boosting machine", Ann. Stat. 29 (2001) 1189–1232;
 *   leaf value −G/(H + λ) and split gain as in T. Chen, C. Guestrin, "XGBoost", KDD 2016; both from memory.
 */
export function trainTrees(set: TrainingSet, options: TreesOptions): TreesModel {
  const rows = rowsOf(set);
  const classes = set.classes.length;
  const binned = binsOf(set);
  const next = seeded(options.seed);
  const share = classWeights(set);
  const base = baseScores(set, share);
  const scores = new Float64Array(rows * classes);
  for (let i = 0; i < rows; i++) scores.set(base, i * classes);
  const chance = new Float64Array(rows * classes);
  const grower = new Grower(binned, rows, options);
  const gradient = new Float64Array(rows);
  const curvature = new Float64Array(rows);
  const trees: Tree[] = [];
  for (let round = 0; round < options.rounds; round++) {
    for (let i = 0; i < rows; i++) {
      const p = scores.slice(i * classes, (i + 1) * classes);
      toProbabilities(p);
      chance.set(p, i * classes);
    }
    const used = shuffled(rows, next)
      .subarray(0, Math.max(1, Math.round(options.rowShare * rows)))
      .sort();
    for (let c = 0; c < classes; c++) {
      for (let i = 0; i < rows; i++) {
        const p = chance[i * classes + c]!;
        const weight = share[set.y[i]!]!;
        gradient[i] = weight * (p - (set.y[i] === c ? 1 : 0));
        curvature[i] = weight * Math.max(1e-6, p * (1 - p));
      }
      const columns = shuffled(binned.columns, next)
        .subarray(0, Math.max(1, Math.round(options.columnShare * binned.columns)))
        .sort();
      const { tree, binTree } = grower.grow(used, columns, gradient, curvature);
      trees.push(tree);
      for (let i = 0; i < rows; i++) scores[i * classes + c]! += grower.leafOf(binTree, i);
    }
    options.onPart?.((round + 1) / options.rounds);
  }
  return { kind: "trees", classes, base, trees };
}

/** Logarithm of the weighted shares: what is known before anything is seen. */
function baseScores({ y, classes }: TrainingSet, share: Float64Array): Float64Array {
  const sum = new Float64Array(classes.length).fill(0.5);
  for (const c of y) sum[c]! += share[c]!;
  const total = sum.reduce((a, b) => a + b, 0);
  return sum.map((s) => Math.log(s / total));
}

/** Scores of one row before they are turned into probabilities. @param row – NaN is missing. */
export function treesScores({ classes, base, trees }: TreesModel, row: ArrayLike<number>): Float64Array {
  const scores = base.slice();
  trees.forEach((tree, t) => {
    let node = tree[0]!;
    while (node.column >= 0) {
      // The model file compares 32-bit numbers; so does this.
      const v = Math.fround(row[node.column]!);
      const low = Number.isNaN(v) ? node.missingLow : v <= node.edge;
      node = tree[low ? node.low : node.high]!;
    }
    scores[t % classes]! += node.value;
  });
  return scores;
}

interface BinNode {
  column: number;
  /** Last bin that goes low. */
  bin: number;
  missingLow: boolean;
  low: number;
  high: number;
  value: number;
}

interface Split {
  readonly gain: number;
  readonly column: number;
  readonly bin: number;
  readonly missingLow: boolean;
}

class Grower {
  /** Sums of slope and curvature per bin of one column. */
  readonly #g = new Float64Array(64);
  readonly #h = new Float64Array(64);
  readonly #binned: Binned;
  readonly #rows: number;
  readonly #options: TreesOptions;

  constructor(binned: Binned, rows: number, options: TreesOptions) {
    this.#binned = binned;
    this.#rows = rows;
    this.#options = options;
  }

  grow(used: Int32Array, columns: Int32Array, gradient: Float64Array, curvature: Float64Array) {
    const nodes: BinNode[] = [];
    const make = (list: Int32Array, depth: number): number => {
      let g = 0;
      let h = 0;
      for (const i of list) {
        g += gradient[i]!;
        h += curvature[i]!;
      }
      const place = nodes.length;
      const value = Math.fround((-this.#options.rate * g) / (h + this.#options.l2));
      nodes.push({ column: -1, bin: 0, missingLow: true, low: 0, high: 0, value });
      const split =
        depth === 0 || h < 2 * this.#options.leastWeight ? null : this.#best(list, columns, gradient, curvature, g, h);
      if (split === null) return place;
      const [low, high] = this.#parted(list, split);
      const node = nodes[place]!;
      node.column = split.column;
      node.bin = split.bin;
      node.missingLow = split.missingLow;
      node.low = make(low, depth - 1);
      node.high = make(high, depth - 1);
      return place;
    };
    make(used, this.#options.depth);
    const tree = nodes.map((n): TreeNode => ({
      column: n.column,
      edge: n.column < 0 ? 0 : this.#binned.edges[n.column]![n.bin - 1]!,
      missingLow: n.missingLow,
      low: n.low,
      high: n.high,
      value: n.column < 0 ? n.value : 0,
      mean: n.value,
    }));
    return { tree, binTree: nodes };
  }

  leafOf(nodes: readonly BinNode[], row: number): number {
    let node = nodes[0]!;
    while (node.column >= 0) {
      const bin = this.#binned.bins[node.column * this.#rows + row]!;
      node = nodes[(bin === MISSING_BIN ? node.missingLow : bin <= node.bin) ? node.low : node.high]!;
    }
    return node.value;
  }

  #best(
    list: Int32Array,
    columns: Int32Array,
    gradient: Float64Array,
    curvature: Float64Array,
    sumG: number,
    sumH: number,
  ): Split | null {
    const { l2, leastWeight } = this.#options;
    const worth = (g: number, h: number) => (g * g) / (h + l2);
    const whole = worth(sumG, sumH);
    let best: Split | null = null;
    const [gs, hs] = [this.#g, this.#h];
    for (const column of columns) {
      const count = this.#binned.edges[column]!.length;
      if (count === 0) continue;
      gs.fill(0, 0, count + 2);
      hs.fill(0, 0, count + 2);
      const from = column * this.#rows;
      const { bins } = this.#binned;
      for (let k = 0; k < list.length; k++) {
        const i = list[k]!;
        const bin = bins[from + i]!;
        gs[bin]! += gradient[i]!;
        hs[bin]! += curvature[i]!;
      }
      const missG = gs[MISSING_BIN]!;
      const missH = hs[MISSING_BIN]!;
      let g = 0;
      let h = 0;
      for (let bin = 1; bin <= count; bin++) {
        g += gs[bin]!;
        h += hs[bin]!;
        for (const missingLow of missH > 0 ? [true, false] : [true]) {
          const lowG = missingLow ? g + missG : g;
          const lowH = missingLow ? h + missH : h;
          if (lowH < leastWeight || sumH - lowH < leastWeight) continue;
          const gain = worth(lowG, lowH) + worth(sumG - lowG, sumH - lowH) - whole;
          if (gain > (best?.gain ?? 1e-9)) best = { gain, column, bin, missingLow };
        }
      }
    }
    return best;
  }

  #parted(list: Int32Array, split: Split): [Int32Array, Int32Array] {
    const low = new Int32Array(list.length);
    const high = new Int32Array(list.length);
    let [lows, highs] = [0, 0];
    const from = split.column * this.#rows;
    for (const i of list) {
      const bin = this.#binned.bins[from + i]!;
      if (bin === MISSING_BIN ? split.missingLow : bin <= split.bin) low[lows++] = i;
      else high[highs++] = i;
    }
    return [low.subarray(0, lows), high.subarray(0, highs)];
  }
}
