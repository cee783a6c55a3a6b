import { PictureError } from "../../model/picture/picture-error.ts";
import type { BenchStore, LongWork } from "../storage/contract.ts";
import { createPictureClient } from "../workers/client.ts";

/**
 * Makes the small copies of originals that came without them, such as those of a bench file.
 * A photograph that cannot be decoded gets none and keeps its original.
 *
 * @throws StoreError; PictureError cancelled.
 */
export async function makeMissingCopies(store: BenchStore, { signal, onProgress }: LongWork): Promise<void> {
  const hashes = await store.lackingCopies();
  if (hashes.length === 0) return;
  const pictures = createPictureClient();
  try {
    for (const [i, hash] of hashes.entries()) {
      onProgress?.({ done: i, total: hashes.length, what: "small pictures" });
      const original = await store.original(hash);
      if (original === null) continue;
      try {
        await store.addCopies([{ hash, ...(await pictures.copies(original, signal)) }]);
      } catch (error) {
        if (!(error instanceof PictureError) || error.code === "cancelled") throw error;
        await store.addCopies([{ hash, thumbnail: null, working: null }]);
      }
    }
  } finally {
    pictures.close();
  }
}
