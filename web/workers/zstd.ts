import { PictureError } from "../../model/picture/picture-error.ts";

/** The window a frame may ask for: what its writers use at their highest ordinary level. Our own choice, no source. */
const MOST_WINDOW = 1 << 27;
const START = 0xfd2fb528;

const broken = () => new PictureError("damaged", "The TIFF is damaged: its packed data make no sense.");

/**
 * Unpacks Zstandard data block by block and stops at the first byte too many, so that a bomb never grows. The library is
 * loaded for this rare kind alone.
 * @returns exactly `length` bytes.
 * @throws PictureError truncated, damaged.
 */
export async function unpackZstd(packed: Uint8Array, length: number): Promise<Uint8Array> {
  checkWindow(packed);
  const { Decompress } = await import("fzstd");
  const out = new Uint8Array(length);
  let filled = 0;
  const stream = new Decompress((piece) => {
    if (filled + piece.length > length) throw broken();
    out.set(piece, filled);
    filled += piece.length;
  });
  try {
    stream.push(packed, true);
  } catch (error) {
    if (error instanceof PictureError) throw error;
    // What follows the last needed byte is of no interest.
    if (filled < length) throw new PictureError("truncated", "The picture is cut off or damaged inside.");
  }
  if (filled < length) throw new PictureError("truncated", "The picture is cut off: data end too early.");
  return out;
}

/**
 * The library allocates whatever window the frame asks for.
 * @source RFC 8878, 3.1.1.1 (frame header).
 */
function checkWindow(packed: Uint8Array): void {
  const view = new DataView(packed.buffer, packed.byteOffset, packed.byteLength);
  if (view.byteLength < 6) throw new PictureError("truncated", "The picture is cut off.");
  if (view.getUint32(0, true) !== START) throw broken();
  const descriptor = view.getUint8(4);
  const single = (descriptor & 0x20) !== 0;
  if (!single) {
    const byte = view.getUint8(5);
    const base = 2 ** (10 + (byte >> 3));
    if (base + (base / 8) * (byte & 7) > MOST_WINDOW) throw broken();
    return;
  }
  // A single segment: the window is the content.
  const at = 5 + ([0, 1, 2, 4][descriptor & 3] ?? 0);
  const sizeBytes = [1, 2, 4, 8][descriptor >> 6] ?? 1;
  if (view.byteLength < at + sizeBytes) throw new PictureError("truncated", "The picture is cut off.");
  let size = sizeBytes === 2 ? 256 : 0;
  for (let i = 0; i < sizeBytes; i++) size += view.getUint8(at + i) * 256 ** i;
  if (size > MOST_WINDOW) throw broken();
}
