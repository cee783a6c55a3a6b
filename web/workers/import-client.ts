import type { ImportRequests } from "./import-protocol.ts";
import { createPool, type WorkerLike, type WorkerPool } from "./worker-pool.ts";

export type { Read } from "./import-protocol.ts";

const standardWorker = (): WorkerLike =>
  new Worker(new URL("./import.worker.ts", import.meta.url), { type: "module", name: "old records" });

/** Reads files of marks and tables of old records beside the page. */
export const createImportClient = (makeWorker: () => WorkerLike = standardWorker): WorkerPool<ImportRequests> =>
  createPool<ImportRequests>({
    makeWorker,
    threads: 1,
    limitMs: () => 120_000,
    words: {
      crashed: "Reading this file failed and was stopped.",
      slow: (seconds) => `Reading this file took longer than ${seconds} s and was stopped.`,
      cancelled: "Reading this file was cancelled.",
    },
  });
