import { describe, expect, test } from "vitest";
import {
  accuracy,
  calibrationOf,
  confusionOf,
  logLoss,
  pairedTest,
  perClass,
  wilson,
  type Answers,
} from "../../../model/classifier/metrics.ts";
import { answersAt, bestTemperature } from "../../../model/classifier/temperature.ts";
import { seeded } from "../../../model/classifier/seeded.ts";

const answers = (rows: readonly (readonly number[])[], truth: readonly number[]): Answers => ({
  classes: rows[0]!.length,
  probabilities: Float64Array.from(rows.flat()),
  truth: Int32Array.from(truth),
});

describe("shares", () => {
  test.each([
    // R. G. Newcombe, "Two-sided confidence intervals for the single proportion", Stat. Med. 17 (1998) 857–872, table I, method 3
    [81, 263, 0.2553, 0.3662],
    [15, 148, 0.0624, 0.1605],
    [0, 20, 0, 0.1611],
    [1, 29, 0.0061, 0.1718],
  ])("Wilson's interval of %i in %i is the published one", (of, n, low, high) => {
    const share = wilson(of, n);
    expect(share.low).toBeCloseTo(low, 4);
    expect(share.high).toBeCloseTo(high, 4);
  });

  test("of nothing, nothing is known", () => {
    expect(wilson(0, 0)).toMatchObject({ low: 0, high: 1 });
  });
});

describe("figures of a model", () => {
  const some = answers(
    [
      [0.7, 0.2, 0.1],
      [0.6, 0.3, 0.1],
      [0.2, 0.7, 0.1],
      [0.1, 0.1, 0.8],
    ],
    [0, 1, 1, 2],
  );

  test("accuracy, log loss, confusion, precision and recall by hand", () => {
    expect(accuracy(some)).toMatchObject({ of: 3, n: 4 });
    expect(logLoss(some)).toBeCloseTo(-(Math.log(0.7) + Math.log(0.3) + Math.log(0.7) + Math.log(0.8)) / 4, 12);
    const confusion = confusionOf(some);
    expect(confusion).toEqual([
      [1, 0, 0],
      [1, 1, 0],
      [0, 0, 1],
    ]);
    expect(perClass(confusion).map(({ precision, recall }) => [precision.value, recall.value])).toEqual([
      [0.5, 1],
      [1, 0.5],
      [1, 1],
    ]);
  });

  test("calibration error is the mean gap between said and right", () => {
    // 0.7 said and right, 0.6 said and wrong, 0.7 said and right, 0.8 said and right.
    expect(calibrationOf(some).error).toBeCloseTo((2 * 0.3 + 0.6 + 0.2) / 4, 12);
  });

  test("the paired test counts only where the two differ; 9 against 1 has p = 0.0215", () => {
    // Binomial, n = 10: 2 · (1 + 10) / 1024.
    const rows = (right: readonly boolean[]) =>
      answers(
        right.map((r) => (r ? [1, 0] : [0, 1])),
        right.map(() => 0),
      );
    const first = rows([...Array<boolean>(9).fill(true), false, true, true]);
    const second = rows([...Array<boolean>(9).fill(false), true, true, true]);
    expect(pairedTest(first, second)).toMatchObject({ onlyFirst: 9, onlySecond: 1 });
    expect(pairedTest(first, second).p).toBeCloseTo(22 / 1024, 12);
    expect(pairedTest(first, first).p).toBe(1);
  });
});

describe("temperature", () => {
  test("scores that are three times too bold ask for about three", () => {
    const next = seeded(11);
    const classes = 4;
    const n = 4000;
    const known = new Int32Array(n);
    const honest = Float64Array.from({ length: n * classes }, () => 3 * next());
    const { probabilities } = answersAt({ classes, scores: honest, truth: new Int32Array(n), known }, 1);
    const truth = Int32Array.from({ length: n }, (_, i) => {
      let left = next();
      for (let c = 0; c < classes; c++) if ((left -= probabilities[i * classes + c]!) < 0) return c;
      return classes - 1;
    });
    const bold = { classes, scores: honest.map((s) => 3 * s), truth, known };
    expect(bestTemperature(bold)).toBeGreaterThan(2.6);
    expect(bestTemperature(bold)).toBeLessThan(3.5);
  });
});
