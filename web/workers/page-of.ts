import type { Photograph } from "../../model/break/wire-break.ts";
import type { PictureClient } from "./client.ts";

/** What a photograph's record says of the page shown. */
export type PageFields = Pick<Photograph, "widthPx" | "heightPx" | "orientation"> & { readonly page: number };

/**
 * Reads another page of a file: pages may differ in size and orientation.
 * @throws PictureError page-missing and what the page itself is refused for.
 */
export async function pageOf(pictures: Pick<PictureClient, "inspect">, blob: Blob, page: number): Promise<PageFields> {
  const { widthPx, heightPx, orientation } = await pictures.inspect(blob, undefined, page);
  return { page, widthPx, heightPx, orientation };
}
