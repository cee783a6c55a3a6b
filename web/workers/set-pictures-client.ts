import { createPool, type WorkerLike, type WorkerPool } from "./worker-pool.ts";
import type { SetPicturesRequests } from "./set-pictures-protocol.ts";

export type SetPictures = WorkerPool<SetPicturesRequests>;

/** A small copy takes milliseconds, ten thousand photographs in pairs some seconds (our own choice, no source). */
const LIMIT_MS = 120_000;

const standardWorker = (): WorkerLike =>
  new Worker(new URL("./set-pictures.worker.ts", import.meta.url), { type: "module", name: "looks of photographs" });

/** Compares photographs beside the page; close it when done, which also stops what is under way. */
export const createSetPictures = (makeWorker: () => WorkerLike = standardWorker): SetPictures =>
  createPool<SetPicturesRequests>({
    makeWorker,
    threads: 1,
    limitMs: () => LIMIT_MS,
    words: {
      crashed: "Comparing the photographs failed and was stopped.",
      slow: (seconds) => `Comparing the photographs took longer than ${seconds} s and was stopped.`,
      cancelled: "Comparing the photographs was stopped.",
    },
  });
