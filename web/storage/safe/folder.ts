import type { Place } from "./safe-files.ts";
import { volumeName } from "./protocol.ts";

const folderName = (bench: string): string => `endpair-safe-${encodeURIComponent(bench)}`;

/**
 * The folder of a bench in the file system that the browser keeps for this address.
 *
 * @param create – whether to make it where it is missing.
 * @returns null where the browser has no such file system, or no such folder.
 */
export async function safeFolder(bench: string, create: boolean): Promise<FileSystemDirectoryHandle | null> {
  if (typeof navigator.storage?.getDirectory !== "function") return null;
  try {
    return await (await navigator.storage.getDirectory()).getDirectoryHandle(folderName(bench), { create });
  } catch (failure) {
    // Private windows of some browsers have the function and refuse to answer it.
    const absent = failure instanceof DOMException && ["NotFoundError", "SecurityError"].includes(failure.name);
    if (absent) return null;
    throw failure;
  }
}

/** So often a read is begun again when the volume grew meanwhile. */
const ATTEMPTS = 40;

/**
 * Bytes of an original without the safe's worker: for tabs that only read. A file that grows after it was opened can
 * no longer be read, so it is opened anew for every attempt.
 *
 * @returns null when they are not there.
 * @throws DOMException NotReadableError when the disk does not give them.
 */
export async function readFromFolder(bench: string, place: Place): Promise<ArrayBuffer | null> {
  const folder = await safeFolder(bench, false);
  if (folder === null) return null;
  for (let attempt = 1; ; attempt++)
    try {
      const file = await (await folder.getFileHandle(volumeName(place.volume))).getFile();
      const bytes = await file.slice(place.offset, place.offset + place.length).arrayBuffer();
      return bytes.byteLength === place.length ? bytes : null;
    } catch (failure) {
      const name = failure instanceof DOMException ? failure.name : "";
      if (name === "NotFoundError") return null;
      if (name !== "NotReadableError" || attempt === ATTEMPTS) throw failure;
    }
}
