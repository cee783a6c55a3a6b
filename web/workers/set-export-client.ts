import type { SourceBreak } from "../../model/reference/export/write-set.ts";
import { createPool, type RequestOptions, type WorkerLike } from "./worker-pool.ts";
import type { ExportAnswer, ExportAsk, SetExportRequests, WrittenSet } from "./set-export-protocol.ts";

export type { WrittenSet } from "./set-export-protocol.ts";

/** Where breaks and originals come from, and where the file goes. */
export interface ExportEnds {
  breakOf(id: string): Promise<SourceBreak>;
  original(hash: string): Promise<Blob | null>;
  write(chunk: Uint8Array<ArrayBuffer>): Promise<void>;
}

/** A set of ten thousand photographs on a slow disk takes hours (our own choice, no source). */
const LIMIT_MS = 12 * 3_600_000;

const standardWorker = (): WorkerLike =>
  new Worker(new URL("./set-export.worker.ts", import.meta.url), { type: "module", name: "writing a set" });

/**
 * Writes a set in a thread of its own, which ends with it or when it is stopped. The page only hands breaks and
 * originals over and takes pieces of the file.
 *
 * @throws what `ends` throw; PictureError `cancelled`, `decoder-failed` when the thread crashed.
 */
export async function writeSetInThread(
  input: Omit<SetExportRequests["write"]["input"], "port">,
  ends: ExportEnds,
  options: RequestOptions = {},
  makeWorker: () => WorkerLike = standardWorker,
): Promise<WrittenSet> {
  const pool = createPool<SetExportRequests>({
    makeWorker,
    threads: 1,
    limitMs: () => LIMIT_MS,
    words: {
      crashed: "Writing the set failed and was stopped. No file was left.",
      slow: (seconds) => `Writing the set took longer than ${seconds} s and was stopped.`,
      cancelled: "Writing the set was stopped.",
    },
  });
  const { port1, port2 } = new MessageChannel();
  let failure: { readonly error: unknown } | null = null;
  port1.onmessage = ({ data }: MessageEvent<ExportAsk>) => {
    const answer = (reply: ExportAnswer) => port1.postMessage(reply);
    answerOf(data, ends).then(
      (value) => answer({ ok: true, value }),
      (error: unknown) => {
        failure ??= { error };
        answer({ ok: false });
      },
    );
  };
  try {
    return await pool.request("write", { ...input, port: port2 }, { ...options, transfer: [port2] });
  } catch (error) {
    // The thread only knows that the page said no.
    throw (failure as { readonly error: unknown } | null)?.error ?? error;
  } finally {
    port1.close();
    pool.close();
  }
}

async function answerOf(ask: ExportAsk, ends: ExportEnds): Promise<SourceBreak | Blob | null> {
  switch (ask.ask) {
    case "break":
      return ends.breakOf(ask.id);
    case "original":
      return ends.original(ask.hash);
    case "write":
      await ends.write(ask.chunk);
      return null;
  }
}
