import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import * as ort from "onnxruntime-web/wasm";
import { beforeAll, describe, expect, test } from "vitest";
import { answer, probabilitiesOf, type BreakModel } from "../../../model/classifier/break-model.ts";
import { distanceOf, familiarityOf, unlikenessAt } from "../../../model/classifier/familiarity.ts";
import { readModelFile, writeModelFile } from "../../../model/classifier/model-file.ts";
import { DISTANCE, INPUT, PROBABILITIES } from "../../../model/classifier/model-graph.ts";
import { trainSoftmax } from "../../../model/classifier/softmax.ts";
import { standardOf } from "../../../model/classifier/standardise.ts";
import { countedOf } from "../../../model/classifier/temperature-by-known.ts";
import { trainTrees } from "../../../model/classifier/trees.ts";
import { COLUMN_NAMES } from "../../../model/classifier/vector.ts";
import { madeBreaks } from "../../../scripts/bench/made-breaks.ts";
import { checkedModels, goldenRows, KINDS, type Kind } from "./checked-models.ts";
import { rowAt } from "./made-set.ts";

interface Outside {
  readonly files: Readonly<
    Record<
      Kind,
      {
        readonly sha256: string;
        readonly checker: string;
        readonly opsets: Readonly<Record<string, number>>;
        readonly inputs: Readonly<Record<string, readonly (string | number)[]>>;
        readonly outputs: Readonly<Record<string, readonly (string | number)[]>>;
        readonly texts: readonly string[];
        readonly probabilities: readonly (readonly number[])[];
        readonly distance: readonly number[];
      }
    >
  >;
}
const outside = JSON.parse(readFileSync(new URL("../../outside/model-file.json", import.meta.url), "utf8")) as Outside;

const models = checkedModels();
const rows = goldenRows(models);

/** Largest difference of two lists of numbers. */
const apart = (a: ArrayLike<number>, b: ArrayLike<number>): number =>
  Array.from(a, (v, k) => Math.abs(v - b[k]!)).reduce((x, y) => Math.max(x, y), 0);

describe.each(KINDS)("model file of %s beside onnx and NumPy (tests/outside/model-file.py)", (kind) => {
  const theirs = outside.files[kind];

  test("the file that passed the full checker is the file written today", () => {
    expect(theirs.checker).toBe("passed");
    expect(createHash("sha256").update(models[kind].bytes).digest("hex")).toBe(theirs.sha256);
  });

  test("it is read there with the shapes and texts that were meant", () => {
    expect(theirs.inputs).toEqual({ [INPUT]: ["rows", 4] });
    expect(theirs.outputs).toEqual({ [PROBABILITIES]: ["rows", 3], [DISTANCE]: ["rows"] });
    expect(theirs.opsets).toEqual({ "ai.onnx": 17, "ai.onnx.ml": 3 });
    expect(theirs.texts).toEqual(
      expect.arrayContaining(["endpair.columns", "endpair.data-digest", "endpair.model", "endpair.types"]),
    );
  });

  test("its graph computed by NumPy gives the same probabilities and distances", () => {
    expect(theirs.probabilities.length).toBe(rows.length);
    rows.forEach((row, i) => {
      expect(apart(probabilitiesOf(models[kind].model, row), theirs.probabilities[i]!)).toBeLessThan(1e-5);
      const own = distanceOf(models[kind].model.familiarity, row);
      expect(Math.abs(own - theirs.distance[i]!)).toBeLessThan(1e-4 * (1 + own));
    });
  });
});

describe("onnxruntime-web beside the computation in TypeScript", () => {
  // As wide and with as many types as the product's own.
  const made = madeBreaks(500, 21, 3);
  const wide: Record<Kind, { readonly bytes: Uint8Array; readonly model: BreakModel }> = {
    softmax: models.softmax,
    trees: models.trees,
    "by-known": models["by-known"],
  };
  beforeAll(() => {
    ort.env.wasm.numThreads = 1;
    const { card } = models.softmax.model;
    const familiarity = familiarityOf(made, standardOf(made));
    const bare = { columns: made.names, classes: made.classes, temperature: 0.8, familiarity, card };
    const trees = { rounds: 8, depth: 3, rate: 0.2, l2: 2, leastWeight: 1, columnShare: 0.3, rowShare: 0.7, seed: 2 };
    const linear = trainSoftmax(made, { l2: 0.003, steps: 40 });
    const counted = countedOf(made.names);
    const byKnown = { counted, few: 10, many: 35, boldAtFew: 0.7, boldAtMany: 2.4 };
    wide.softmax = writeModelFile({ ...bare, core: linear });
    wide["by-known"] = writeModelFile({ ...bare, core: linear, temperature: byKnown });
    wide.trees = writeModelFile({ ...bare, core: trainTrees(made, trees) });
  });

  const compare = async (
    { bytes, model }: { bytes: Uint8Array; model: BreakModel },
    asked: readonly Float32Array[],
  ) => {
    const session = await ort.InferenceSession.create(bytes, { executionProviders: ["wasm"] });
    try {
      // One row at a time, as the product asks, and all at once.
      const columns = model.columns.length;
      const all = new Float32Array(asked.length * columns);
      asked.forEach((row, i) => all.set(row, i * columns));
      const together = await session.run({ [INPUT]: new ort.Tensor("float32", all, [asked.length, columns]) });
      for (const [i, row] of asked.entries()) {
        const found = await session.run({ [INPUT]: new ort.Tensor("float32", row, [1, columns]) });
        const p = found[PROBABILITIES]!.data as Float32Array;
        expect(apart(p, probabilitiesOf(model, row))).toBeLessThan(1e-5);
        const at = i * model.classes.length;
        expect(apart((together[PROBABILITIES]!.data as Float32Array).subarray(at, at + p.length), p)).toBeLessThan(
          1e-6,
        );
        const distance = (found[DISTANCE]!.data as Float32Array)[0]!;
        const own = distanceOf(model.familiarity, row);
        expect(Math.abs(distance - own)).toBeLessThan(1e-4 * (1 + own));
        // A step of the table of distances is one in a hundred.
        expect(Math.abs(unlikenessAt(model.familiarity, distance) - answer(model, row).unlike)).toBeLessThan(0.0101);
      }
    } finally {
      await session.release();
    }
  };

  test.each(KINDS)("%s: small model, with numbers missing, far out, and on the edge of a question", async (kind) => {
    await compare(models[kind], rows);
  });

  test.each(KINDS)("%s: model as wide as the product's, asked with made breaks", async (kind) => {
    const fresh = madeBreaks(60, 22, 3);
    const asked = Array.from({ length: 60 }, (_, i) => rowAt(fresh, i).slice());
    asked.push(new Float32Array(COLUMN_NAMES.length).fill(NaN), new Float32Array(COLUMN_NAMES.length));
    await compare(wide[kind], asked);
    expect(readModelFile(wide[kind].bytes, COLUMN_NAMES).classes).toEqual(made.classes);
  });
});
