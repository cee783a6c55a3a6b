import { PictureError, type PlainPictureError } from "../../model/picture/picture-error.ts";

/** What a pool needs of a worker; tests pass their own. */
export type WorkerLike = Pick<Worker, "postMessage" | "terminate" | "onmessage" | "onerror" | "onmessageerror">;

/** Request name → input and output. */
export type RequestTable = Readonly<Record<string, { readonly input: unknown; readonly output: unknown }>>;

/** Exactly one of the last two follows each request; any number of progress messages may go before it. */
export type Reply =
  | { readonly id: number; readonly part: number }
  | { readonly id: number; readonly ok: true; readonly output: unknown }
  | { readonly id: number; readonly ok: false; readonly error: PlainPictureError };

export interface PoolOptions<T extends RequestTable> {
  readonly makeWorker: () => WorkerLike;
  /** Threads at work at a time, each on one request. */
  readonly threads: number;
  /** How long a request may take, ms. */
  readonly limitMs: (name: keyof T & string, input: T[keyof T]["input"]) => number;
  /** These go before the rest. */
  readonly isUrgent?: (name: keyof T & string) => boolean;
  /** Frees what a dropped answer holds (bitmaps would stay in memory until the page closes). */
  readonly release?: (output: T[keyof T]["output"]) => void;
  /** Sentences for what can happen to any request. */
  readonly words: { readonly crashed: string; readonly slow: (seconds: number) => string; readonly cancelled: string };
}

export interface RequestOptions {
  readonly signal?: AbortSignal | undefined;
  /** Share done, 0–1, where the worker tells. */
  readonly onPart?: (part: number) => void;
  readonly transfer?: Transferable[];
}

export interface WorkerPool<T extends RequestTable> {
  /** Every request settles: with a result, the worker's own error, cancelled, crashed or timed out (all PictureError). */
  request<N extends keyof T & string>(name: N, input: T[N]["input"], options?: RequestOptions): Promise<T[N]["output"]>;
  /** Ends the threads; whatever waits is cancelled. */
  close(): void;
}

interface Job<T extends RequestTable> {
  readonly id: number;
  readonly name: keyof T & string;
  readonly input: T[keyof T]["input"];
  readonly options: RequestOptions;
  settled: boolean;
  readonly resolve: (output: T[keyof T]["output"]) => void;
  readonly reject: (error: PictureError) => void;
}

/** A thread takes one job at a time, so ending it never costs another job: the others are still in the queue. */
interface Thread<T extends RequestTable> {
  readonly worker: WorkerLike;
  job: Job<T> | null;
  timer: ReturnType<typeof setTimeout> | null;
}

/** Worker threads with one queue. A thread that takes too long or crashes is ended, and a fresh one goes on with it. */
export function createPool<T extends RequestTable>(pool: PoolOptions<T>): WorkerPool<T> {
  const queue: Job<T>[] = [];
  const threads = new Set<Thread<T>>();
  let lastId = 0;
  let closed = false;
  const cancelled = () => new PictureError("cancelled", pool.words.cancelled);

  function request<N extends keyof T & string>(
    name: N,
    input: T[N]["input"],
    options: RequestOptions = {},
  ): Promise<T[N]["output"]> {
    return new Promise((resolve, reject) => {
      const { signal } = options;
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
      const job: Job<T> = {
        id: ++lastId,
        name,
        input,
        options,
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
      const thread = [...threads].find(({ job }) => job === null) ?? (threads.size < pool.threads ? start() : null);
      if (!thread) return;
      const urgent = queue.findIndex((job) => pool.isUrgent?.(job.name) === true);
      const [job] = queue.splice(Math.max(0, urgent), 1);
      if (job) give(thread, job);
    }
  }

  function start(): Thread<T> {
    const thread: Thread<T> = { worker: pool.makeWorker(), job: null, timer: null };
    thread.worker.onmessage = ({ data }: MessageEvent<Reply>) => {
      take(thread, data);
    };
    const crashed = () => {
      end(thread, new PictureError("decoder-failed", pool.words.crashed));
    };
    thread.worker.onerror = crashed;
    thread.worker.onmessageerror = crashed;
    threads.add(thread);
    return thread;
  }

  function give(thread: Thread<T>, job: Job<T>): void {
    thread.job = job;
    const limit = pool.limitMs(job.name, job.input);
    thread.timer = setTimeout(() => {
      end(thread, new PictureError("timed-out", pool.words.slow(Math.round(limit / 1000))));
    }, limit);
    thread.worker.postMessage({ id: job.id, name: job.name, input: job.input }, job.options.transfer ?? []);
  }

  function take(thread: Thread<T>, reply: Reply): void {
    const { job } = thread;
    if (job?.id !== reply.id) {
      release(reply);
      return;
    }
    if ("part" in reply) {
      if (!job.settled) job.options.onPart?.(reply.part);
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

  function release(reply: Reply): void {
    if ("ok" in reply && reply.ok) pool.release?.(reply.output);
  }

  function end(thread: Thread<T>, error: PictureError): void {
    if (thread.timer !== null) clearTimeout(thread.timer);
    thread.worker.onmessage = null;
    thread.worker.onerror = null;
    thread.worker.onmessageerror = null;
    thread.worker.terminate();
    threads.delete(thread);
    if (thread.job && !thread.job.settled) thread.job.reject(error);
    pump();
  }

  function drop(job: Job<T>): void {
    const waiting = queue.indexOf(job);
    if (waiting >= 0) queue.splice(waiting, 1);
    if (!job.settled) job.reject(cancelled());
  }

  return {
    request,
    close() {
      closed = true;
      for (const job of queue.splice(0)) job.reject(cancelled());
      for (const thread of [...threads]) end(thread, cancelled());
    },
  };
}
