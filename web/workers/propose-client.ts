import { timeLimitMs } from "../../model/picture/limits.ts";
import type { Proposals } from "../../model/picture/propose/proposals.ts";
import type { ProposeRequests } from "./propose-protocol.ts";
import { createPool, type WorkerLike } from "./worker-pool.ts";

export interface ProposeClient {
  /** @returns marks in pixels of the upright photograph. @throws PictureError */
  propose(input: ProposeRequests["propose"]["input"], signal?: AbortSignal): Promise<Proposals>;
  close(): void;
}

const standardWorker = (): WorkerLike =>
  new Worker(new URL("./propose.worker.ts", import.meta.url), { type: "module", name: "proposed marks" });

/** Looks for marks beside the page; one photograph at a time, so that the hand that marks is never slowed. */
export function createProposeClient(makeWorker: () => WorkerLike = standardWorker): ProposeClient {
  const pool = createPool<ProposeRequests>({
    makeWorker,
    threads: 1,
    limitMs: (_name, { blob }) => timeLimitMs(blob.size),
    words: {
      crashed: "Looking for marks on this photograph failed and was stopped.",
      slow: (seconds) => `Looking for marks took longer than ${seconds} s and was stopped.`,
      cancelled: "Looking for marks was cancelled.",
    },
  });
  return {
    propose: (input, signal) => pool.request("propose", input, { signal }),
    close: () => pool.close(),
  };
}
