import { PictureError } from "../../model/picture/picture-error.ts";
import { isPlainView, type ViewSettings } from "../../model/picture/view-settings.ts";
import type { Picture } from "../canvas/types.ts";
import type { SeeingAidsReader, SeenPhotograph } from "../workers/seeing-aids.ts";
import type { SeeingClient } from "../workers/seeing-client.ts";

/** Pixels of a preview that follows a slider. */
const PREVIEW_PX = 1_600_000;
/** The full picture is made once the hand has rested so long. */
const REST_MS = 350;

interface Wanted {
  readonly base: Picture;
  readonly photograph: SeenPhotograph;
  readonly settings: ViewSettings;
}

export interface SeenOutlets {
  readonly show: (picture: Picture) => void;
  /** Why an aid is not used; empty when all are. */
  readonly tell: (faults: readonly string[]) => void;
  readonly fail: (error: unknown) => void;
}

/**
 * One stage's photograph as its view settings show it: a small preview first, the full picture when the settings rest.
 * The photograph itself stays the caller's; what is made of it is closed here.
 */
export class SeenPicture {
  #own: readonly ImageBitmap[] = [];
  #now: Wanted | null = null;
  #waiting: Wanted | null = null;
  #working = false;
  #asItIs = false;
  #stop = new AbortController();
  #timer: ReturnType<typeof setTimeout> | undefined;

  constructor(
    readonly client: Pick<SeeingClient, "see">,
    readonly aids: Pick<SeeingAidsReader, "read">,
    readonly outlets: SeenOutlets,
  ) {}

  /**
   * @param base – the photograph as it was taken; null = none on the stage.
   * @param asItIs – shown without the settings for a moment; what was made with them is kept.
   */
  want(base: Picture | null, photograph: SeenPhotograph, settings: ViewSettings, asItIs: boolean): void {
    const before = this.#now;
    this.#asItIs = asItIs;
    if (base === null || isPlainView(settings)) {
      this.#rest();
      this.#now = null;
      if (base !== null && before !== null) this.outlets.show(base);
      this.#keep([]);
      this.outlets.tell([]);
      return;
    }
    if (before?.base === base && before.settings === settings) {
      if (asItIs) this.outlets.show(base);
      else this.#showOwn();
      return;
    }
    this.#rest();
    if (before?.base !== base) this.#keep([]);
    this.#now = this.#waiting = { base, photograph, settings };
    this.#work().catch(this.outlets.fail);
  }

  /** Ends everything. The stage must no longer show what was made here. */
  close(): void {
    this.#rest();
    this.#now = null;
    this.#keep([]);
  }

  #rest(): void {
    clearTimeout(this.#timer);
    this.#stop.abort();
    this.#stop = new AbortController();
    this.#waiting = null;
  }

  /** Makes previews, always of the latest wish; those between are left out. */
  async #work(): Promise<void> {
    if (this.#working) return;
    this.#working = true;
    try {
      for (let wanted = this.#waiting; wanted !== null; wanted = this.#waiting) {
        this.#waiting = null;
        await this.#make(wanted);
      }
    } finally {
      this.#working = false;
    }
  }

  async #make(wanted: Wanted): Promise<void> {
    const { base, photograph, settings } = wanted;
    const [full] = base.levels;
    const small = base.levels.find((level) => level.width * level.height <= PREVIEW_PX) ?? base.levels.at(-1);
    if (!full || !small) return;
    const start = performance.now();
    try {
      const { aids, faults } = await this.aids.read(photograph, settings, full);
      if (this.#now?.base !== base) return;
      const made = await this.client.see(small, settings, aids, { quick: true, levels: small === full });
      // While a slider moves every preview is already overtaken, and still better than the one before.
      if (!this.#take(made, base)) return;
      measure("endpair:seen-preview", start);
      if (this.#now !== wanted) return;
      this.outlets.tell(faults);
      if (small === full) return;
      const { signal } = this.#stop;
      this.#timer = setTimeout(() => {
        const restedAt = performance.now();
        this.client
          .see(full, settings, aids, { levels: true, signal })
          .then((whole) => {
            if (this.#take(whole, base, wanted)) measure("endpair:seen-whole", restedAt);
          })
          .catch((error: unknown) => this.#fail(error, wanted));
      }, REST_MS);
    } catch (error) {
      this.#fail(error, wanted);
    }
  }

  /** @returns false when the bitmaps come too late and were closed. */
  #take(made: readonly ImageBitmap[], base: Picture, only?: Wanted): boolean {
    if (this.#now?.base !== base || (only !== undefined && this.#now !== only)) {
      for (const bitmap of made) bitmap.close();
      return false;
    }
    const before = this.#own;
    this.#own = made;
    this.#showOwn();
    for (const bitmap of before) bitmap.close();
    return true;
  }

  #showOwn(): void {
    if (this.#now === null || this.#asItIs || this.#own.length === 0) return;
    const { widthPx, heightPx } = this.#now.base;
    this.outlets.show({ levels: this.#own, widthPx, heightPx });
  }

  #keep(bitmaps: readonly ImageBitmap[]): void {
    const before = this.#own;
    this.#own = bitmaps;
    for (const bitmap of before) bitmap.close();
  }

  /** What was overtaken may fail in any way: its photograph is closed already. */
  #fail(error: unknown, wanted: Wanted): void {
    if (this.#now !== wanted || (error instanceof PictureError && error.code === "cancelled")) return;
    this.outlets.fail(error);
  }
}

/** The last one only: a slider makes hundreds. */
function measure(name: string, start: number): void {
  performance.clearMeasures(name);
  performance.measure(name, { start });
}
