import { asClassifierError, unwrapped } from "./classifier-answers.ts";
import type { Compared, CompareInput, CompareRequests } from "./compare-protocol.ts";
import { createPool, type RequestOptions, type WorkerLike } from "./worker-pool.ts";

export type { Compared, CompareInput } from "./compare-protocol.ts";

/** As for learning: it learns four times from a part of the breaks. */
const LIMIT_MS = 600_000;

const standardWorker = (): WorkerLike =>
  new Worker(new URL("./compare.worker.ts", import.meta.url), { type: "module", name: "comparing models" });

/**
 * A new model against the one in use, in a thread of its own that ends with the comparison or when it is stopped.
 *
 * @throws ClassifierError of the file that cannot be read; `cancelled`, `thread-failed`
 */
export async function compareInThread(
  input: CompareInput,
  options: RequestOptions = {},
  makeWorker: () => WorkerLike = standardWorker,
): Promise<Compared> {
  const pool = createPool<CompareRequests>({
    makeWorker,
    threads: 1,
    limitMs: () => LIMIT_MS,
    words: {
      crashed: "Comparing the two models failed and was stopped.",
      slow: (seconds) => `Comparing the two models took longer than ${seconds} s and was stopped.`,
      cancelled: "Comparing was stopped; the model in use stays.",
    },
  });
  try {
    return unwrapped(await pool.request("compare", input, options));
  } catch (error) {
    throw asClassifierError(error, "Close other programs and start it again; the model in use stays.");
  } finally {
    pool.close();
  }
}
