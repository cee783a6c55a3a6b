import type { BenchStore } from "../storage/contract.ts";
import type { Picture } from "../canvas/types.ts";

export interface Decoded {
  readonly levels: readonly ImageBitmap[];
}

/**
 * Decoded photographs, newest first. A 24-megapixel bitmap takes about 100 MB, so only a few are kept
 * and the others are closed as soon as no stage shows them.
 */
export class Pictures {
  readonly #keep: number;
  readonly #decode: (blob: Blob) => Promise<Decoded>;
  readonly #store: Pick<BenchStore, "picture">;
  readonly #kept = new Map<string, Promise<Decoded>>();
  readonly #held = new Map<string, number>();

  constructor(store: Pick<BenchStore, "picture">, decode: (blob: Blob) => Promise<Decoded>, keep = 4) {
    this.#store = store;
    this.#decode = decode;
    this.#keep = keep;
  }

  /** The picture, held until `release`. Null when the original is not in the store. */
  async hold(hash: string, widthPx: number, heightPx: number): Promise<Picture | null> {
    this.#held.set(hash, (this.#held.get(hash) ?? 0) + 1);
    let pending = this.#kept.get(hash);
    if (pending) this.#kept.delete(hash);
    else pending = this.#load(hash);
    this.#kept.set(hash, pending);
    try {
      const decoded = await pending;
      this.#trim();
      return decoded.levels.length === 0 ? null : { levels: decoded.levels, widthPx, heightPx };
    } catch (error) {
      this.#kept.delete(hash);
      throw error;
    }
  }

  /** Decodes the first few of these so that stepping through the views does not wait. */
  async ahead(photographs: readonly { readonly hash: string }[]): Promise<void> {
    const wanted = [...new Set(photographs.map((p) => p.hash))].slice(0, this.#keep);
    await Promise.all(
      wanted.map((hash) => {
        const pending = this.#kept.get(hash) ?? this.#load(hash);
        this.#kept.set(hash, pending);
        return pending;
      }),
    );
    this.#trim();
  }

  release(hash: string): void {
    const left = (this.#held.get(hash) ?? 1) - 1;
    if (left > 0) this.#held.set(hash, left);
    else this.#held.delete(hash);
    this.#trim();
  }

  close(): void {
    this.#held.clear();
    for (const hash of [...this.#kept.keys()]) this.#drop(hash);
  }

  async #load(hash: string): Promise<Decoded> {
    const blob = await this.#store.picture(hash);
    return blob === null ? { levels: [] } : this.#decode(blob);
  }

  #trim(): void {
    for (const hash of [...this.#kept.keys()]) {
      if (this.#kept.size <= this.#keep) return;
      if (!this.#held.has(hash)) this.#drop(hash);
    }
  }

  #drop(hash: string): void {
    const pending = this.#kept.get(hash);
    this.#kept.delete(hash);
    pending?.then(
      (decoded) => decoded.levels.forEach((level) => level.close()),
      () => undefined,
    );
  }
}
