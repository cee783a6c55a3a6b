import type { LiveReading, LiveRequests } from "./live-protocol.ts";
import { createPool, type WorkerLike } from "./worker-pool.ts";

export interface LiveClient {
  /** Reads focus and clipped highlights; the bitmaps go to the worker, which closes them. @throws PictureError */
  read(input: LiveRequests["read"]["input"], signal?: AbortSignal): Promise<LiveReading>;
  close(): void;
}

const standardWorker = (): WorkerLike =>
  new Worker(new URL("./live.worker.ts", import.meta.url), { type: "module", name: "live view" });

const LIMIT_MS = 5000;

/** Reads frames of the live view beside the page, one at a time. */
export function createLiveClient(makeWorker: () => WorkerLike = standardWorker): LiveClient {
  const pool = createPool<LiveRequests>({
    makeWorker,
    threads: 1,
    limitMs: () => LIMIT_MS,
    words: {
      crashed: "Reading the live view failed and was stopped.",
      slow: (seconds) => `Reading the live view took longer than ${seconds} s and was stopped.`,
      cancelled: "Reading the live view was stopped.",
    },
  });
  return {
    read: (input, signal) => pool.request("read", input, { signal, transfer: [input.centre, input.small] }),
    close: () => pool.close(),
  };
}
