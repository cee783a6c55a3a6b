import { stageAt } from "../../model/classifier/train-stages.ts";
import type { TrainingSet } from "../../model/classifier/training-set.ts";
import { asClassifierError, unwrapped } from "./classifier-answers.ts";
import type { LearnOptions, LearnRequests } from "./learn-protocol.ts";
import { createPool, type WorkerLike, type WorkerPool } from "./worker-pool.ts";

export type { LearnOptions } from "./learn-protocol.ts";

export interface LearnCall {
  /** Stopped, the thread ends at once and the promise rejects with `cancelled`. */
  readonly signal?: AbortSignal;
  /** Share done, 0–1, and what is being done, in words. */
  readonly onPart?: (part: number, what: string) => void;
}

export interface LearnService {
  /**
   * Learns from confirmed breaks beside the page.
   *
   * @returns the bytes of a model file; the same set and options give the same bytes.
   * @throws ClassifierError `too-few-types`, `too-few-breaks`, `cancelled`, `thread-failed`
   */
  learn(set: TrainingSet, options: LearnOptions, call?: LearnCall): Promise<Uint8Array<ArrayBuffer>>;
  /** Ends whatever is being learnt. */
  close(): void;
}

/** Ten thousand breaks take seconds; a slow computer gets as long as anybody would wait (our own choice, no source). */
const LIMIT_MS = 600_000;

const standardWorker = (): WorkerLike =>
  new Worker(new URL("./learn.worker.ts", import.meta.url), { type: "module", name: "learning" });

/** Every learning has a thread of its own, which ends with it: stopping frees its memory at once. */
export function createLearnService(makeWorker: () => WorkerLike = standardWorker): LearnService {
  const open = new Set<WorkerPool<LearnRequests>>();
  return {
    async learn(set, options, { signal, onPart } = {}) {
      const pool = createPool<LearnRequests>({
        makeWorker,
        threads: 1,
        limitMs: () => LIMIT_MS,
        words: {
          crashed: "Learning from the confirmed breaks failed and was stopped.",
          slow: (seconds) => `Learning from the confirmed breaks took longer than ${seconds} s and was stopped.`,
          cancelled: "Learning was stopped; the model in use stays.",
        },
      });
      open.add(pool);
      try {
        const tell = onPart === undefined ? {} : { onPart: (part: number) => onPart(part, stageAt(part)) };
        return unwrapped(await pool.request("learn", { set, options }, { signal, ...tell }));
      } catch (error) {
        throw asClassifierError(error, "Close other programs and start it again; the model in use stays.");
      } finally {
        open.delete(pool);
        pool.close();
      }
    },
    close() {
      for (const pool of open) pool.close();
    },
  };
}
