import type { Edit } from "../../model/break/edits.ts";
import type { EndSide, Photograph, Uncertain } from "../../model/break/wire-break.ts";
import { PictureError } from "../../model/picture/picture-error.ts";
import { findSeries } from "../../model/picture/stack/find-series.ts";
import type { HeightMap } from "../../model/picture/stack/height-map.ts";
import { heightMap } from "../../model/picture/stack/height-map.ts";
import { referenceOf } from "../../model/picture/stack/series.ts";
import type { NewOriginal } from "../storage/contract.ts";
import { createPictureClient } from "../workers/client.ts";
import { stackFrames } from "../workers/stack-client.ts";
import type { OutputOfStack, ReadStack } from "../workers/stack-protocol.ts";
import type { Desk } from "./desk.svelte.ts";

/** One frame of a series: filed already, or a file that was chosen for it. */
export interface Frame {
  readonly fileName: string;
  readonly hash: string;
  /** null for files that are not filed as photographs. */
  readonly photograph: Photograph | null;
  readonly original: NewOriginal | null;
}

/** Fewer frames give a sharp picture but no heights: a peak needs a neighbour on either side. */
export const FEWEST_FOR_HEIGHTS = 3;
export const FEWEST_FRAMES = 2;

/** Putting frames together and reading their depth, for the break on the bench. Outlives its panel. */
export class Depth {
  /** What is being done and how far it is; null = nothing. */
  busy = $state.raw<{ readonly what: string; readonly part: number } | null>(null);
  problem = $state.raw<{ readonly text: string; readonly next: string } | null>(null);
  read = $state.raw<{ readonly hash: string; readonly stack: ReadStack } | null>(null);
  readonly #desk: Desk;
  #stop: AbortController | null = null;

  constructor(desk: Desk) {
    this.#desk = desk;
  }

  cancel(): void {
    this.#stop?.abort();
  }

  /** Photographs of an end that could be frames with the one shown: same size, same page, not themselves put together. */
  candidates(side: EndSide, shown: Photograph): readonly Photograph[] {
    return this.#desk.record.ends[side].photographs.filter(
      (p) =>
        p.widthPx === shown.widthPx && p.heightPx === shown.heightPx && p.stack === undefined && (p.page ?? 0) === 0,
    );
  }

  /** The candidates that look like one series with the one shown; all of the same view when none do. */
  proposed(candidates: readonly Photograph[], shown: Photograph): readonly Photograph[] {
    const series = findSeries(candidates).find((group) => group.some((p) => p.id === shown.id));
    return series ?? candidates.filter((p) => p.view === shown.view);
  }

  /** Frames from files that are not filed as photographs; they are kept as originals. */
  async framesOf(files: readonly File[]): Promise<readonly Frame[]> {
    const work = createPictureClient();
    const found: Frame[] = [];
    await this.#during("Reading the files", async (signal) => {
      try {
        for (const [i, file] of files.entries()) {
          const { hash, mediaType } = await work.inspect(file, signal);
          const { thumbnail, working } = await work.copies(file, signal);
          const original = { hash, original: file, fileName: file.name, mediaType, thumbnail, working };
          found.push({ fileName: file.name, hash, photograph: null, original });
          this.busy = { what: "Reading the files", part: (i + 1) / files.length };
        }
      } finally {
        work.close();
      }
    });
    return this.problem === null ? found : [];
  }

  /**
   * Puts frames together and files the composite as a photograph of this end.
   *
   * @param frames – from the nearest to the farthest focus.
   * @param takeOut – whether frames without marks leave the row of views; their originals stay.
   * @returns whether it was filed.
   */
  async putTogether(
    side: EndSide,
    shown: Photograph,
    frames: readonly Frame[],
    stepUm: Uncertain | null,
    takeOut: boolean,
  ): Promise<boolean> {
    const { app } = this.#desk;
    let filed = false;
    await this.#during("Putting the frames together", async (signal) => {
      const blobs = await Promise.all(frames.map(async (f) => f.original?.original ?? (await this.#blob(f))));
      const stack = await this.#stack("Putting the frames together", blobs, true, signal);
      const { composite, ...read } = stack;
      if (composite === null) return;
      const middle = frames[referenceOf(frames.length)];
      const like = middle?.photograph ?? shown;
      const fileName = `${like.fileName.replace(/\.[^.]*$/, "")}-stack.png`;
      const photograph: Photograph = {
        id: app.surroundings.newId(),
        hash: composite.hash,
        fileName,
        mediaType: "image/png",
        byteLength: composite.blob.size,
        widthPx: read.widthPx,
        heightPx: read.heightPx,
        orientation: 1,
        capturedAt: like.capturedAt,
        view: shown.view,
        turnDeg: shown.turnDeg,
        scale: like.scale ?? shown.scale,
        axisDeg: like.axisDeg,
        rendered: frames.some((f) => f.photograph?.rendered === true),
        stack: { frames: frames.map(({ hash, fileName: name }) => ({ hash, fileName: name })), stepUm },
      };
      const picture: NewOriginal = {
        hash: composite.hash,
        original: composite.blob,
        fileName,
        mediaType: "image/png",
        thumbnail: composite.thumbnail,
        working: null,
      };
      const originals = [picture, ...frames.flatMap((f) => (f.original === null ? [] : [f.original]))];
      await app.bench.commit({ entries: [], records: [], originals });
      filed = this.#desk.do(this.#filing(side, photograph, frames, takeOut));
      if (!filed) return;
      this.read = { hash: composite.hash, stack: read };
      this.#desk.view.show(side, photograph.id);
      app.say(`${frames.length} frames put together; the composite is filed, the originals are kept.`);
    });
    return filed;
  }

  #filing(side: EndSide, photograph: Photograph, frames: readonly Frame[], takeOut: boolean): Edit {
    const { photographs, marks } = this.#desk.record.ends[side];
    const ids = new Set(frames.flatMap((f) => (f.photograph === null ? [] : [f.photograph.id])));
    const leave = takeOut
      ? photographs.filter((p) => ids.has(p.id) && !marks.some((m) => m.photographId === p.id))
      : [];
    const first = photographs.findIndex((p) => ids.has(p.id));
    return {
      kind: "together",
      edits: [
        { kind: "add-photograph", side, index: Math.max(0, first), photograph },
        ...leave.map((p): Edit => ({ kind: "remove-photograph", photographId: p.id })),
      ],
    };
  }

  /** Reads the frames of a composite again, so that heights need not be stored; the same frames give the same heights. */
  async readAgain(photograph: Photograph): Promise<void> {
    const { stack } = photograph;
    if (stack === undefined || this.read?.hash === photograph.hash) return;
    await this.#during("Reading the frames", async (signal) => {
      const blobs = await Promise.all(stack.frames.map((f) => this.#blob(f)));
      this.read = {
        hash: photograph.hash,
        stack: await this.#stack("Reading the frames", blobs, false, signal),
      };
    });
  }

  /** Heights of a composite whose frames are read; null without a step or with too few frames. */
  heights(photograph: Photograph): HeightMap | null {
    const { stack } = photograph;
    if (stack === undefined || stack.stepUm === null || this.read?.hash !== photograph.hash) return null;
    if (stack.frames.length < FEWEST_FOR_HEIGHTS) return null;
    return heightMap(this.read.stack.map, stack.stepUm, this.read.stack.shrunkBy);
  }

  setStep(photograph: Photograph, stepUm: Uncertain | null): void {
    if (photograph.stack === undefined) return;
    const stack = { ...photograph.stack, stepUm };
    this.#desk.do({ kind: "set-photograph", photographId: photograph.id, patch: { stack } });
  }

  #stack(what: string, blobs: readonly Blob[], compose: boolean, signal: AbortSignal): Promise<OutputOfStack> {
    return stackFrames(blobs, compose, { signal, onPart: (part) => (this.busy = { what, part }) });
  }

  async #blob({ hash, fileName }: Pick<Frame, "hash" | "fileName">): Promise<Blob> {
    const blob = await this.#desk.app.bench.original(hash);
    if (blob !== null) return blob;
    throw new PictureError(
      "decoder-failed",
      `The original of ${fileName} is not on this disk.`,
      "Import the bench file it came from.",
    );
  }

  async #during(what: string, work: (signal: AbortSignal) => Promise<void>): Promise<void> {
    if (this.busy !== null) return;
    const stop = new AbortController();
    this.#stop = stop;
    this.busy = { what, part: 0 };
    this.problem = null;
    try {
      await work(stop.signal);
    } catch (error) {
      if (error instanceof PictureError && error.code === "cancelled")
        this.problem = { text: "Cancelled; nothing was filed.", next: "" };
      else if (error instanceof Error && "next" in error && typeof error.next === "string")
        this.problem = { text: error.message, next: error.next };
      else throw error;
    } finally {
      this.busy = null;
      this.#stop = null;
    }
  }
}
