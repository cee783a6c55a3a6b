import type { Photograph } from "../../model/break/wire-break.ts";
import { shownAs } from "../../model/picture/shown-as.ts";
import { isPlainView } from "../../model/picture/view-settings.ts";
import { blobToShow } from "../bench/blob-to-show.ts";
import type { BenchStore } from "../storage/contract.ts";
import { createPictureClient } from "../workers/client.ts";
import { SeeingAidsReader } from "../workers/seeing-aids.ts";
import { createSeeingClient } from "../workers/seeing-client.ts";

/** Enough for a frame of half the screen. */
const SHOWN_PX = 1400;

/** Photographs as addresses of small pictures, in the light chosen on the bench; each is made once. */
export class ShownPhotographs {
  readonly #store: BenchStore;
  readonly #pictures = createPictureClient();
  readonly #seeing = createSeeingClient();
  readonly #aids: SeeingAidsReader;
  readonly #made = new Map<string, Promise<string | null>>();
  #closed = false;

  constructor(store: BenchStore) {
    this.#store = store;
    this.#aids = new SeeingAidsReader(this.#seeing, (hash) => store.picture(hash));
  }

  /** @returns null when the original is not on this disk. @throws PictureError; StoreError. */
  url(photograph: Photograph): Promise<string | null> {
    const known = this.#made.get(photograph.id);
    if (known) return known;
    const pending = this.#make(photograph);
    this.#made.set(photograph.id, pending);
    pending.catch(() => this.#made.delete(photograph.id));
    return pending;
  }

  close(): void {
    this.#closed = true;
    this.#pictures.close();
    this.#seeing.close();
    for (const pending of this.#made.values())
      pending.then(
        (url) => url !== null && URL.revokeObjectURL(url),
        () => undefined,
      );
  }

  async #make(photograph: Photograph): Promise<string | null> {
    const blob = await blobToShow(this.#store, photograph);
    if (blob === null) return null;
    const { bitmap: taken, levels } = await this.#pictures.bitmap(blob, {
      maxPx: SHOWN_PX,
      shown: shownAs(photograph),
    });
    const seen = await this.#seen(photograph, taken);
    const canvas = new OffscreenCanvas(seen.width, seen.height);
    canvas.getContext("2d")?.drawImage(seen, 0, 0);
    for (const each of new Set([taken, seen, ...levels])) each.close();
    const url = URL.createObjectURL(await canvas.convertToBlob({ type: "image/jpeg", quality: 0.9 }));
    if (this.#closed) URL.revokeObjectURL(url);
    return url;
  }

  async #seen(photograph: Photograph, taken: ImageBitmap): Promise<ImageBitmap> {
    const { seeing } = photograph;
    if (seeing === undefined || isPlainView(seeing)) return taken;
    const { aids } = await this.#aids.read(photograph, seeing, taken);
    const [seen] = await this.#seeing.see(taken, seeing, aids);
    return seen ?? taken;
  }
}
