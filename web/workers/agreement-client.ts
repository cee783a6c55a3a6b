import type { WireBreak } from "../../model/break/wire-break.ts";
import type { AgreementFigures, FigureBreak } from "../../model/reference/second/figures.ts";
import type { ReadBreak } from "../../model/reference/second/read-break.ts";
import type { AgreementRequests } from "./agreement-protocol.ts";
import { createPool, type WorkerLike } from "./worker-pool.ts";

export interface AgreementClient {
  /** @throws PictureError `cancelled`, `timed-out`, `decoder-failed` (the thread failed) */
  compare(records: readonly WireBreak[], signal?: AbortSignal): Promise<readonly ReadBreak[]>;
  /** @throws as `compare` */
  figures(breaks: readonly FigureBreak[], signal?: AbortSignal): Promise<AgreementFigures>;
  close(): void;
}

const LIMIT_MS = 300_000;

const standardWorker = (): WorkerLike =>
  new Worker(new URL("./agreement.worker.ts", import.meta.url), { type: "module", name: "agreement of readers" });

/** Compares readings in a thread of its own. */
export function createAgreementClient(makeWorker: () => WorkerLike = standardWorker): AgreementClient {
  const pool = createPool<AgreementRequests>({
    makeWorker,
    threads: 1,
    limitMs: () => LIMIT_MS,
    words: {
      crashed: "Comparing the readings failed and was stopped. Open this screen again.",
      slow: (seconds) => `Comparing the readings took longer than ${seconds} s and was stopped.`,
      cancelled: "Comparing the readings was stopped.",
    },
  });
  return {
    compare: (records, signal) => pool.request("compare", records, { signal }),
    figures: (breaks, signal) => pool.request("figures", breaks, { signal }),
    close: () => pool.close(),
  };
}
