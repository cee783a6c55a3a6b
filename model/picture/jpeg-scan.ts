import type { ByteReader } from "./byte-reader.ts";

const CHUNK = 1 << 20;

export interface JpegScan {
  /** Where the next marker starts, bytes from the start of the file. */
  readonly end: number;
  readonly restarts: number;
  readonly restartsInOrder: boolean;
}

/**
 * Skips the coded data of one scan. Inside it FF is followed by 00 (a plain FF) or a restart marker D0–D7.
 * @returns null when the file ends first.
 * @source ITU-T T.81 (1992), B.1.1.5.
 */
export async function scanToMarker(reader: ByteReader, start: number): Promise<JpegScan | null> {
  let restarts = 0;
  let restartsInOrder = true;
  for (let at = start; at < reader.size - 1;) {
    const bytes = await reader.read(at, CHUNK);
    let i = 0;
    for (;;) {
      i = bytes.indexOf(0xff, i);
      // The last byte of a chunk is looked at again with the one after it.
      if (i < 0 || i >= bytes.length - 1) break;
      const next = bytes[i + 1] ?? 0;
      if (next >= 0xd0 && next <= 0xd7) {
        if (next !== 0xd0 + (restarts & 7)) restartsInOrder = false;
        restarts++;
        i += 2;
      } else if (next === 0) {
        i += 2;
      } else if (next === 0xff) {
        i += 1;
      } else {
        return { end: at + i, restarts, restartsInOrder };
      }
    }
    if (bytes.length < 2) return null;
    at += i < 0 ? bytes.length : bytes.length - 1;
  }
  return null;
}
