import { createPool, type RequestOptions, type WorkerLike } from "./worker-pool.ts";
import type { SetCheckRequests } from "./set-check-protocol.ts";

export type { CheckedSet } from "./set-check-protocol.ts";

/** Hundreds of gigabytes from a slow disk take hours (our own choice, no source). */
const LIMIT_MS = 12 * 3_600_000;

const standardWorker = (): WorkerLike =>
  new Worker(new URL("./set-check.worker.ts", import.meta.url), { type: "module", name: "checking a set" });

/**
 * Checks a set in a thread of its own, which ends with it or when it is stopped.
 *
 * @throws PictureError `cancelled`, `decoder-failed` when the file can no longer be read or the thread crashed.
 */
export async function checkInThread(
  input: SetCheckRequests["check"]["input"],
  options: RequestOptions = {},
  makeWorker: () => WorkerLike = standardWorker,
): Promise<SetCheckRequests["check"]["output"]> {
  const pool = createPool<SetCheckRequests>({
    makeWorker,
    threads: 1,
    limitMs: () => LIMIT_MS,
    words: {
      crashed: "Checking the set failed and was stopped.",
      slow: (seconds) => `Checking the set took longer than ${seconds} s and was stopped.`,
      cancelled: "Checking the set was stopped.",
    },
  });
  try {
    return await pool.request("check", input, options);
  } finally {
    pool.close();
  }
}
