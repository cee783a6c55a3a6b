import { ClassifierError } from "../../model/classifier/classifier-error.ts";
import { asClassifierError, unwrapped } from "./classifier-answers.ts";
import type { ModelReply, ModelRequests, OpenedModel } from "./model-protocol.ts";
import { createPool, type WorkerLike } from "./worker-pool.ts";

export type { ModelReply, OpenedModel } from "./model-protocol.ts";

/** The model in use, in a thread of its own. Everything rejects with ClassifierError, in words with a next step. */
export interface ModelService {
  /**
   * Opens a model file instead of the one that is open. Refused, the one before stays open.
   *
   * @throws ClassifierError `not-a-model`, `other-product`, `newer-model`, `damaged-model`, `other-columns`,
   *   `runtime-failed`, `thread-failed`
   */
  open(file: Uint8Array): Promise<OpenedModel>;
  /**
   * What the open model says of a break.
   *
   * @param row – one value per `COLUMN_NAMES` in their order, NaN missing.
   * @param reasonsFor – types whose reasons are wanted.
   * @throws ClassifierError `no-model`, `runtime-failed`, `thread-failed`, `cancelled` after `close()`
   */
  ask(row: Float32Array, reasonsFor: readonly string[]): Promise<ModelReply>;
  /** Ends the thread. */
  close(): void;
}

/** The first opening loads the runtime; on a slow computer and disk that takes seconds (our own choice, no source). */
const LIMIT_MS = 60_000;

const standardWorker = (): WorkerLike =>
  new Worker(new URL("./model.worker.ts", import.meta.url), { type: "module", name: "what earlier breaks say" });

export function createModelService(makeWorker: () => WorkerLike = standardWorker): ModelService {
  const pool = createPool<ModelRequests>({
    makeWorker,
    threads: 1,
    limitMs: () => LIMIT_MS,
    words: {
      crashed: "Asking what earlier breaks say failed and was stopped.",
      slow: (seconds) => `Asking what earlier breaks say took longer than ${seconds} s and was stopped.`,
      cancelled: "Asking what earlier breaks say was stopped.",
    },
  });
  /** A thread that was ended takes its model with it; the next one opens this file again. */
  let kept: Uint8Array | null = null;

  const request = async <N extends keyof ModelRequests>(name: N, input: ModelRequests[N]["input"]) => {
    try {
      return await pool.request(name, input);
    } catch (error) {
      throw asClassifierError(error, "Open the break again; if it happens again, reload the page.");
    }
  };
  const open = async (file: Uint8Array): Promise<OpenedModel> => unwrapped(await request("open", { file }));

  return {
    async open(file) {
      const own = file.slice();
      const opened = await open(own);
      kept = own;
      return opened;
    },
    async ask(row, reasonsFor) {
      const ask = async () => unwrapped(await request("ask", { row, reasonsFor }));
      try {
        return await ask();
      } catch (error) {
        if (!(error instanceof ClassifierError) || error.code !== "no-model" || kept === null) throw error;
        await open(kept);
        return await ask();
      }
    },
    close: () => pool.close(),
  };
}
