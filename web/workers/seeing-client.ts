import type { FlatField } from "../../model/picture/seeing/flat-field.ts";
import type { Patch } from "../../model/picture/seeing/neutral.ts";
import { patchBox } from "../../model/picture/seeing/neutral.ts";
import type { SeeingAids } from "../../model/picture/seeing/see.ts";
import { SeeingError } from "../../model/picture/seeing/seeing-error.ts";
import { shownAs, type ShownAs } from "../../model/picture/shown-as.ts";
import type { RgbGains, ViewSettings } from "../../model/picture/view-settings.ts";
import type { SeeingRequests, Told } from "./seeing-protocol.ts";
import { createPool, type WorkerLike } from "./worker-pool.ts";

export interface SeeOptions {
  /** Make half, quarter, … sizes as well. */
  readonly levels?: boolean;
  /** A small preview, which never waits behind a full picture. */
  readonly quick?: boolean;
  readonly signal?: AbortSignal;
}

/** All of them reject with PictureError when the thread fails, and with SeeingError when it refuses. */
export interface SeeingClient {
  /** @param shown – page and tone of the photograph that the frame belongs to. @throws SeeingError blank-… */
  blank(blob: Blob, shown: ShownAs): Promise<FlatField>;
  /** @param bitmap – the photograph; stays the caller's. @param patch – px of the bitmap. @throws SeeingError patch-… */
  neutral(bitmap: ImageBitmap, patch: Patch, field: FlatField | null): Promise<RgbGains>;
  /** @param bitmap – stays the caller's. @returns new bitmaps, finest first; the caller closes them. */
  see(
    bitmap: ImageBitmap,
    settings: ViewSettings,
    aids: SeeingAids,
    options?: SeeOptions,
  ): Promise<readonly ImageBitmap[]>;
  /** Ends the threads; whatever waits is cancelled. */
  close(): void;
}

/** No picture takes longer on a machine that can be worked with. */
const LIMIT_MS = 30_000;

const standardWorker = (): WorkerLike =>
  new Worker(new URL("./seeing.worker.ts", import.meta.url), { type: "module", name: "seeing" });

/** Applies view settings beside the page: one thread for previews, one for full pictures. */
export function createSeeingClient(makeWorker: () => WorkerLike = standardWorker): SeeingClient {
  const pool = () =>
    createPool<SeeingRequests>({
      makeWorker,
      threads: 1,
      limitMs: () => LIMIT_MS,
      release,
      words: {
        crashed: "Showing this photograph in another light failed and was stopped.",
        slow: (seconds) => `Showing this photograph in another light took longer than ${seconds} s and was stopped.`,
        cancelled: "Showing this photograph in another light was cancelled.",
      },
    });
  const quickly = pool();
  const wholly = pool();
  return {
    async blank(blob, shown) {
      return unwrapped(await wholly.request("blank", { blob, shown: shownAs(shown) }));
    },
    async neutral(bitmap, patch, field) {
      const { width: widthPx, height: heightPx } = bitmap;
      const box = patchBox(patch, widthPx, heightPx);
      if (box === null) throw new SeeingError("patch-outside", "The grey patch does not lie on the photograph.");
      const cut = await createImageBitmap(bitmap, box.left, box.top, box.widthPx, box.heightPx);
      const { left, top } = box;
      const input = { cut, left, top, widthPx, heightPx, patch, field };
      return unwrapped(await quickly.request("patch", input, { transfer: [cut] }));
    },
    async see(bitmap, settings, aids, { levels = false, quick = false, signal } = {}) {
      const copy = await createImageBitmap(bitmap);
      try {
        const request = { bitmap: copy, settings, aids, levels };
        return await (quick ? quickly : wholly).request("see", request, {
          transfer: [copy],
          ...(signal ? { signal } : {}),
        });
      } finally {
        // Still here when it was cancelled before it was sent.
        copy.close();
      }
    },
    close() {
      quickly.close();
      wholly.close();
    },
  };
}

function unwrapped<T>({ found, refused }: Told<T>): T {
  if (refused !== null) throw SeeingError.from(refused);
  return found;
}

function release(output: SeeingRequests[keyof SeeingRequests]["output"]): void {
  if (Array.isArray(output)) for (const bitmap of output as readonly ImageBitmap[]) bitmap.close();
}
