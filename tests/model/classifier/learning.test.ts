import { describe, expect, test } from "vitest";
import { answer, contributionsTo, probabilitiesOf, scoresOf } from "../../../model/classifier/break-model.ts";
import { ClassifierError } from "../../../model/classifier/classifier-error.ts";
import { foldsOf } from "../../../model/classifier/folds.ts";
import { writeModelFile } from "../../../model/classifier/model-file.ts";
import { seeded, shuffled } from "../../../model/classifier/seeded.ts";
import { softmaxScores, trainSoftmax } from "../../../model/classifier/softmax.ts";
import { boldnessOf } from "../../../model/classifier/temperature.ts";
import { train } from "../../../model/classifier/train.ts";
import { pickRows, type TrainingSet } from "../../../model/classifier/training-set.ts";
import { trainTrees, treesScores } from "../../../model/classifier/trees.ts";
import { madeBreaks } from "../../../scripts/bench/made-breaks.ts";
import { madeSet, rowAt } from "./made-set.ts";
import fc from "../../properties.ts";

const options = {
  seed: 7,
  name: "made",
  trainedAt: "2026-03-02T08:00:00Z",
  trainedOn: "made numbers",
  limits: ["made numbers"],
  dataDigest: "0".repeat(64),
};
const trees = { rounds: 12, depth: 3, rate: 0.3, l2: 1, leastWeight: 1, columnShare: 0.75, rowShare: 0.8, seed: 3 };
const learnt = madeSet(240, 1);
const fresh = madeSet(300, 2);
const top = (scores: Float64Array) => scores.indexOf(Math.max(...scores));
const right = (scoresFor: (row: Float32Array) => Float64Array) => {
  let n = 0;
  for (let i = 0; i < fresh.y.length; i++) if (top(scoresFor(rowAt(fresh, i))) === fresh.y[i]) n++;
  return n / fresh.y.length;
};

describe("learning", () => {
  test("both kinds of model find types that differ, with a tenth of the values missing", () => {
    const linear = trainSoftmax(learnt, { l2: 0.003, steps: 80 });
    const boosted = trainTrees(learnt, trees);
    // Best possible on this problem is about 0.9; by chance 0.33.
    expect(right((row) => softmaxScores(linear, row))).toBeGreaterThan(0.84);
    expect(right((row) => treesScores(boosted, row))).toBeGreaterThan(0.8);
  });

  test("a missing value is not zero: moving the zero of a column changes nothing", () => {
    const moved = { ...learnt, x: learnt.x.map((v, k) => (k % 4 === 0 ? v + 100 : v)) };
    const [before, after] = [learnt, moved].map((set) => trainSoftmax(set, { l2: 0.01, steps: 40 }));
    for (let i = 0; i < 20; i++) {
      const a = softmaxScores(before!, rowAt(learnt, i));
      const b = softmaxScores(after!, rowAt(moved, i));
      a.forEach((v, c) => expect(b[c]).toBeCloseTo(v, 3));
    }
  });

  test("the order of the columns does not matter to the linear model", () => {
    const order = [2, 0, 3, 1];
    const mixed = {
      ...learnt,
      x: learnt.x.map((_, k) => learnt.x[4 * Math.floor(k / 4) + order[k % 4]!]!),
    };
    const [a, b] = [learnt, mixed].map((set) => trainSoftmax(set, { l2: 0.01, steps: 30 }));
    for (let i = 0; i < 10; i++)
      softmaxScores(a!, rowAt(learnt, i)).forEach((v, c) =>
        expect(softmaxScores(b!, rowAt(mixed, i))[c]).toBeCloseTo(v, 6),
      );
  });

  test("the same breaks and seed give the same model to the last bit", () => {
    expect(train(learnt, options)).toEqual(train(learnt, options));
  });

  test("the whole training is right on fresh breaks, says honest probabilities and knows a stranger", () => {
    const model = train(learnt, options);
    expect(right((row) => probabilitiesOf(model, row))).toBeGreaterThan(0.82);
    expect(model.card.calibration.error).toBeLessThan(0.1);
    expect(model.card.learningCurve.map((s) => s.breaks)).toEqual([45, 90, 180]);
    const stranger = answer(model, [30, -30, 0, 0]);
    expect(stranger.unlike).toBe(1);
    const usual = Array.from({ length: 100 }, (_, i) => answer(model, rowAt(fresh, i)).unlike);
    expect(usual.filter((u) => u < 0.95).length).toBeGreaterThan(85);
  });

  test("the order of the rows and the numbering of the breaks change nothing, to the last bit", () => {
    const whole = writeModelFile(train(learnt, options)).bytes;
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1e6 }), (seed) => {
        const order = shuffled(learnt.y.length, seeded(seed));
        const mixed = pickRows(learnt, order);
        const renumbered = { ...mixed, group: mixed.group.map((g) => 5000 - g) };
        expect(writeModelFile(train(renumbered, options)).bytes).toEqual(whole);
      }),
      { numRuns: 4 },
    );
  });

  test("another seed may give another model, the same seed never does", () => {
    const bytes = (seed: number) => writeModelFile(train(learnt, { ...options, seed })).bytes;
    expect(bytes(8)).toEqual(bytes(8));
    expect(bytes(8)).not.toEqual(bytes(9));
  });

  test("a tenth of the labels wrong, twelve examples a type: it goes on, and the interval covers the truth", () => {
    const wrong = (set: TrainingSet, next: () => number): TrainingSet => ({
      ...set,
      y: set.y.map((c) => (next() < 0.1 ? (c + 1 + Math.floor(2 * next())) % 3 : c)),
    });
    let covered = 0;
    const runs = 24;
    for (let run = 0; run < runs; run++) {
      const next = seeded(900 + run);
      const model = train(wrong(madeSet(36, 100 + run), next), { ...options, seed: run });
      const judged = wrong(madeSet(600, 500 + run), next);
      let hits = 0;
      for (let i = 0; i < judged.y.length; i++)
        if (top(probabilitiesOf(model, rowAt(judged, i))) === judged.y[i]) hits++;
      const { accuracy } = model.card;
      expect(accuracy.n).toBe(36);
      // Thirty-six breaks cannot tell more closely than this.
      expect(accuracy.high - accuracy.low).toBeGreaterThan(0.19);
      for (const { recall } of model.card.perType) expect(recall.high - recall.low).toBeGreaterThan(0.2);
      if (accuracy.low <= hits / judged.y.length && hits / judged.y.length <= accuracy.high) covered++;
    }
    // 95 of 100 are promised; then 20 of 24 or fewer would come about once in thirty times.
    expect(covered).toBeGreaterThan(20);
  });

  test("twelve examples of every type as wide as the product's numbers, a tenth of them wrong", () => {
    const many = madeBreaks(2500, 31, 3);
    const rows = many.classes.flatMap((_, c) => [...many.y.keys()].filter((i) => many.y[i] === c).slice(0, 12));
    const few = pickRows(many, rows);
    const next = seeded(5);
    const y = few.y.map((c) => (next() < 0.1 ? (c + 1 + Math.floor(16 * next())) % 17 : c));
    const { card } = train({ ...few, y }, options);
    expect(card.breaks).toBe(17 * 12);
    // Nine in ten at best; by chance one in seventeen.
    expect(card.accuracy.value).toBeGreaterThan(0.3);
    expect(card.accuracy.value).toBeLessThan(0.95);
    expect(card.calibration.error).toBeLessThan(0.2);
    for (const { recall, breaks } of card.perType) {
      expect(recall.n).toBe(breaks);
      expect(recall.high - recall.low).toBeGreaterThan(0.2);
    }
  });

  test("rows of one break are no independent witnesses: the intervals count breaks", () => {
    const twice = pickRows(
      learnt,
      [...learnt.y.keys()].flatMap((i) => [i, i]),
    );
    const { card } = train(twice, options);
    expect(card.breaks).toBe(learnt.y.length);
    expect(card.accuracy.n).toBe(learnt.y.length);
    expect(card.learningCurve.at(-1)!.accuracy.n).toBe(learnt.y.length / 4);
  });

  test("a set a little too large to compare on whole gives up a little, not half of its breaks", () => {
    const { card } = train(madeSet(2100, 6), options);
    expect(card.accuracy.n).toBeGreaterThan(1950);
    expect(card.accuracy.n).toBeLessThanOrEqual(2000);
  });

  test("too few breaks are refused in words", () => {
    expect(() => train(madeSet(9, 1), options)).toThrow(ClassifierError);
    const lopsided = pickRows(
      learnt,
      [...learnt.y.keys()].filter((i) => learnt.y[i] !== 2 || i < 9),
    );
    expect(() => train(lopsided, options)).toThrow(/fatigue/);
  });

  test("what the caller throws stops the training", () => {
    expect(() =>
      train(learnt, {
        ...options,
        onPart: (part) => {
          if (part > 0.3) throw new ClassifierError("cancelled", "Stopped.", "Start again.");
        },
      }),
    ).toThrow("Stopped.");
  });
});

describe("reasons", () => {
  test.each(["softmax", "trees"] as const)("%s: what the columns pushed adds up to the score", (kind) => {
    const model = train(learnt, options);
    const core = kind === "softmax" ? trainSoftmax(learnt, { l2: 0.01, steps: 40 }) : trainTrees(learnt, trees);
    const mine = { ...model, core };
    const start = scoresOf(core, [NaN, NaN, NaN, NaN]);
    const base = core.kind === "softmax" ? core.bias : core.base.map((b, c) => b + rootsOf(core, c));
    for (let i = 0; i < 12; i++) {
      const scores = scoresOf(core, rowAt(fresh, i));
      learnt.classes.forEach((type, c) => {
        const sum = contributionsTo(mine, rowAt(fresh, i), type).reduce((s, { push }) => s + push, 0);
        const mean = (v: Float64Array) => v.reduce((a, b) => a + b, 0) / v.length;
        const pushed = scores[c]! - base[c]! - (mean(scores) - mean(base));
        expect(sum / boldnessOf(model.temperature, rowAt(fresh, i))).toBeCloseTo(pushed, 6);
      });
    }
    expect(start.length).toBe(3);
  });
});

/** What the first nodes of the trees of a class say together, before any question. */
const rootsOf = (core: ReturnType<typeof trainTrees>, c: number): number =>
  core.trees.filter((_, t) => t % core.classes === c).reduce((sum, tree) => sum + tree[0]!.mean, 0);

describe("folds", () => {
  test("no break lies in two folds, and every type is spread over them", () => {
    fc.assert(
      fc.property(fc.integer({ min: 30, max: 90 }), fc.integer({ min: 2, max: 5 }), fc.nat(), (n, folds, seed) => {
        const set = madeSet(n, 3);
        // Two rows per break.
        const group = set.group.map((g) => Math.floor(g / 6) * 3 + (g % 3));
        const fold = foldsOf({ ...set, group }, folds, seed);
        const foldOf = new Map<number, number>();
        group.forEach((g, i) => {
          expect(foldOf.get(g) ?? fold[i]).toBe(fold[i]);
          foldOf.set(g, fold[i]!);
        });
        const sizes = Array.from({ length: folds }, (_, f) => [...foldOf.values()].filter((v) => v === f).length);
        expect(Math.max(...sizes) - Math.min(...sizes)).toBeLessThanOrEqual(1);
      }),
      { numRuns: 50 },
    );
  });
});
