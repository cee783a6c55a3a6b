import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { probabilitiesOf } from "../../../model/classifier/break-model.ts";
import { readModelFile, writeModelFile } from "../../../model/classifier/model-file.ts";

const frozen = (name: string) => readFileSync(new URL(`../../frozen/${name}`, import.meta.url));
/** Probabilities computed from these very files by NumPy (tests/outside/model-file.py) when they were written. */
const { rows, probabilities } = JSON.parse(frozen("model-v1.json").toString("utf8")) as {
  readonly rows: readonly (readonly (number | null)[])[];
  readonly probabilities: Readonly<Record<string, readonly (readonly number[])[]>>;
};

test.each(["softmax", "trees"])(
  "a model file of format 1 (%s) still opens, answers as then, is written back",
  (kind) => {
    const bytes = Uint8Array.from(frozen(`model-v1-${kind}.onnx`));
    const model = readModelFile(bytes, ["a", "b", "c", "d"]);
    expect(typeof model.temperature).toBe("number");
    rows.forEach((row, i) => {
      const found = probabilitiesOf(model, row.map((v) => v ?? NaN)); // prettier-ignore
      found.forEach((p, c) => expect(Math.abs(p - probabilities[kind]![i]![c]!)).toBeLessThan(1e-5));
    });
    expect(writeModelFile(model).bytes).toEqual(bytes);
  },
);
