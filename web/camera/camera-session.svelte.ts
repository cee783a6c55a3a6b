import { otherSide, type EndSide, type Scale, type WireBreak } from "../../model/break/wire-break.ts";
import { VIEW_IDS, VIEW_NAME, type ViewId } from "../../model/evidence/features.ts";
import { sizeFault, scaleFromProfile, type ScaleProfile } from "../../model/measure/profile.ts";
import { capital, SIDE_NAME } from "../bench/words.ts";
import { nextNumber } from "../log/next-number.ts";
import type { App } from "../shell/app.svelte.ts";
import { createPictureClient, type PictureClient } from "../workers/client.ts";
import { cameraErrorOf } from "./camera-error.ts";
import type { CameraFeed } from "./camera-feed.svelte.ts";
import { fileFrame, fileRecovery, frameName, type Target } from "./file-frame.ts";
import { freezeFrame, type FrozenFrame } from "./frozen-frame.ts";
import { firstOpen, isSettled, nextOpen, STEPS, type Step } from "./sequence.ts";

/** Taking the photographs of one break, step by step: freeze, keep or again, next. */
export class CameraSession {
  target = $state.raw<Target>({ breakId: null, number: "" });
  record = $state.raw<WireBreak | null>(null);
  missing = $state(false);
  /** Place in `STEPS`; null when every step is settled. */
  at = $state<number | null>(0);
  /** Another view than the step asks for, chosen by hand. */
  otherView = $state<ViewId | null>(null);
  frozen = $state.raw<FrozenFrame | null>(null);
  keeping = $state(false);
  /** Why the last frame could not be kept; it stays frozen then. */
  problem = $state.raw<{ readonly message: string; readonly next: string } | null>(null);
  said = $state("");
  profiles = $state.raw<readonly ScaleProfile[]>([]);
  readonly #app: App;
  readonly #feed: CameraFeed;
  readonly #pictures: PictureClient = createPictureClient({ threads: 1 });

  constructor(app: App, feed: CameraFeed) {
    this.#app = app;
    this.#feed = feed;
  }

  async begin(breakId: string | null, side: EndSide | null): Promise<void> {
    const list = await this.#app.bench.getSetting<readonly ScaleProfile[]>("profiles");
    this.profiles = (list ?? []).filter((p) => p.outOfUseAt === undefined);
    if (breakId === null) {
      const taken = this.#app.summaries.map((s) => s.number);
      this.target = { breakId: null, number: nextNumber(taken[0] ?? null, taken) };
      this.at = firstOpen(null, side);
      return;
    }
    const stored = await this.#app.bench.load(breakId);
    this.missing = stored === null;
    if (stored === null) return;
    this.#take(stored.record);
    this.at = firstOpen(stored.record.ends, side);
  }

  /** The photograph to take now. With all settled, further ones go to the last step. */
  get step(): Step {
    const planned = STEPS[this.at ?? STEPS.length - 1] ?? { side: "machine", view: "end_on" };
    return this.otherView === null ? planned : { ...planned, view: this.otherView };
  }

  get words(): string {
    return `${capital(SIDE_NAME[this.step.side])}, ${VIEW_NAME[this.step.view]}`;
  }

  get profile(): ScaleProfile | null {
    return this.profiles.find((p) => p.id === this.#feed.memory.profileId) ?? null;
  }

  /** Why the chosen profile gives no scale to frames of this camera; null when it does or none is chosen. */
  get profileFault(): string | null {
    const size = this.#feed.opened?.size;
    return this.profile === null || size === undefined ? null : sizeFault(this.profile.picturePx, size);
  }

  get scale(): Scale | null {
    return this.profile === null || this.profileFault !== null ? null : scaleFromProfile(this.profile);
  }

  setNumber(typed: string): void {
    const number = typed.trim();
    if (number === "" || this.record !== null) return;
    const known = this.#app.summaries.find((s) => s.number.toLowerCase() === number.toLowerCase() && !s.binned);
    this.target = { breakId: known?.id ?? null, number: known?.number ?? number };
  }

  async freeze(video: HTMLVideoElement): Promise<void> {
    const track = this.#feed.opened?.track;
    if (track === undefined || this.frozen !== null) return;
    try {
      this.frozen = await freezeFrame(track, video, this.#app.surroundings.now());
      this.problem = null;
      this.said = "Frozen. Enter keeps it, Escape takes it again";
    } catch (error) {
      this.problem = cameraErrorOf(error);
    }
  }

  again(): void {
    this.frozen?.bitmap.close();
    this.frozen = null;
    this.problem = null;
    this.said = "Live again";
  }

  /** Files the frozen frame; on any failure it stays frozen and the reason is said. */
  async keep(): Promise<void> {
    const { frozen } = this;
    if (frozen === null || this.keeping) return;
    this.keeping = true;
    this.problem = null;
    try {
      const { step, words } = this;
      const file = await this.fileOf(frozen);
      const frame = { ...step, file, at: frozen.at, scale: this.#fits(frozen) ? this.scale : null };
      this.#take(await fileFrame(this.#app, this.#pictures, this.target, frame));
      this.again();
      this.#goOn();
      this.said = `Kept: ${words}. ${this.at === null ? "All views are taken" : `Next: ${this.words}`}`;
    } catch (error) {
      this.problem = problemOf(error);
    } finally {
      this.keeping = false;
    }
  }

  /** The frozen frame as a file with its name, to keep or to save elsewhere. */
  async fileOf(frozen: FrozenFrame): Promise<File> {
    const name = frameName(this.target.number, this.step, frozen.at);
    return new File([await frozen.png], name, { type: "image/png", lastModified: Date.parse(frozen.at) });
  }

  goTo(at: number): void {
    if (this.frozen !== null) return;
    this.at = Math.min(STEPS.length - 1, Math.max(0, at));
    this.otherView = null;
    this.said = this.words;
  }

  move(by: 1 | -1): void {
    if (by === 1 && this.at === STEPS.length - 1) this.#finish();
    else this.goTo((this.at ?? STEPS.length) + by);
  }

  toSide(side: EndSide): void {
    this.goTo(firstOpenOf(this.record, side));
  }

  stepView(by: 1 | -1): void {
    const next = VIEW_IDS[(VIEW_IDS.indexOf(this.step.view) + by + VIEW_IDS.length) % VIEW_IDS.length];
    this.otherView = next ?? null;
    this.said = this.words;
  }

  /** The end of this step was not recovered, or has turned up after all. */
  async toggleRecovery(): Promise<void> {
    const { side } = this.step;
    const end = this.record?.ends[side];
    if (end !== undefined && end.photographs.length + end.marks.length > 0) {
      this.#app.need(
        `The ${SIDE_NAME[side]} has photographs or marks.`,
        "Move or take them out on the bench before saying that it was not recovered.",
      );
      return;
    }
    const gone = end?.recovery === "not-recovered";
    try {
      this.#take(await fileRecovery(this.#app, this.target, side, gone));
      this.problem = null;
      if (gone) this.goTo(STEPS.findIndex((s) => s.side === side));
      else this.#goOn();
    } catch (error) {
      this.problem = problemOf(error);
    }
  }

  close(): void {
    this.#pictures.close();
    this.frozen?.bitmap.close();
  }

  #take(record: WireBreak): void {
    this.record = record;
    this.target = { breakId: record.id, number: record.number };
  }

  #goOn(): void {
    const ends = this.record?.ends ?? null;
    const here = this.at ?? STEPS.length - 1;
    const step = STEPS[here];
    // A view that was taken beside the sequence leaves the step open.
    if (step !== undefined && !isSettled(ends, step)) return;
    this.otherView = null;
    this.at = nextOpen(ends, here);
  }

  #finish(): void {
    this.otherView = null;
    this.at = null;
    this.said = "All views passed";
  }

  #fits({ bitmap }: FrozenFrame): boolean {
    return sizeFault(this.profile?.picturePx, { widthPx: bitmap.width, heightPx: bitmap.height }) === null;
  }
}

function firstOpenOf(record: WireBreak | null, side: EndSide): number {
  const open = firstOpen(record?.ends ?? null, side);
  const own = STEPS.findIndex((s) => s.side === side);
  return open !== null && STEPS[open]?.side !== otherSide(side) ? open : own;
}

function problemOf(error: unknown): { readonly message: string; readonly next: string } {
  const message = error instanceof Error ? error.message : String(error);
  const next = error instanceof Error && "next" in error && typeof error.next === "string" ? error.next : "Try again.";
  return { message, next };
}
