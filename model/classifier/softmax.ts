import type { Standard } from "./standardise.ts";
import { standardOf, standardRow } from "./standardise.ts";
import type { TrainingSet } from "./training-set.ts";
import { classWeights, rowsOf } from "./training-set.ts";

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
  readonly steps: number;
  /** Called with the share done; may throw to stop. */
  readonly onPart?: (part: number) => void;
}

/**
 * Fits by full-batch gradient descent with Nesterov's momentum and restarts; the same data give the same bytes.
 *
 * @source Y. Nesterov, "A method for solving the convex programming problem with convergence rate O(1/k²)", 1983;
 *   B. O'Donoghue, E. Candès, "Adaptive restart for accelerated gradient schemes", 2015; both from memory.
 */
export function trainSoftmax(set: TrainingSet, options: SoftmaxOptions): SoftmaxModel {
  const standard = standardOf(set);
  const packed = packRows(set, standard);
  const { width } = packed;
  const classes = set.classes.length;
  const share = classWeights(set);
  const size = (width + 1) * classes;
  const at = new Float64Array(size);
  const ahead = new Float64Array(size);
  const gradient = new Float64Array(size);
  const rate = 1 / (options.l2 + steepest(packed) / 2);
  let pace = 1;
  let lastLoss = Infinity;
  for (let step = 0; step < options.steps; step++) {
    const loss = slope(packed, set.y, share, ahead, gradient, options.l2);
    // Overshot: start the momentum anew from the last good place.
    if (loss > lastLoss) {
      pace = 1;
      ahead.set(at);
      lastLoss = Infinity;
      continue;
    }
    lastLoss = loss;
    const nextPace = (1 + Math.sqrt(1 + 4 * pace * pace)) / 2;
    const push = (pace - 1) / nextPace;
    for (let k = 0; k < size; k++) {
      const moved = ahead[k]! - rate * gradient[k]!;
      ahead[k] = moved + push * (moved - at[k]!);
      at[k] = moved;
    }
    pace = nextPace;
    if (step % 5 === 0) options.onPart?.(step / options.steps);
  }
  const weights = new Float64Array(classes * width);
  for (let j = 0; j < width; j++) for (let c = 0; c < classes; c++) weights[c * width + j] = at[j * classes + c]!;
  return { kind: "softmax", standard, weights, bias: at.slice(width * classes) };
}

/** The standardised rows without their zeros: most breaks lack most measures, and a zero adds nothing to a sum. */
interface PackedRows {
  readonly rows: number;
  readonly width: number;
  /** First place of each row in `column` and `value`; one more at the end. */
  readonly from: Int32Array;
  readonly column: Int32Array;
  readonly value: Float64Array;
}

function packRows(set: TrainingSet, standard: Standard): PackedRows {
  const columns = set.names.length;
  const width = 2 * columns;
  const rows = rowsOf(set);
  const from = new Int32Array(rows + 1);
  const column: number[] = [];
  const value: number[] = [];
  const line = new Float64Array(width);
  for (let i = 0; i < rows; i++) {
    standardRow(set.x.subarray(i * columns, (i + 1) * columns), standard, line);
    for (let j = 0; j < width; j++) {
      if (line[j] === 0) continue;
      column.push(j);
      value.push(line[j]!);
    }
    from[i + 1] = column.length;
  }
  return { rows, width, from, column: Int32Array.from(column), value: Float64Array.from(value) };
}

/** Largest eigenvalue of XᵀX / n (with the bias column), by power iteration: the bound of the curvature. */
function steepest({ rows, width, from, column, value }: PackedRows): number {
  let v: Float64Array = new Float64Array(width + 1).fill(1 / Math.sqrt(width + 1));
  let largest = 1;
  for (let round = 0; round < 12; round++) {
    const next = new Float64Array(width + 1);
    for (let i = 0; i < rows; i++) {
      let dot = v[width]!;
      for (let k = from[i]!; k < from[i + 1]!; k++) dot += value[k]! * v[column[k]!]!;
      for (let k = from[i]!; k < from[i + 1]!; k++) next[column[k]!]! += dot * value[k]!;
      next[width]! += dot;
    }
    let square = 0;
    for (const n of next) square += n * n;
    const length = Math.sqrt(square) || 1;
    largest = length / Math.max(1, rows);
    v = next.map((n) => n / length);
  }
  // Power iteration comes from below; a little more keeps the step safe. Weights of rare classes reach beyond 1.
  return 1.5 * largest;
}

/**
 * Loss and its slope at `w`; both weighted means over the rows.
 * @param w – (width + 1) × classes, column by column, the last the bias: the classes of one column lie side by side.
 */
function slope(
  { rows, width, from, column, value }: PackedRows,
  y: Int32Array,
  share: Float64Array,
  w: Float64Array,
  out: Float64Array,
  l2: number,
): number {
  out.fill(0);
  const classes = share.length;
  const p = new Float64Array(classes);
  const biasAt = width * classes;
  let loss = 0;
  for (let i = 0; i < rows; i++) {
    const end = from[i + 1]!;
    for (let c = 0; c < classes; c++) p[c] = w[biasAt + c]!;
    for (let k = from[i]!; k < end; k++) {
      const v = value[k]!;
      const at = column[k]! * classes;
      for (let c = 0; c < classes; c++) p[c]! += v * w[at + c]!;
    }
    toProbabilities(p);
    const truth = y[i]!;
    const weight = share[truth]! / rows;
    loss -= weight * Math.log(Math.max(1e-300, p[truth]!));
    p[truth]! -= 1;
    for (let c = 0; c < classes; c++) out[biasAt + c]! += p[c]! *= weight;
    for (let k = from[i]!; k < end; k++) {
      const v = value[k]!;
      const at = column[k]! * classes;
      for (let c = 0; c < classes; c++) out[at + c]! += v * p[c]!;
    }
  }
  for (let k = 0; k < biasAt; k++) {
    loss += 0.5 * l2 * w[k]! * w[k]!;
    out[k]! += l2 * w[k]!;
  }
  return loss;
}

/** Scores to shares that sum to 1, in place. */
export function toProbabilities(scores: Float64Array): void {
  let top = -Infinity;
  for (const s of scores) if (s > top) top = s;
  let sum = 0;
  for (let c = 0; c < scores.length; c++) sum += scores[c] = Math.exp(scores[c]! - top);
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
