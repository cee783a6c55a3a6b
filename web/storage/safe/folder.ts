import type { Place } from "./safe-files.ts";
import { volumeName } from "./protocol.ts";

/** Name of the folder that is the safe of a bench, in the file system that the browser keeps for this address. */
export const folderName = (bench: string): string => `endpair-safe-${encodeURIComponent(bench)}`;

/** Whether this browser keeps a file system for this address, here and now. */
export async function hasFileSystem(): Promise<boolean> {
  if (typeof navigator.storage?.getDirectory !== "function") return false;
  try {
    await navigator.storage.getDirectory();
    return true;
  } catch (failure) {
    // Private windows of some browsers have the function and refuse to answer it.
    if (failure instanceof DOMException && failure.name === "SecurityError") return false;
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
  if (!(await hasFileSystem())) return null;
  for (let attempt = 1; ; attempt++)
    try {
      const root = await navigator.storage.getDirectory();
      const folder = await root.getDirectoryHandle(folderName(bench));
      const file = await (await folder.getFileHandle(volumeName(place.volume))).getFile();
      const bytes = await file.slice(place.offset, place.offset + place.length).arrayBuffer();
      return bytes.byteLength === place.length ? bytes : null;
    } catch (failure) {
      const name = failure instanceof DOMException ? failure.name : "";
      if (name === "NotFoundError") return null;
      if (name !== "NotReadableError" || attempt === ATTEMPTS) throw failure;
    }
}
