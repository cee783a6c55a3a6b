import { seeded, shuffled } from "./seeded.ts";
import { toProbabilities } from "./softmax.ts";
import { ln } from "./steady-math.ts";
import { binsOf } from "./tree-bins.ts";
import { TreeGrower, type GrowOptions } from "./tree-grower.ts";
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

export interface TreesOptions extends GrowOptions {
  readonly rounds: number;
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
  const grower = new TreeGrower(binned, options);
  /** Slope and curvature of each row, side by side. */
  const pull = new Float64Array(2 * rows);
  const p = new Float64Array(classes);
  const trees: Tree[] = [];
  for (let round = 0; round < options.rounds; round++) {
    for (let i = 0; i < rows; i++) {
      for (let c = 0; c < classes; c++) p[c] = scores[i * classes + c]!;
      toProbabilities(p);
      chance.set(p, i * classes);
    }
    const used = shuffled(rows, next)
      .subarray(0, Math.max(1, Math.round(options.rowShare * rows)))
      .sort();
    for (let c = 0; c < classes; c++) {
      for (let i = 0; i < rows; i++) {
        const of = chance[i * classes + c]!;
        const weight = share[set.y[i]!]!;
        pull[2 * i] = weight * (of - (set.y[i] === c ? 1 : 0));
        pull[2 * i + 1] = weight * Math.max(1e-6, of * (1 - of));
      }
      const columns = shuffled(binned.columns, next)
        .subarray(0, Math.max(1, Math.round(options.columnShare * binned.columns)))
        .sort();
      trees.push(grower.grow(used, columns, pull));
      grower.addTo(scores, c, classes);
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
  return sum.map((s) => ln(s / total));
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
