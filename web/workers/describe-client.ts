import type { FaceNumbers } from "../../model/classifier/face-columns.ts";
import { timeLimitMs } from "../../model/picture/limits.ts";
import type { DescribeRequests } from "./describe-protocol.ts";
import { createPool, type WorkerLike } from "./worker-pool.ts";

export interface DescribeClient {
  /** @returns the numbers of one face. @throws PictureError */
  describe(input: DescribeRequests["describe"]["input"], signal?: AbortSignal): Promise<FaceNumbers>;
  close(): void;
}

const standardWorker = (): WorkerLike =>
  new Worker(new URL("./describe.worker.ts", import.meta.url), { type: "module", name: "faces in numbers" });

/** Puts faces in numbers beside the page. */
export function createDescribeClient(makeWorker: () => WorkerLike = standardWorker): DescribeClient {
  const pool = createPool<DescribeRequests>({
    makeWorker,
    threads: 2,
    limitMs: (_name, { blob }) => timeLimitMs(blob.size),
    words: {
      crashed: "Reading the face of this photograph failed and was stopped.",
      slow: (seconds) => `Reading the face of this photograph took longer than ${seconds} s and was stopped.`,
      cancelled: "Reading the face was cancelled.",
    },
  });
  return {
    describe: (input, signal) => pool.request("describe", input, { signal }),
    close: () => pool.close(),
  };
}
