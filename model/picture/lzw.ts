import { PictureError } from "./picture-error.ts";

const CLEAR = 256;
const END = 257;

/**
 * Unpacks one strip or tile of LZW data: codes of 9–12 bits, highest bit first, one code earlier than full.
 * @returns exactly `length` bytes; never more, whatever the data ask for.
 * @throws PictureError truncated, damaged.
 * @source TIFF 6.0 (1992), section 13.
 */
export function unpackLzw(packed: Uint8Array, length: number): Uint8Array {
  const out = new Uint8Array(length);
  // Each code is a stretch of the output already written: where it starts and how long it is.
  const starts = new Int32Array(4097);
  const lengths = new Int32Array(4097);
  let filled = 0;
  let next = 258;
  let width = 9;
  let held = 0;
  let bits = 0;
  let before = -1;
  let position = 0;
  while (filled < length) {
    while (bits < width) {
      if (position >= packed.length) throw new PictureError("truncated", "The picture is cut off: data end too early.");
      held = ((held << 8) | (packed[position++] ?? 0)) & 0xfffff;
      bits += 8;
    }
    const code = (held >> (bits - width)) & ((1 << width) - 1);
    bits -= width;
    if (code === END) throw new PictureError("truncated", "The picture is cut off: data end too early.");
    if (code === CLEAR) {
      next = 258;
      width = 9;
      before = -1;
      continue;
    }
    const start = filled;
    if (code < 256) {
      out[filled++] = code;
    } else if (before >= 0 && code < next) {
      filled = copy(out, starts[code] ?? 0, lengths[code] ?? 0, filled);
    } else if (before >= 0 && code === next && next < 4096) {
      // The code being made right now: what came before and its own first byte again.
      filled = copy(out, before, start - before + 1, filled);
    } else {
      throw new PictureError("damaged", "The TIFF is damaged: its packed data make no sense.");
    }
    if (before >= 0 && next < 4096) {
      starts[next] = before;
      lengths[next] = start - before + 1;
      next++;
      if (next === (1 << width) - 1 && width < 12) width++;
    }
    before = start;
  }
  return out;
}

/** Copies within the output, forward, so that a stretch may repeat itself; stops at the end of the output. */
function copy(out: Uint8Array, from: number, count: number, to: number): number {
  const end = Math.min(out.length, to + count);
  let source = from;
  let at = to;
  while (at < end) out[at++] = out[source++] ?? 0;
  return end;
}
