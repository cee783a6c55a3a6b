import { describe, expect, test } from "vitest";
import { lbfgs } from "../../../model/classifier/lbfgs.ts";
import { packRows } from "../../../model/classifier/packed-rows.ts";
import { seeded } from "../../../model/classifier/seeded.ts";
import { softmaxScores, trainSoftmax } from "../../../model/classifier/softmax.ts";
import { sizeOf, softmaxSlope } from "../../../model/classifier/softmax-slope.ts";
import { standardOf, standardRow } from "../../../model/classifier/standardise.ts";
import { classWeights, pickRows, type TrainingSet } from "../../../model/classifier/training-set.ts";
import { madeBreaks } from "../../../scripts/bench/made-breaks.ts";

// A number of rows that is no multiple of four, full columns, sparse ones, and flags that many columns share.
const set = pickRows(madeBreaks(203, 5, 4), [...new Array(203).keys()]);
const standard = standardOf(set);
const packed = packRows(set, standard);
const classes = set.classes.length;
const L2 = 0.02;

/** The loss written out as the definition has it, from standardised values and known-flags of every column. */
function plainLoss({ x, y, names }: TrainingSet, weights: Float64Array, bias: Float64Array): number {
  const columns = names.length;
  const share = classWeights(set);
  const line = new Float64Array(2 * columns);
  let loss = 0;
  for (let i = 0; i < y.length; i++) {
    standardRow(x.subarray(i * columns, (i + 1) * columns), standard, line);
    const scores = bias.map((b, c) => line.reduce((sum, v, j) => sum + v * weights[c * 2 * columns + j]!, b));
    const top = Math.max(...scores);
    const total = scores.reduce((sum, s) => sum + Math.exp(s - top), 0);
    loss += (share[y[i]!]! / y.length) * (Math.log(total) + top - scores[y[i]!]!);
  }
  return loss + 0.5 * L2 * weights.reduce((sum, w) => sum + w * w, 0);
}

describe("slope of the softmax over packed rows", () => {
  test("it is the slope of its loss, in every kind of feature", () => {
    const next = seeded(3);
    const slope = softmaxSlope(packed, set.y, classWeights(set), L2);
    const size = sizeOf(packed, classes);
    const w = Float64Array.from({ length: size }, () => 0.2 * (next() - 0.5));
    const g = new Float64Array(size);
    slope(w, g);
    const spare = new Float64Array(size);
    for (let k = 0; k < size; k += Math.max(1, Math.floor(size / 150))) {
      const step = 1e-5;
      const kept = w[k]!;
      w[k] = kept + step;
      const up = slope(w, spare);
      w[k] = kept - step;
      const down = slope(w, spare);
      w[k] = kept;
      expect(Math.abs(g[k]! - (up - down) / (2 * step))).toBeLessThan(1e-7);
    }
  });

  test("the model it ends at is the least of the loss as defined, whatever the packing", () => {
    const model = trainSoftmax(set, { l2: L2, steps: 500 });
    const least = plainLoss(set, model.weights, model.bias);
    const next = seeded(9);
    for (let k = 0; k < 30; k++) {
      const moved = model.weights.map((w) => w + 0.02 * (next() - 0.5));
      const bias = model.bias.map((b) => b + 0.02 * (next() - 0.5));
      expect(plainLoss(set, moved, bias)).toBeGreaterThan(least);
    }
    // And the loss that the packed rows give there is the same number.
    const none = plainLoss(set, new Float64Array(model.weights.length), new Float64Array(classes));
    const start = softmaxSlope(
      packed,
      set.y,
      classWeights(set),
      L2,
    )(new Float64Array(sizeOf(packed, classes)), new Float64Array(sizeOf(packed, classes)));
    expect(start).toBeCloseTo(none, 10);
    expect(least).toBeLessThan(0.6 * none);
  });

  test("columns known and missing together have one flag, and get equal weights", () => {
    const model = trainSoftmax(set, { l2: L2, steps: 60 });
    const columns = set.names.length;
    const faces = [...set.names.keys()].filter((j) => set.names[j]!.startsWith("face."));
    const flags = faces.map((j) => model.weights[columns + j]!);
    expect(new Set(flags).size).toBe(1);
    expect(flags[0]).not.toBe(0);
    expect(new Set(faces.map((j) => packed.flagAt[j])).size).toBe(1);
  });

  test("a row that knows nothing has the scores of the bias", () => {
    const model = trainSoftmax(set, { l2: L2, steps: 20 });
    expect(softmaxScores(model, new Float32Array(set.names.length).fill(NaN))).toEqual(model.bias);
  });
});

describe("limited-memory BFGS", () => {
  test("a long narrow valley is walked to its floor", () => {
    const slope = (w: Float64Array, out: Float64Array) => {
      let value = 0;
      w.forEach((v, k) => {
        const bend = 10 ** (k / 4);
        value += 0.5 * bend * (v - k) * (v - k);
        out[k] = bend * (v - k);
      });
      return value;
    };
    const found = lbfgs(slope, new Float64Array(16), { scale: 1, steps: 300, tolerance: 0 });
    found.forEach((v, k) => expect(v).toBeCloseTo(k, 4));
  });

  test("what is told each step may stop it", () => {
    const stop = () => {
      throw new Error("stopped");
    };
    const bowl = (w: Float64Array, out: Float64Array) => {
      out[0] = 2 * (w[0]! - 3);
      return (w[0]! - 3) ** 2;
    };
    expect(() => lbfgs(bowl, new Float64Array(1), { scale: 0.1, steps: 9, tolerance: 0, onStep: stop })).toThrow("stopped"); // prettier-ignore
  });
});
