import { lbfgs } from "./lbfgs.ts";
import { packRows, type PackedRows } from "./packed-rows.ts";
import { softmaxSlope, sizeOf } from "./softmax-slope.ts";
import type { Standard } from "./standardise.ts";
import { standardOf, standardRow } from "./standardise.ts";
import { exp } from "./steady-math.ts";
import type { TrainingSet } from "./training-set.ts";
import { classWeights } from "./training-set.ts";

/** Multinomial logistic regression over standardised values and known-flags. */
export interface SoftmaxModel {
  readonly kind: "softmax";
  readonly standard: Standard;
  /** classes × (2 × columns), row by row. */
  readonly weights: Float64Array;
  readonly bias: Float64Array;
}

export interface SoftmaxOptions {
  /** Weight of the penalty ½·l2·|w|² against the mean loss of the rows. */
  readonly l2: number;
  /** Most steps; fewer when they gain nothing more. */
  readonly steps: number;
  /** Called with the share done; may throw to stop. */
  readonly onPart?: (part: number) => void;
}

/** Three steps together that lower the loss by less than this share of it are the last. @source our own trials */
const TOLERANCE = 2e-3;
/** About one over the curvature of the mean loss in one weight, for the first step. @source our own trials */
const SCALE = 4;

/** Fits to all rows at once; the same data give the same bytes. */
export function trainSoftmax(set: TrainingSet, { l2, steps, onPart }: SoftmaxOptions): SoftmaxModel {
  const standard = standardOf(set);
  const packed = packRows(set, standard);
  const slope = softmaxSlope(packed, set.y, classWeights(set), l2);
  const w = lbfgs(slope, new Float64Array(sizeOf(packed, set.classes.length)), {
    scale: SCALE,
    steps,
    tolerance: TOLERANCE,
    ...(onPart ? { onStep: (done: number) => onPart(done / steps) } : {}),
  });
  return { kind: "softmax", standard, ...unpacked(packed, w, set) };
}

/** Weights by class and column. A flag that columns share stands for as many equal weights. */
function unpacked(
  { valueAt, flagAt, sharing, turned, features }: PackedRows,
  w: Float64Array,
  { names, classes }: TrainingSet,
) {
  const [columns, count] = [names.length, classes.length];
  const weights = new Float64Array(count * 2 * columns);
  const bias = w.slice(features * count);
  for (let c = 0; c < count; c++)
    for (let j = 0; j < columns; j++) {
      const [value, flag] = [valueAt[j]!, flagAt[j]!];
      if (value >= 0) weights[c * 2 * columns + j] = w[value * count + c]!;
      if (flag < 0) continue;
      const own = w[flag * count + c]! / Math.sqrt(sharing[j]!);
      weights[c * 2 * columns + columns + j] = own;
      // −(1 − known) = known − 1: the 1 goes to the bias.
      if (turned[j] === 1) bias[c]! -= own;
    }
  return { weights, bias };
}

/** Scores to shares that sum to 1, in place. */
export function toProbabilities(scores: Float64Array): void {
  let top = -Infinity;
  for (const s of scores) if (s > top) top = s;
  let sum = 0;
  for (let c = 0; c < scores.length; c++) sum += scores[c] = exp(scores[c]! - top);
  for (let c = 0; c < scores.length; c++) scores[c]! /= sum;
}

/** Scores of one row before they are turned into probabilities. @param row – as in the training set, NaN missing. */
export function softmaxScores(model: SoftmaxModel, row: ArrayLike<number>): Float64Array {
  const width = 2 * model.standard.mean.length;
  const line = new Float64Array(width);
  standardRow(row, model.standard, line);
  return model.bias.map((b, c) => {
    let sum = b;
    for (let j = 0; j < width; j++) sum += model.weights[c * width + j]! * line[j]!;
    return sum;
  });
}
