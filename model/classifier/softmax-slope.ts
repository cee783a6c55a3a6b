import type { Slope } from "./lbfgs.ts";
import type { PackedRows } from "./packed-rows.ts";
import { exp, ln } from "./steady-math.ts";

/** Numbers that a softmax over packed rows has: feature by feature, the classes of one side by side, the bias last. */
export const sizeOf = (packed: PackedRows, classes: number): number => (packed.features + 1) * classes;

/**
 * The loss of a softmax over packed rows and its slope: mean of −ln p(truth), each row weighed by its class, plus
 * ½·l2·|w|².
 *
 * @param y – class of each row.
 * @param share – weight of each class.
 */
export function softmaxSlope(packed: PackedRows, y: Int32Array, share: Float64Array, l2: number): Slope {
  const { rows, features } = packed;
  const classes = share.length;
  const biasAt = features * classes;
  /** Scores, then slopes, of four rows. */
  const four = Array.from({ length: 4 }, () => new Float64Array(classes));
  return (w, out) => {
    out.fill(0);
    let loss = 0;
    for (let i = 0; i < rows; i += 4) {
      for (let r = 0; r < 4; r++) {
        const p = four[r]!;
        if (i + r < rows) {
          const truth = y[i + r]!;
          scoresOfRow(packed, i + r, w, p);
          loss += toSlopes(p, truth, share[truth]! / rows);
          for (let c = 0; c < classes; c++) out[biasAt + c]! += p[c]!;
          addSparse(packed, i + r, p, out);
        } else p.fill(0);
      }
      addTable(packed, i, four[0]!, four[1]!, four[2]!, four[3]!, out);
    }
    for (let k = 0; k < biasAt; k++) {
      loss += 0.5 * l2 * w[k]! * w[k]!;
      out[k]! += l2 * w[k]!;
    }
    return loss;
  };
}

function scoresOfRow(
  { full, table, from, feature, value, features }: PackedRows,
  i: number,
  w: Float64Array,
  p: Float64Array,
) {
  const classes = p.length;
  for (let c = 0, at = features * classes; c < classes; c++) p[c] = w[at + c]!;
  // Four features at a time: the scores are fetched and put back once for all of them.
  for (let f = 0, x = i * full, at = 0; f < full; f += 4, x += 4, at += 4 * classes) {
    const v0 = table[x]!;
    const v1 = table[x + 1]!;
    const v2 = table[x + 2]!;
    const v3 = table[x + 3]!;
    const b = at + classes;
    const d = b + classes;
    const e = d + classes;
    for (let c = 0; c < classes; c++) p[c]! += v0 * w[at + c]! + v1 * w[b + c]! + v2 * w[d + c]! + v3 * w[e + c]!;
  }
  for (let k = from[i]!, end = from[i + 1]!; k < end; k++) {
    const v = value[k]!;
    const at = feature[k]! * classes;
    for (let c = 0; c < classes; c++) p[c]! += v * w[at + c]!;
  }
}

/** Scores to slopes, in place. @returns the row's share of the loss */
function toSlopes(p: Float64Array, truth: number, weight: number): number {
  const classes = p.length;
  let top = -Infinity;
  for (let c = 0; c < classes; c++) if (p[c]! > top) top = p[c]!;
  const own = p[truth]! - top;
  let sum = 0;
  for (let c = 0; c < classes; c++) sum += p[c] = exp(p[c]! - top);
  for (let c = 0; c < classes; c++) p[c]! *= weight / sum;
  p[truth]! -= weight;
  return weight * (ln(sum) - own);
}

function addSparse({ from, feature, value }: PackedRows, i: number, p: Float64Array, out: Float64Array): void {
  const classes = p.length;
  for (let k = from[i]!, end = from[i + 1]!; k < end; k++) {
    const v = value[k]!;
    const at = feature[k]! * classes;
    for (let c = 0; c < classes; c++) out[at + c]! += v * p[c]!;
  }
}

/** Four rows at a time: the slope is fetched and put back once for all of them. */
function addTable(
  { rows, full, table }: PackedRows,
  i: number,
  p0: Float64Array,
  p1: Float64Array,
  p2: Float64Array,
  p3: Float64Array,
  out: Float64Array,
): void {
  const classes = p0.length;
  // Beyond the last row the slopes are 0: which numbers they meet does not matter.
  const last = (rows - 1) * full;
  const x0 = i * full;
  const x1 = Math.min(last, x0 + full);
  const x2 = Math.min(last, x1 + full);
  const x3 = Math.min(last, x2 + full);
  for (let f = 0, at = 0; f < full; f++, at += classes) {
    const v0 = table[x0 + f]!;
    const v1 = table[x1 + f]!;
    const v2 = table[x2 + f]!;
    const v3 = table[x3 + f]!;
    for (let c = 0; c < classes; c++) out[at + c]! += v0 * p0[c]! + v1 * p1[c]! + v2 * p2[c]! + v3 * p3[c]!;
  }
}
