import { openAsBlob } from "node:fs";
import { NoZip, openBlob, type OpenZip } from "../../web/reference/check/open-zip.ts";

export { NoZip, type OpenZip } from "../../web/reference/check/open-zip.ts";

/** @throws NoZip when there is no file or it is no zip. */
export async function openZip(from: string | Blob): Promise<OpenZip> {
  let blob: Blob;
  try {
    blob = typeof from === "string" ? await openAsBlob(from) : from;
  } catch {
    throw new NoZip("there is no such file, or it may not be read");
  }
  return openBlob(blob);
}
