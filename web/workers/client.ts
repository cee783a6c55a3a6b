import { timeLimitMs } from "../../model/picture/limits.ts";
import { AS_IT_COMES, type ShownAs } from "../../model/picture/shown-as.ts";
import type { ToneSurvey } from "../../model/picture/tone-survey.ts";
import type {
  DecodedPicture,
  DeepValues,
  Inspection,
  Copies,
  OutputOf,
  PictureRequests,
  Region,
  RequestName,
} from "./protocol.ts";
import { createPool, type WorkerLike } from "./worker-pool.ts";

export type { WorkerLike } from "./worker-pool.ts";

export interface PictureClientOptions {
  /** Threads at work at a time, each on one file. */
  readonly threads?: number;
  readonly makeWorker?: () => WorkerLike;
  /** How long a request for a file of this size may take, ms. */
  readonly limitMs?: (byteLength: number) => number;
}

/** All of them reject with PictureError: the file's own fault, timed-out, decoder-failed (crash) or cancelled. */
export interface PictureClient {
  /** Checks a file through and through and hashes it. */
  inspect(blob: Blob, signal?: AbortSignal, page?: number): Promise<Inspection>;
  /** Thumbnail: JPEG, upright, at most 320 px. */
  small(blob: Blob, signal?: AbortSignal, shown?: ShownAs): Promise<Blob>;
  /** Working copy where browsers cannot show the original upright themselves; else null. */
  working(blob: Blob, signal?: AbortSignal): Promise<Blob | null>;
  /** Thumbnail and working copy from one decoding, and the black and white chosen for a deep file. */
  copies(blob: Blob, signal?: AbortSignal, shown?: ShownAs): Promise<Copies>;
  /** Pixels to draw, upright; `maxPx` bounds the longest side. The receiver closes every bitmap. Goes before the rest. */
  bitmap(
    blob: Blob,
    options?: { maxPx?: number | undefined; signal?: AbortSignal | undefined; shown?: ShownAs | undefined },
  ): Promise<DecodedPicture>;
  /** Deep samples in the file's own numbers, upright; null for 8-bit files. */
  deepValues(
    blob: Blob,
    options?: { signal?: AbortSignal | undefined; page?: number | undefined; region?: Region | undefined },
  ): Promise<DeepValues | null>;
  /** What a person needs to choose black and white; null for 8-bit files. */
  survey(
    blob: Blob,
    options?: { signal?: AbortSignal | undefined; page?: number | undefined },
  ): Promise<ToneSurvey | null>;
  /** Ends the threads; whatever waits is cancelled. */
  close(): void;
}

const standardWorker = (): WorkerLike =>
  new Worker(new URL("./picture.worker.ts", import.meta.url), { type: "module", name: "photographs" });

/**
 * Sends photographs to worker threads. Every request settles: with a result, an error, cancelled, crashed or timed
 * out.
 */
export function createPictureClient(options: PictureClientOptions = {}): PictureClient {
  const { threads = 2, makeWorker = standardWorker, limitMs = timeLimitMs } = options;
  const pool = createPool<{ [N in RequestName]: PictureRequests[N] }>({
    makeWorker,
    threads,
    limitMs: (_name, { blob }) => limitMs(blob.size),
    isUrgent: (name) => name === "bitmap",
    release,
    words: {
      crashed: "Decoding this photograph failed and was stopped.",
      slow: (seconds) => `Decoding took longer than ${seconds} s and was stopped.`,
      cancelled: "Reading this photograph was cancelled.",
    },
  });
  return {
    inspect: (blob, signal, page = 0) => pool.request("inspect", { blob, page }, { signal }),
    small: (blob, signal, shown = AS_IT_COMES) => pool.request("small", { blob, shown }, { signal }),
    working: (blob, signal) => pool.request("working", { blob }, { signal }),
    copies: (blob, signal, shown = AS_IT_COMES) => pool.request("copies", { blob, shown }, { signal }),
    bitmap: (blob, { maxPx, signal, shown = AS_IT_COMES } = {}) =>
      pool.request("bitmap", { blob, maxPx: maxPx ?? null, shown }, { signal }),
    deepValues: (blob, { signal, page = 0, region } = {}) =>
      pool.request("deepValues", { blob, page, region: region ?? null }, { signal }),
    survey: (blob, { signal, page = 0 } = {}) => pool.request("survey", { blob, page }, { signal }),
    close: () => pool.close(),
  };
}

function release(output: OutputOf<RequestName>): void {
  if (output === null || !("bitmap" in output)) return;
  for (const bitmap of [output.bitmap, ...output.levels]) bitmap.close();
}
