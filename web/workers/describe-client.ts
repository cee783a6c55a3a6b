import { timeLimitMs } from "../../model/picture/limits.ts";
import type { DescribeRequests } from "./describe-protocol.ts";
import { createPool, type WorkerLike } from "./worker-pool.ts";

export interface DescribeClient {
  /** @returns the numbers of one view. @throws PictureError */
  describe(input: DescribeRequests["describe"]["input"], signal?: AbortSignal): Promise<Float32Array>;
  close(): void;
}

const standardWorker = (): WorkerLike =>
  new Worker(new URL("./describe.worker.ts", import.meta.url), { type: "module", name: "views in numbers" });

/** Puts views in numbers beside the page. */
export function createDescribeClient(makeWorker: () => WorkerLike = standardWorker): DescribeClient {
  const pool = createPool<DescribeRequests>({
    makeWorker,
    threads: 2,
    limitMs: (_name, { blob }) => timeLimitMs(blob.size),
    words: {
      crashed: "Reading this photograph in numbers failed and was stopped.",
      slow: (seconds) => `Reading this photograph in numbers took longer than ${seconds} s and was stopped.`,
      cancelled: "Reading photographs in numbers was cancelled.",
    },
  });
  return {
    describe: (input, signal) => pool.request("describe", input, { signal }),
    close: () => pool.close(),
  };
}
