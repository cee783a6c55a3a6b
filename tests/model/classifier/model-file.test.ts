import { describe, expect, test } from "vitest";
import { answer, type BreakModel } from "../../../model/classifier/break-model.ts";
import { ClassifierError } from "../../../model/classifier/classifier-error.ts";
import { readModelFile, writeModelFile } from "../../../model/classifier/model-file.ts";
import { modelFromPlain, plainModel } from "../../../model/classifier/model-plain.ts";
import { onnxBytes } from "../../../model/classifier/onnx-graph.ts";
import { countedOf } from "../../../model/classifier/temperature-by-known.ts";
import { train } from "../../../model/classifier/train.ts";
import { trainTrees } from "../../../model/classifier/trees.ts";
import { madeSet, rowAt } from "./made-set.ts";

const learnt = madeSet(120, 4);
const linear = train(learnt, {
  seed: 1,
  name: "made",
  trainedAt: "2026-03-02T08:00:00Z",
  trainedOn: "made numbers",
  limits: ["made numbers"],
  dataDigest: "ab".repeat(32),
});
const boosted: BreakModel = {
  ...linear,
  core: trainTrees(learnt, {
    rounds: 4,
    depth: 3,
    rate: 0.3,
    l2: 1,
    leastWeight: 1,
    columnShare: 1,
    rowShare: 1,
    seed: 1,
  }),
};
const byKnown: BreakModel = {
  ...linear,
  temperature: { counted: countedOf(learnt.names), few: 2, many: 4, boldAtFew: 0.7, boldAtMany: 1.9 },
};
const code = (read: () => unknown): string | null => {
  try {
    read();
    return null;
  } catch (error) {
    return error instanceof ClassifierError ? error.code : String(error);
  }
};

/** The same file, saying that its description is of another version. */
function withFormat(bytes: Uint8Array, version: string, one: boolean): Uint8Array {
  const key = [..."endpair.format"].map((letter) => letter.charCodeAt(0));
  const at = bytes.findIndex((_, i) => key.every((letter, k) => bytes[i + k] === letter));
  const changed = bytes.slice();
  // Behind the key: the tag of the value, its length 1, the digit: 1 where there is one temperature.
  expect([...changed.subarray(at + key.length, at + key.length + 3)]).toEqual([
    0x12,
    1,
    "2".charCodeAt(0) - (one ? 1 : 0),
  ]);
  changed[at + key.length + 2] = version.charCodeAt(0);
  return changed;
}

describe.each([
  ["linear", linear],
  ["trees", boosted],
  ["linear, bolder where more is known", byKnown],
])("model file, %s", (_name, model) => {
  const { bytes, model: rounded } = writeModelFile(model);

  test("what is written is read again and answers alike", () => {
    const back = readModelFile(bytes, learnt.names);
    expect(back).toEqual(rounded);
    for (let i = 0; i < 20; i++) {
      const [a, b] = [answer(model, rowAt(learnt, i)), answer(back, rowAt(learnt, i))];
      expect(b.ranking[0]!.type).toBe(a.ranking[0]!.type);
      expect(b.ranking[0]!.probability).toBeCloseTo(a.ranking[0]!.probability, 5);
    }
  });

  test("the same model gives the same bytes", () => {
    expect(writeModelFile(readModelFile(bytes, learnt.names)).bytes).toEqual(bytes);
  });

  test("every kind of wrong file is refused with its own reason", () => {
    const read = (b: Uint8Array, columns = learnt.names) => code(() => readModelFile(b, columns));
    expect(read(new TextEncoder().encode("this is no model at all"))).toBe("not-a-model");
    expect(read(bytes.slice(0, bytes.length >> 1))).toBe("not-a-model");
    const foreign = onnxBytes({ name: "x", nodes: [], constants: [], inputs: [], outputs: [], metadata: [] });
    expect(read(foreign)).toBe("other-product");
    expect(read(bytes, ["a", "b", "c"])).toBe("other-columns");
    expect(read(bytes, ["a", "b", "c", "e"])).toBe("other-columns");
    expect(read(bytes, ["b", "a", "c", "d"])).toBe("other-columns");
    expect(read(withFormat(bytes, "3", typeof model.temperature === "number"))).toBe("newer-model");
  });

  test("a changed byte anywhere is found", () => {
    let refused = 0;
    const step = Math.max(1, Math.floor(bytes.length / 150));
    for (let at = 0; at < bytes.length; at += step) {
      const changed = bytes.slice();
      changed[at]! ^= 0x10;
      if (code(() => readModelFile(changed, learnt.names)) !== null) refused++;
    }
    expect(refused).toBe(Math.ceil(bytes.length / step));
  });
});

test("a temperature whose parts do not fit the columns is refused", () => {
  // As the file holds it: JSON has no NaN.
  const plain = JSON.parse(JSON.stringify(plainModel(byKnown))) as ReturnType<typeof plainModel>;
  const t = plain.temperature;
  if (typeof t === "number") throw new Error("This model's temperature follows what is known.");
  expect(modelFromPlain(plain).temperature).toEqual(byKnown.temperature);
  for (const wrong of [
    { ...t, counted: t.counted.slice(1) },
    { ...t, counted: t.counted.map(() => 2) },
    { ...t, many: t.few },
    { ...t, boldAtFew: 0 },
    { ...t, few: -1 },
  ])
    expect(code(() => modelFromPlain({ ...plain, temperature: wrong }))).toBe("damaged-model");
});
