import { PictureError } from "../../model/picture/picture-error.ts";

const START = 0xfd2fb528;
/** Bit of the frame header descriptor: one segment, no window named. */
const SINGLE = 0x20;

const broken = () => new PictureError("damaged", "The TIFF is damaged: its packed data make no sense.");

/**
 * Unpacks Zstandard data block by block and stops at the first byte too many, so that a bomb never grows. The library is
 * loaded for this rare kind alone.
 * @returns exactly `length` bytes.
 * @throws PictureError truncated, damaged.
 */
export async function unpackZstd(packed: Uint8Array, length: number): Promise<Uint8Array> {
  const frame = withSmallWindow(packed, length);
  const { Decompress } = await import("fzstd");
  const out = new Uint8Array(length);
  let filled = 0;
  const stream = new Decompress((piece) => {
    if (filled + piece.length > length) throw broken();
    out.set(piece, filled);
    filled += piece.length;
  });
  try {
    stream.push(frame, true);
  } catch (error) {
    if (error instanceof PictureError) throw error;
    // What follows the last needed byte is of no interest.
    if (filled < length) throw new PictureError("truncated", "The picture is cut off or damaged inside.");
  }
  if (filled < length) throw new PictureError("truncated", "The picture is cut off: data end too early.");
  return out;
}

/**
 * The library allocates, and moves with every block, whatever window the frame asks for: eight megabytes even for a strip of
 * one row. The window never needs to be larger than what is unpacked.
 * @returns the frame, with a smaller window named in its head where it names a larger one.
 * @source RFC 8878, 3.1.1.1 (frame header).
 */
function withSmallWindow(packed: Uint8Array, length: number): Uint8Array {
  const view = new DataView(packed.buffer, packed.byteOffset, packed.byteLength);
  if (view.byteLength < 6) throw new PictureError("truncated", "The picture is cut off: data end too early.");
  if (view.getUint32(0, true) !== START) throw broken();
  const descriptor = view.getUint8(4);
  if ((descriptor & SINGLE) === 0) {
    const needed = Math.max(0, Math.ceil(Math.log2(length)) - 10);
    if (view.getUint8(5) >> 3 <= needed) return packed;
    const frame = packed.slice();
    frame[5] = needed << 3;
    return frame;
  }
  // A single segment: the window is the content, whose size is stated.
  const at = 5 + ([0, 1, 2, 4][descriptor & 3] ?? 0);
  const sizeBytes = [1, 2, 4, 8][descriptor >> 6] ?? 1;
  if (view.byteLength < at + sizeBytes)
    throw new PictureError("truncated", "The picture is cut off: data end too early.");
  let size = sizeBytes === 2 ? 256 : 0;
  for (let i = 0; i < sizeBytes; i++) size += view.getUint8(at + i) * 256 ** i;
  if (size > length) throw broken();
  return packed;
}
