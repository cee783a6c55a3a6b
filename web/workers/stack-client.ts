import type { OutputOfStack, StackRequests } from "./stack-protocol.ts";
import { createPool, type WorkerLike } from "./worker-pool.ts";

export interface StackOptions {
  readonly signal?: AbortSignal;
  /** Share done, 0–1. */
  readonly onPart?: (part: number) => void;
}

/** Each frame is decoded twice; on a slow computer a large one takes seconds (our own choice, no source). */
const MS_PER_FRAME = 15_000;
const MS_PER_MEGABYTE = 1_000;

const standardWorker = (): WorkerLike =>
  new Worker(new URL("./stack.worker.ts", import.meta.url), { type: "module", name: "focus series" });

/**
 * Puts the frames of a focus series together in a thread of its own, which ends with the work: cancelling frees its
 * memory at once.
 *
 * @param frames – files from the nearest to the farthest focus.
 * @param compose – whether the composite is made; without it only the map of focus is read.
 * @throws PictureError frames-do-not-fit, what is wrong with a frame, cancelled, timed-out.
 */
export async function stackFrames(
  frames: readonly Blob[],
  compose: boolean,
  { signal, onPart }: StackOptions = {},
  makeWorker: () => WorkerLike = standardWorker,
): Promise<OutputOfStack> {
  const pool = createPool<StackRequests>({
    makeWorker,
    threads: 1,
    limitMs: () => frames.reduce((ms, { size }) => ms + MS_PER_FRAME + (MS_PER_MEGABYTE * size) / 1e6, 0),
    words: {
      crashed: "Putting the frames together failed and was stopped.",
      slow: (seconds) => `Putting the frames together took longer than ${seconds} s and was stopped.`,
      cancelled: "Putting the frames together was cancelled.",
    },
  });
  try {
    return await pool.request("stack", { frames, compose }, { signal, ...(onPart ? { onPart } : {}) });
  } finally {
    pool.close();
  }
}
