import { BenchFileError } from "../storage/bench-file-error.ts";
import type { WholeBreak } from "../storage/contract.ts";
import type { KeptBreak, MeetAnswer, MergeRequests, Standing } from "./merge-protocol.ts";
import { createPool, type WorkerLike } from "./worker-pool.ts";

export type { KeptBreak, MeetAnswer, Standing } from "./merge-protocol.ts";

/** Brings logs of benches together beside the page. */
export interface MergeClient {
  /** A break with its log from its text, every field checked. @throws BenchFileError; PictureError cancelled. */
  read(path: string, bytes: Uint8Array, signal?: AbortSignal): Promise<WholeBreak>;
  meet(here: KeptBreak, there: KeptBreak, coded: boolean, signal?: AbortSignal): Promise<MeetAnswer>;
  standing(kept: KeptBreak, signal?: AbortSignal): Promise<Standing | null>;
  close(): void;
}

/** A log of many thousand lines takes seconds. */
const LIMIT_MS = 120_000;

const standardWorker = (): WorkerLike =>
  new Worker(new URL("./merge.worker.ts", import.meta.url), { type: "module", name: "bringing logs together" });

export function createMergeClient(makeWorker: () => WorkerLike = standardWorker): MergeClient {
  const pool = createPool<MergeRequests>({
    makeWorker,
    threads: 1,
    limitMs: () => LIMIT_MS,
    words: {
      crashed: "Bringing two logs together failed and was stopped.",
      slow: (seconds) => `Bringing two logs together took longer than ${seconds} s and was stopped.`,
      cancelled: "Bringing logs together was cancelled.",
    },
  });
  return {
    async read(path, bytes, signal) {
      const answer = await pool.request("read", { path, bytes }, { signal });
      if (!answer.ok) throw new BenchFileError(answer.code, answer.message);
      return answer.whole;
    },
    meet: (here, there, coded, signal) => pool.request("meet", { here, there, coded }, { signal }),
    standing: (kept, signal) => pool.request("standing", kept, { signal }),
    close: () => pool.close(),
  };
}
