import { afterEach, describe, expect, test } from "vitest";
import { answer, contributionsTo } from "../../model/classifier/break-model.ts";
import { ClassifierError } from "../../model/classifier/classifier-error.ts";
import { readModelFile, writeModelFile } from "../../model/classifier/model-file.ts";
import { onnxBytes } from "../../model/classifier/onnx-graph.ts";
import { train } from "../../model/classifier/train.ts";
import { stageAt } from "../../model/classifier/train-stages.ts";
import type { TrainingSet } from "../../model/classifier/training-set.ts";
import { COLUMN_NAMES } from "../../model/classifier/vector.ts";
import { madeBreaks } from "../../scripts/bench/made-breaks.ts";
import { createLearnService } from "../../web/workers/learn-client.ts";
import { createModelService, type ModelService } from "../../web/workers/model-client.ts";
import { checkedModels, KINDS } from "../model/classifier/checked-models.ts";
import outside from "../outside/model-file.json" with { type: "json" };

/** The five commonest types of made breaks: enough to learn from in a moment. */
function few(breaks: number, seed: number): TrainingSet {
  const set = madeBreaks(breaks, seed, 3);
  const rows = [...set.y.keys()].filter((i) => set.y[i]! < 5);
  const columns = set.names.length;
  const x = new Float32Array(rows.length * columns);
  rows.forEach((i, k) => x.set(set.x.subarray(i * columns, (i + 1) * columns), k * columns));
  return {
    names: set.names,
    classes: set.classes.slice(0, 5),
    x,
    y: Int32Array.from(rows, (i) => set.y[i]!),
    group: Int32Array.from(rows, (_, k) => k),
  };
}

const options = {
  seed: 4,
  name: "made",
  trainedAt: "2026-03-02T08:00:00Z",
  trainedOn: "made numbers",
  limits: ["Made numbers, no breaks."],
  dataDigest: "ef".repeat(32),
};
const set = few(330, 1);
const { bytes: file } = writeModelFile(train(set, options));
const rowAt = (i: number) => set.x.slice(i * COLUMN_NAMES.length, (i + 1) * COLUMN_NAMES.length);

let service: ModelService | null = null;
const start = (): ModelService => (service = createModelService());
afterEach(() => {
  service?.close();
  service = null;
});
const refusal = (asked: Promise<unknown>) => asked.then(() => null, (error: unknown) => error); // prettier-ignore

describe("the model in a thread of its own", () => {
  test("it opens, answers as the TypeScript does, and gives the reasons asked for", async () => {
    const model = readModelFile(file, COLUMN_NAMES);
    const opened = await start().open(file);
    expect(opened).toEqual({ card: model.card, columns: COLUMN_NAMES, classes: set.classes });
    for (const row of [rowAt(0), rowAt(7), new Float32Array(COLUMN_NAMES.length).fill(NaN)]) {
      const { answer: found, reasons } = await service!.ask(row, ["central_burst", "no such type"]);
      const own = answer(model, row);
      const wanted = new Map(own.ranking.map((r) => [r.type, r.probability]));
      for (const { type, probability } of found.ranking)
        expect(Math.abs(probability - wanted.get(type)!)).toBeLessThan(1e-5);
      expect(Math.abs(found.unlike - own.unlike)).toBeLessThan(0.0101);
      expect(reasons).toEqual({ central_burst: contributionsTo(model, row, "central_burst"), "no such type": [] });
    }
  });

  test("a file that is refused leaves the model that was open in place", async () => {
    await start().open(file);
    const before = await service!.ask(rowAt(3), []);
    const foreign = onnxBytes({ name: "x", nodes: [], constants: [], inputs: [], outputs: [], metadata: [] });
    const others = writeModelFile(train({ ...set, names: set.names.map((n) => `${n}x`) }, options)).bytes;
    const changed = file.slice();
    changed[changed.length >> 1]! ^= 0x10;
    for (const [bad, code] of [
      [new TextEncoder().encode("no model at all, only words"), "not-a-model"],
      [file.subarray(0, file.length >> 1), "not-a-model"],
      [foreign, "other-product"],
      [changed, "damaged-model"],
      [others, "other-columns"],
    ] as const) {
      const error = await refusal(service!.open(bad));
      expect(error).toBeInstanceOf(ClassifierError);
      expect(error).toMatchObject({ code });
      expect((error as ClassifierError).next).not.toBe("");
      expect(await service!.ask(rowAt(3), [])).toEqual(before);
    }
  });

  test("asked before anything is open, it says so", async () => {
    expect(await refusal(start().ask(rowAt(0), []))).toMatchObject({ code: "no-model" });
  });

  test("a thread that died is replaced, and the model is open in the new one", async () => {
    const threads: Worker[] = [];
    service = createModelService(() => {
      const worker = new Worker(new URL("../../web/workers/model.worker.ts", import.meta.url), { type: "module" });
      threads.push(worker);
      return worker;
    });
    await service.open(file);
    const before = await service.ask(rowAt(1), []);
    threads[0]!.onerror?.(new ErrorEvent("error"));
    expect(await service.ask(rowAt(1), [])).toEqual(before);
    expect(threads.length).toBe(2);
  });

  test("closed, it answers as stopped", async () => {
    start().close();
    expect(await refusal(service!.ask(rowAt(0), []))).toMatchObject({ code: "cancelled" });
  });
});

describe("learning in a thread of its own", () => {
  test("the same file as without a thread, to the byte, with shares of the work told in order", async () => {
    const told: [number, string][] = [];
    const learning = createLearnService();
    const learnt = await learning.learn(set, options, { onPart: (part, what) => told.push([part, what]) });
    learning.close();
    // The rows stay the caller's.
    expect(set.x.length).toBe(set.y.length * COLUMN_NAMES.length);
    expect(learnt.length).toBe(file.length);
    expect(learnt.every((byte, i) => byte === file[i])).toBe(true);
    const parts = told.map(([part]) => part);
    expect(parts.length).toBeGreaterThan(20);
    expect([...parts].sort((a, b) => a - b)).toEqual(parts);
    expect(parts.at(-1)).toBe(1);
    expect(new Set(told.map(([, what]) => what))).toEqual(new Set([stageAt(0), stageAt(0.7), stageAt(1)]));
  });

  test("what this browser learns and writes is what Node learned and wrote, to the byte", async () => {
    const models = checkedModels();
    for (const kind of KINDS) {
      const digest = await crypto.subtle.digest("SHA-256", models[kind].bytes.slice());
      const hex = [...new Uint8Array(digest)].map((byte) => byte.toString(16).padStart(2, "0")).join("");
      expect(hex).toBe(outside.files[kind].sha256);
    }
  });

  test("stopped, the thread ends at once and nothing is learnt", async () => {
    const ended: boolean[] = [];
    const learning = createLearnService(() => {
      const worker = new Worker(new URL("../../web/workers/learn.worker.ts", import.meta.url), { type: "module" });
      const terminate = worker.terminate.bind(worker);
      worker.terminate = () => {
        ended.push(true);
        terminate();
      };
      return worker;
    });
    const stop = new AbortController();
    const asked = refusal(
      learning.learn(madeBreaks(3000, 2, 3), options, { signal: stop.signal, onPart: () => stop.abort() }),
    );
    expect(await asked).toMatchObject({ code: "cancelled" });
    expect(ended).toEqual([true]);
    const before = new AbortController();
    before.abort();
    expect(await refusal(learning.learn(set, options, { signal: before.signal }))).toMatchObject({ code: "cancelled" });
  });

  test("too few breaks are refused in words", async () => {
    const error = await refusal(createLearnService().learn(few(12, 3), options));
    expect(error).toBeInstanceOf(ClassifierError);
    expect(["too-few-types", "too-few-breaks"]).toContain((error as ClassifierError).code);
  });
});
