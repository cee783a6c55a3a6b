import { timeLimitMs } from "../../model/picture/limits.ts";
import { PictureError } from "../../model/picture/picture-error.ts";
import type { Copies, DecodedPicture, Inspection, InputOf, OutputOf, ReplyMessage, RequestName } from "./protocol.ts";

/** What the client needs of a worker; tests pass their own. */
export type WorkerLike = Pick<Worker, "postMessage" | "terminate" | "onmessage" | "onerror" | "onmessageerror">;

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
  inspect(blob: Blob, signal?: AbortSignal): Promise<Inspection>;
  /** Thumbnail: JPEG, upright, at most 320 px. */
  small(blob: Blob, signal?: AbortSignal): Promise<Blob>;
  /** Working copy where browsers cannot show the original upright themselves; else null. */
  working(blob: Blob, signal?: AbortSignal): Promise<Blob | null>;
  /** Thumbnail and working copy from one decoding. */
  copies(blob: Blob, signal?: AbortSignal): Promise<Copies>;
  /** Pixels to draw, upright; `maxPx` bounds the longest side. The receiver closes every bitmap. Goes before the rest. */
  bitmap(blob: Blob, options?: { maxPx?: number; signal?: AbortSignal }): Promise<DecodedPicture>;
  /** Ends the threads; whatever waits is cancelled. */
  close(): void;
}

interface Job {
  readonly id: number;
  readonly name: RequestName;
  readonly input: InputOf<RequestName>;
  readonly bytes: number;
  readonly urgent: boolean;
  settled: boolean;
  readonly resolve: (output: OutputOf<RequestName>) => void;
  readonly reject: (error: PictureError) => void;
}

/** A thread takes one job at a time, so ending it never costs another job: the others are still in the queue. */
interface Thread {
  readonly worker: WorkerLike;
  job: Job | null;
  timer: ReturnType<typeof setTimeout> | null;
}

const standardWorker = (): WorkerLike =>
  new Worker(new URL("./picture.worker.ts", import.meta.url), { type: "module", name: "photographs" });

/**
 * Sends photographs to worker threads. Every request settles: with a result, an error, cancelled, crashed or timed
 * out. A thread that takes too long or crashes is ended, and a fresh one goes on with the queue.
 */
export function createPictureClient(options: PictureClientOptions = {}): PictureClient {
  const { threads: most = 2, makeWorker = standardWorker, limitMs = timeLimitMs } = options;
  const queue: Job[] = [];
  const threads = new Set<Thread>();
  let lastId = 0;
  let closed = false;

  function request<N extends RequestName>(name: N, input: InputOf<N>, signal?: AbortSignal): Promise<OutputOf<N>> {
    return new Promise<OutputOf<N>>((resolve, reject) => {
      if (signal?.aborted || closed) {
        reject(cancelled());
        return;
      }
      const onAbort = () => {
        drop(job);
      };
      const done = () => {
        job.settled = true;
        signal?.removeEventListener("abort", onAbort);
      };
      const job: Job = {
        id: ++lastId,
        name,
        input,
        bytes: input.blob.size,
        urgent: name === "bitmap",
        settled: false,
        resolve: (output) => {
          done();
          resolve(output);
        },
        reject: (error) => {
          done();
          reject(error);
        },
      };
      signal?.addEventListener("abort", onAbort, { once: true });
      queue.push(job);
      pump();
    });
  }

  function pump(): void {
    while (queue.length > 0 && !closed) {
      const thread = [...threads].find(({ job }) => job === null) ?? (threads.size < most ? start() : null);
      if (!thread) return;
      const urgent = queue.findIndex((job) => job.urgent);
      const [job] = queue.splice(Math.max(0, urgent), 1);
      if (job) give(thread, job);
    }
  }

  function start(): Thread {
    const thread: Thread = { worker: makeWorker(), job: null, timer: null };
    thread.worker.onmessage = ({ data }: MessageEvent<ReplyMessage>) => {
      take(thread, data);
    };
    const crashed = () => {
      end(thread, new PictureError("decoder-failed", "Decoding this photograph failed and was stopped."));
    };
    thread.worker.onerror = crashed;
    thread.worker.onmessageerror = crashed;
    threads.add(thread);
    return thread;
  }

  function give(thread: Thread, job: Job): void {
    thread.job = job;
    const limit = limitMs(job.bytes);
    thread.timer = setTimeout(() => {
      const seconds = (limit / 1000).toFixed(0);
      end(thread, new PictureError("timed-out", `Decoding took longer than ${seconds} s and was stopped.`));
    }, limit);
    thread.worker.postMessage({ id: job.id, name: job.name, input: job.input });
  }

  function take(thread: Thread, reply: ReplyMessage): void {
    const { job } = thread;
    if (job?.id !== reply.id) {
      release(reply);
      return;
    }
    if (thread.timer !== null) clearTimeout(thread.timer);
    thread.job = null;
    // Cancelled while at work: the answer comes too late and is dropped.
    if (job.settled) release(reply);
    else if (reply.ok) job.resolve(reply.output);
    else job.reject(PictureError.from(reply.error));
    pump();
  }

  function end(thread: Thread, error: PictureError): void {
    if (thread.timer !== null) clearTimeout(thread.timer);
    thread.worker.onmessage = null;
    thread.worker.onerror = null;
    thread.worker.onmessageerror = null;
    thread.worker.terminate();
    threads.delete(thread);
    if (thread.job && !thread.job.settled) thread.job.reject(error);
    pump();
  }

  function drop(job: Job): void {
    const waiting = queue.indexOf(job);
    if (waiting >= 0) queue.splice(waiting, 1);
    if (!job.settled) job.reject(cancelled());
  }

  return {
    inspect: (blob, signal) => request("inspect", { blob }, signal),
    small: (blob, signal) => request("small", { blob }, signal),
    working: (blob, signal) => request("working", { blob }, signal),
    copies: (blob, signal) => request("copies", { blob }, signal),
    bitmap: (blob, { maxPx, signal } = {}) => request("bitmap", { blob, maxPx: maxPx ?? null }, signal),
    close() {
      closed = true;
      for (const job of queue.splice(0)) job.reject(cancelled());
      for (const thread of [...threads]) end(thread, cancelled());
    },
  };
}

function cancelled(): PictureError {
  return new PictureError("cancelled", "Reading this photograph was cancelled.");
}

/** Bitmaps of a dropped answer would stay in memory until the page closes. */
function release(reply: ReplyMessage): void {
  if (!reply.ok || reply.output === null || !("bitmap" in reply.output)) return;
  for (const bitmap of [reply.output.bitmap, ...reply.output.levels]) bitmap.close();
}
