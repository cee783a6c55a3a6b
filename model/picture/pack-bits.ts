import { PictureError } from "./picture-error.ts";

/**
 * Unpacks run lengths.
 * @returns exactly `length` bytes; never more, whatever the data ask for.
 * @throws PictureError truncated, damaged (a run beyond the end).
 * @source TIFF 6.0 (1992), section 9.
 */
export function unpackBits(packed: Uint8Array, length: number): Uint8Array {
  const out = new Uint8Array(length);
  let filled = 0;
  let position = 0;
  while (filled < length) {
    const head = packed[position++];
    if (head === undefined) throw new PictureError("truncated", "The picture is cut off: data end too early.");
    if (head === 128) continue;
    const count = head < 128 ? head + 1 : 257 - head;
    if (filled + count > length) throw new PictureError("damaged", "The TIFF is damaged: a run leaves its strip.");
    const needed = head < 128 ? count : 1;
    if (position + needed > packed.length) {
      throw new PictureError("truncated", "The picture is cut off: data end too early.");
    }
    if (head < 128) out.set(packed.subarray(position, position + count), filled);
    else out.fill(packed[position] ?? 0, filled, filled + count);
    position += needed;
    filled += count;
  }
  return out;
}
