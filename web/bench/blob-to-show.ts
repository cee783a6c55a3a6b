import type { Photograph } from "../../model/break/wire-break.ts";
import type { BenchStore } from "../storage/contract.ts";

/**
 * The blob to decode for this photograph: the original where black, white or page were chosen, because a working copy
 * would show the choice of another day.
 * @returns null when the original is not in the store.
 */
export function blobToShow(
  store: Pick<BenchStore, "picture" | "original">,
  { hash, page = 0, deepTone }: Pick<Photograph, "hash" | "page" | "deepTone">,
): Promise<Blob | null> {
  return deepTone !== undefined || page > 0 ? store.original(hash) : store.picture(hash);
}
