import * as ort from "onnxruntime-web/wasm";
import runtime from "onnxruntime-web/ort-wasm-simd-threaded.wasm?url";
import { DISTANCE, INPUT, PROBABILITIES } from "../../model/classifier/model-graph.ts";

/** The graph of a model file, ready to be asked. */
export interface ModelSession {
  /** @param row – one value per column, NaN missing. @returns probabilities in the order of the classes; distance to the nearest type */
  run(row: Float32Array): Promise<{ readonly probabilities: Float32Array; readonly distance: number }>;
  release(): Promise<void>;
}

// More threads would need headers that not every host sends, and gain nothing at this size.
ort.env.wasm.numThreads = 1;
ort.env.wasm.wasmPaths = { wasm: new URL(runtime, import.meta.url).href };

/** @throws whatever the runtime says when it cannot be loaded or does not take the graph. */
export async function openSession(file: Uint8Array): Promise<ModelSession> {
  const session = await ort.InferenceSession.create(file, { executionProviders: ["wasm"] });
  return {
    async run(row) {
      const found = await session.run({ [INPUT]: new ort.Tensor("float32", row, [1, row.length]) });
      const numbers = (name: string) => found[name]?.data as Float32Array;
      return { probabilities: numbers(PROBABILITIES), distance: numbers(DISTANCE)[0] ?? NaN };
    },
    release: () => session.release(),
  };
}
