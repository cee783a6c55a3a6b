import type { Photograph } from "../../model/break/wire-break.ts";
import { shownAs, shownKey, type ShownAs } from "../../model/picture/shown-as.ts";
import type { BenchStore } from "../storage/contract.ts";
import type { Picture } from "../canvas/types.ts";
import { blobToShow } from "./blob-to-show.ts";

export interface Decoded {
  readonly levels: readonly ImageBitmap[];
}

/** What decides how a photograph looks when decoded, and its size. */
export type Wanted = Pick<Photograph, "hash" | "widthPx" | "heightPx" | "page" | "deepTone">;

const keyOf = (photograph: Omit<Wanted, "widthPx" | "heightPx">) => `${photograph.hash} ${shownKey(photograph)}`;

type Store = Pick<BenchStore, "picture" | "original">;

/**
 * Decoded photographs, newest first. A 24-megapixel bitmap takes about 100 MB, so only a few are kept
 * and the others are closed as soon as no stage shows them.
 */
export class Pictures {
  readonly #keep: number;
  readonly #decode: (blob: Blob, shown: ShownAs) => Promise<Decoded>;
  readonly #store: Store;
  readonly #kept = new Map<string, Promise<Decoded>>();
  readonly #held = new Map<string, number>();

  constructor(store: Store, decode: (blob: Blob, shown: ShownAs) => Promise<Decoded>, keep = 4) {
    this.#store = store;
    this.#decode = decode;
    this.#keep = keep;
  }

  /** The picture, held until `release`. Null when the original is not in the store. */
  async hold(photograph: Wanted): Promise<Picture | null> {
    const { widthPx, heightPx } = photograph;
    const key = keyOf(photograph);
    this.#held.set(key, (this.#held.get(key) ?? 0) + 1);
    let pending = this.#kept.get(key);
    if (pending) this.#kept.delete(key);
    else pending = this.#load(photograph);
    this.#kept.set(key, pending);
    try {
      const decoded = await pending;
      this.#trim();
      return decoded.levels.length === 0 ? null : { levels: decoded.levels, widthPx, heightPx };
    } catch (error) {
      this.#kept.delete(key);
      throw error;
    }
  }

  /** Decodes the first few of these so that stepping through the views does not wait. */
  async ahead(photographs: readonly Wanted[]): Promise<void> {
    const wanted = new Map(photographs.map((photograph) => [keyOf(photograph), photograph]));
    await Promise.all(
      [...wanted].slice(0, this.#keep).map(([key, photograph]) => {
        const pending = this.#kept.get(key) ?? this.#load(photograph);
        this.#kept.set(key, pending);
        return pending;
      }),
    );
    this.#trim();
  }

  release(photograph: Wanted): void {
    const key = keyOf(photograph);
    const left = (this.#held.get(key) ?? 1) - 1;
    if (left > 0) this.#held.set(key, left);
    else this.#held.delete(key);
    this.#trim();
  }

  close(): void {
    this.#held.clear();
    for (const key of [...this.#kept.keys()]) this.#drop(key);
  }

  async #load(photograph: Wanted): Promise<Decoded> {
    const blob = await blobToShow(this.#store, photograph);
    return blob === null ? { levels: [] } : this.#decode(blob, shownAs(photograph));
  }

  #trim(): void {
    for (const key of [...this.#kept.keys()]) {
      if (this.#kept.size <= this.#keep) return;
      if (!this.#held.has(key)) this.#drop(key);
    }
  }

  #drop(key: string): void {
    const pending = this.#kept.get(key);
    this.#kept.delete(key);
    pending?.then(
      (decoded) => decoded.levels.forEach((level) => level.close()),
      () => undefined,
    );
  }
}
