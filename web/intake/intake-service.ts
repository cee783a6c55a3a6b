import type { Photograph } from "../../model/break/wire-break.ts";
import type { DeepTone } from "../../model/picture/deep-tone.ts";
import { PictureError } from "../../model/picture/picture-error.ts";
import type { ResolutionHint } from "../../model/picture/resolution-hint.ts";
import type { BenchStore, NewOriginal, Progress } from "../storage/contract.ts";
import type { PictureClient } from "../workers/client.ts";
import type { Inspection } from "../workers/protocol.ts";
import type { IncomingFile } from "./dropped-files.ts";

/** The fields of a photograph that its file decides; the rest is filing. */
export type IncomingPhotograph = Pick<
  Photograph,
  | "hash"
  | "fileName"
  | "mediaType"
  | "byteLength"
  | "widthPx"
  | "heightPx"
  | "orientation"
  | "capturedAt"
  | "deepTone"
  | "page"
>;

/** What became of one file. Exactly one per file, in the order of the files. */
export type IntakeResult = IncomingFile &
  (
    | {
        readonly status: "ready";
        readonly photograph: IncomingPhotograph;
        readonly original: NewOriginal;
        readonly hint: ResolutionHint | null;
        readonly camera: string | null;
        readonly notes: readonly string[];
        /** Pages to choose from; the first is taken until someone does. */
        readonly pages: number;
      }
    | {
        /** The same file came in before: byte for byte, whatever its name. */
        readonly status: "again";
        readonly hash: string;
        readonly photograph: IncomingPhotograph;
        readonly pages: number;
        readonly where: "stored" | "this-drop";
      }
    | { readonly status: "refused"; readonly error: PictureError }
  );

export interface IntakeOptions {
  readonly store: Pick<BenchStore, "known">;
  readonly pictures: Pick<PictureClient, "inspect" | "copies">;
  /** Files at work at a time; each may hold a decoded picture of several hundred megabytes. */
  readonly atOnce?: number;
}

export interface TakeOptions {
  readonly signal?: AbortSignal;
  readonly onProgress?: (progress: Progress) => void;
}

export interface Intake {
  /**
   * Takes files in, one result each. A bad file is refused with its reason and the rest go on. After `signal` aborts
   * the iteration ends early; leaving the loop cancels what is still at work.
   * @throws StoreError when the store cannot say what it knows.
   */
  take(files: readonly IncomingFile[], options?: TakeOptions): AsyncGenerator<IntakeResult, void, undefined>;
}

/** Joins the picture worker and the store: inspected, recognised, copied. Nothing is stored here. */
export function createIntake({ store, pictures, atOnce = 2 }: IntakeOptions): Intake {
  return {
    async *take(files, { signal, onProgress } = {}) {
      const stop = new AbortController();
      const onAbort = () => {
        stop.abort();
      };
      signal?.addEventListener("abort", onAbort, { once: true });
      if (signal?.aborted) stop.abort();
      const drop = new Drop(store, pictures, stop.signal);
      const running: Promise<IntakeResult>[] = [];
      let begun = 0;
      try {
        for (let done = 0; done < files.length; done++) {
          while (begun < files.length && running.length < atOnce && !stop.signal.aborted) {
            const file = files[begun++];
            if (file) running.push(drop.take(file));
          }
          const next = running.shift();
          if (!next) return;
          onProgress?.({ done, total: files.length, what: files[done]?.file.name ?? "" });
          const result = await next;
          if (stop.signal.aborted) return;
          onProgress?.({ done: done + 1, total: files.length, what: result.file.name });
          yield result;
        }
      } finally {
        signal?.removeEventListener("abort", onAbort);
        stop.abort();
        await Promise.allSettled(running);
      }
    },
  };
}

/** The files of one drop, which are also compared with each other. */
class Drop {
  readonly #firsts = new Map<string, Promise<IntakeResult>>();
  #turn: Promise<unknown> = Promise.resolve();

  constructor(
    readonly store: IntakeOptions["store"],
    readonly pictures: IntakeOptions["pictures"],
    readonly signal: AbortSignal,
  ) {}

  take(incoming: IncomingFile): Promise<IntakeResult> {
    const inspected = refusable(this.pictures.inspect(incoming.file, this.signal));
    // Of two equal files the first in order is the photograph, however long its reading takes.
    const claimed = this.#turn.then(async () => this.#claim(incoming, await inspected));
    this.#turn = claimed.catch(() => undefined);
    const result = claimed.then(({ outcome }) => outcome);
    return result;
  }

  /** @returns the outcome wrapped, so that the next file may claim while this one is still being copied. */
  async #claim(
    incoming: IncomingFile,
    inspection: Inspection | PictureError,
  ): Promise<{ outcome: Promise<IntakeResult> }> {
    if (inspection instanceof PictureError) {
      return { outcome: Promise.resolve({ ...incoming, status: "refused", error: inspection }) };
    }
    const { hash, pages } = inspection;
    const photograph = photographOf(incoming, inspection);
    const first = this.#firsts.get(hash);
    if (first) return { outcome: first.then((result) => this.#like(result, incoming, photograph, pages)) };
    if ((await this.store.known([hash])).has(hash)) {
      return { outcome: this.#known(incoming, photograph, inspection) };
    }
    const outcome = this.#copy(incoming, photograph, inspection);
    this.#firsts.set(hash, outcome);
    return { outcome };
  }

  #like(first: IntakeResult, incoming: IncomingFile, photograph: IncomingPhotograph, pages: number): IntakeResult {
    if (first.status === "refused") return { ...incoming, status: "refused", error: first.error };
    return { ...incoming, status: "again", hash: photograph.hash, photograph, pages, where: "this-drop" };
  }

  /** A deep file is decoded even when its original is there: filed again, it needs its black and white. */
  async #known(
    incoming: IncomingFile,
    photograph: IncomingPhotograph,
    { hash, pages, deep }: Inspection,
  ): Promise<IntakeResult> {
    const known = { ...incoming, status: "again", hash, pages, where: "stored" } as const;
    if (deep === null) return { ...known, photograph };
    const copies = await refusable(this.pictures.copies(incoming.file, this.signal));
    if (copies instanceof PictureError) return { ...incoming, status: "refused", error: copies };
    return { ...known, photograph: toned(photograph, copies.deepTone) };
  }

  async #copy(
    incoming: IncomingFile,
    photograph: IncomingPhotograph,
    { hint, camera, notes, pages }: Inspection,
  ): Promise<IntakeResult> {
    const copies = await refusable(this.pictures.copies(incoming.file, this.signal));
    if (copies instanceof PictureError) return { ...incoming, status: "refused", error: copies };
    const { hash, fileName, mediaType } = photograph;
    const { thumbnail, working, deepTone } = copies;
    const original: NewOriginal = { hash, original: incoming.file, fileName, mediaType, thumbnail, working };
    const ready = { ...incoming, status: "ready", original, hint, camera, notes, pages } as const;
    return { ...ready, photograph: toned(photograph, deepTone) };
  }
}

/** A refusal is a result; any other error is a fault of ours and goes on up. */
async function refusable<T>(work: Promise<T>): Promise<T | PictureError> {
  try {
    return await work;
  } catch (error) {
    if (error instanceof PictureError) return error;
    throw error;
  }
}

/** @param tone – of the page shown; null for 8-bit files. */
export function toned({ deepTone: _before, ...rest }: IncomingPhotograph, tone: DeepTone | null): IncomingPhotograph {
  return tone === null ? rest : { ...rest, deepTone: tone };
}

function photographOf({ file }: IncomingFile, inspection: Inspection): IncomingPhotograph {
  const { hash, mediaType, byteLength, widthPx, heightPx, orientation, capturedAt, pages } = inspection;
  const whole = { hash, fileName: file.name, mediaType, byteLength, widthPx, heightPx, orientation, capturedAt };
  // Naming the first page says that there are others to choose from.
  return pages > 1 ? { ...whole, page: 0 } : whole;
}
