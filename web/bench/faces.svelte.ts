import { findPhotograph } from "../../model/break/edits.ts";
import type { EndSide, FaceFit, Photograph, WireBreak } from "../../model/break/wire-break.ts";
import { END_SIDES } from "../../model/break/wire-break.ts";
import type { FaceComparison, FaceLaying } from "../../model/picture/mating/compare-faces.ts";
import type { FaceOutline } from "../../model/picture/mating/flat-face.ts";
import { MatingError } from "../../model/picture/mating/mating-error.ts";
import { FACES_FINDER } from "../../model/picture/mating/reference-pairs.ts";
import { PictureError } from "../../model/picture/picture-error.ts";
import { shownAs } from "../../model/picture/shown-as.ts";
import type { FacesClient } from "../workers/faces-client.ts";
import type { FaceFile } from "../workers/faces-protocol.ts";
import { blobToShow } from "./blob-to-show.ts";
import type { Desk } from "./desk.svelte.ts";
import type { Waiting } from "./proposing.svelte.ts";
import { FIT_SAYS } from "./faces-words.ts";
import { SIDE_NAME } from "./words.ts";

/** One face that is ready to be laid, or what it still needs. */
export type FaceState =
  | { readonly need: "photograph" }
  | { readonly need: "outline"; readonly photograph: Photograph; readonly proposed: Waiting | null }
  | { readonly need: null; readonly photograph: Photograph; readonly outline: FaceOutline };

export const STILL: FaceLaying = { turnDeg: 0, shiftD: [0, 0], scale: 1 };

/** The end-on photograph of an end: the one in view, else the first. */
function endOnOf(desk: Desk, side: EndSide): Photograph | null {
  const shown = desk.photograph(side);
  if (shown?.view === "end_on") return shown;
  return desk.record.ends[side].photographs.find((p) => p.view === "end_on") ?? null;
}

function outlineOn(wireBreak: WireBreak, side: EndSide, photographId: string): FaceOutline | null {
  for (const mark of wireBreak.ends[side].marks) {
    if (mark.feature !== "wire_outline" || mark.photographId !== photographId) continue;
    if (mark.state === "present" && mark.geometry?.type === "ellipse") return mark.geometry;
  }
  return null;
}

/** Two faces laid over each other: what the panel shows and does. Nothing is written until the reader keeps it. */
export class Faces {
  readonly #desk: Desk;
  readonly #client: FacesClient;
  /** How the take-up face lies now, by search or by hand. */
  laying = $state.raw<FaceLaying>(STILL);
  comparison = $state.raw<FaceComparison | null>(null);
  /** Share of the search that is done; null = not searching. */
  part = $state<number | null>(null);
  wrong = $state.raw<{ readonly message: string; readonly next: string } | null>(null);
  pictures = $state.raw<Readonly<Record<EndSide, ImageBitmap>> | null>(null);
  #stop: AbortController | null = null;

  constructor(desk: Desk, client: FacesClient) {
    this.#desk = desk;
    this.#client = client;
  }

  face(side: EndSide): FaceState {
    const photograph = endOnOf(this.#desk, side);
    if (photograph === null) return { need: "photograph" };
    const outline = outlineOn(this.#desk.record, side, photograph.id);
    if (outline !== null) return { need: null, photograph, outline };
    const proposed = this.#desk.proposing.waiting(side, photograph).find((w) => w.mark.feature === "wire_outline");
    return { need: "outline", photograph, proposed: proposed ?? null };
  }

  get ready(): boolean {
    return END_SIDES.every((side) => this.face(side).need === null);
  }

  /** True once a hand moved the face away from where the comparison was read. */
  get moved(): boolean {
    return this.comparison !== null && this.comparison.laying !== this.laying;
  }

  takeOutline(side: EndSide, proposed: Waiting): void {
    const place = findPhotograph(this.#desk.record, proposed.photographId);
    if (place === null || place === undefined) return;
    this.#desk.view.show(side, proposed.photographId);
    this.#desk.proposing.take(side, [proposed]);
  }

  drawOutline(side: EndSide, photograph: Photograph): void {
    this.#desk.view.show(side, photograph.id);
    this.#desk.pick("wire_outline", "present");
  }

  /** Cuts both faces out and compares them; `start` searches only near where a hand laid it. */
  async compare(start: FaceLaying | null = null): Promise<void> {
    this.cancel();
    const stop = new AbortController();
    this.#stop = stop;
    this.wrong = null;
    this.part = 0;
    try {
      const [machine, takeUp] = await Promise.all([this.#file("machine"), this.#file("takeUp")]);
      if (machine === null || takeUp === null) return;
      if (this.pictures === null) await this.#cut(machine, takeUp, stop.signal);
      const comparison = await this.#client.compare(
        { machine, takeUp, start },
        { signal: stop.signal, onPart: (part) => (this.part = part) },
      );
      this.comparison = comparison;
      this.laying = comparison.laying;
      this.#desk.say(FIT_SAYS[comparison.says]);
    } catch (error) {
      if (error instanceof PictureError && error.code === "cancelled") return;
      if (error instanceof MatingError) this.wrong = { message: error.message, next: error.nextStep };
      else if (error instanceof PictureError) this.wrong = { message: error.message, next: error.next };
      else this.#desk.app.report(error);
    } finally {
      if (this.#stop === stop) this.part = null;
    }
  }

  cancel(): void {
    this.#stop?.abort();
    this.#stop = null;
    this.part = null;
  }

  close(): void {
    this.cancel();
    if (this.pictures) for (const side of END_SIDES) this.pictures[side].close();
    this.pictures = null;
  }

  shift(dx: number, dy: number): void {
    const [x, y] = this.laying.shiftD;
    this.laying = { ...this.laying, shiftD: [limited(x + dx, 0.5), limited(y + dy, 0.5)] };
  }

  turn(byDeg: number): void {
    this.laying = { ...this.laying, turnDeg: (((this.laying.turnDeg + byDeg) % 360) + 360) % 360 };
  }

  keep(): void {
    const [machine, takeUp] = [this.face("machine"), this.face("takeUp")];
    if (this.comparison === null || machine.need !== null || takeUp.need !== null) return;
    const { says, score, laying } = this.comparison;
    const fit: FaceFit = {
      machinePhotographId: machine.photograph.id,
      takeUpPhotographId: takeUp.photograph.id,
      ...laying,
      score,
      says,
      finder: FACES_FINDER,
    };
    if (this.#desk.do({ kind: "set-pairing", patch: { fit } })) this.#desk.say("Comparison kept");
  }

  judge(mate: "yes" | "no" | "unsure"): void {
    const now = this.#desk.record.pairing.mate;
    this.#desk.do({ kind: "set-pairing", patch: { mate: now === mate ? null : mate } });
  }

  async #file(side: EndSide): Promise<FaceFile | null> {
    const face = this.face(side);
    if (face.need !== null) return null;
    const blob = await blobToShow(this.#desk.app.bench, face.photograph);
    if (blob === null)
      throw new PictureError("not-a-picture", `The original of the ${SIDE_NAME[side]} is not on this disk.`);
    const { cx, cy, rx, ry, angle_deg } = face.outline;
    return { blob, shown: shownAs(face.photograph), outline: { cx, cy, rx, ry, angle_deg } };
  }

  async #cut(machine: FaceFile, takeUp: FaceFile, signal: AbortSignal): Promise<void> {
    const [front, back] = await Promise.all([
      this.#client.cut({ face: machine, mirrored: false }, signal),
      this.#client.cut({ face: takeUp, mirrored: true }, signal),
    ]);
    this.pictures = { machine: front, takeUp: back };
  }
}

const limited = (value: number, most: number): number => Math.min(most, Math.max(-most, value));
