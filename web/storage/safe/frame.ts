/**
 * A frame of the journal: magic (4 bytes), length of the content (4), CRC-32 (4), content; numbers little-endian.
 * The checksum covers the length too, so that a flipped length is noticed.
 */
export const MAGIC = Uint8Array.of(0x45, 0x50, 0x4a, 0x31);
export const HEAD_BYTES = 12;

const TABLE = Uint32Array.from({ length: 256 }, (_, n) => {
  let value = n;
  for (let bit = 0; bit < 8; bit++) value = value & 1 ? (value >>> 1) ^ 0xedb88320 : value >>> 1;
  return value;
});

/**
 * CRC-32 of bytes as zip and PNG use it.
 *
 * @param before – checksum of what came before these bytes.
 * @source PNG Specification (Third Edition), W3C Recommendation, annex D: polynomial and order.
 */
export function crc32(bytes: Uint8Array, before = 0): number {
  let crc = ~before >>> 0;
  for (const byte of bytes) crc = (crc >>> 8) ^ (TABLE[(crc ^ byte) & 0xff] ?? 0);
  return ~crc >>> 0;
}

/** Where a frame lies and what its checksum is: enough to recognise it again. */
export interface FramePlace {
  /** Offset of its magic in the journal, bytes. */
  readonly start: number;
  /** Offset after its last byte. */
  readonly end: number;
  readonly crc: number;
}

/** A content as a frame. */
export function frameOf(content: Uint8Array): { readonly bytes: Uint8Array<ArrayBuffer>; readonly crc: number } {
  const bytes = new Uint8Array(HEAD_BYTES + content.byteLength);
  const view = new DataView(bytes.buffer);
  bytes.set(MAGIC);
  view.setUint32(4, content.byteLength, true);
  const crc = crc32(content, crc32(bytes.subarray(4, 8)));
  view.setUint32(8, crc, true);
  bytes.set(content, HEAD_BYTES);
  return { bytes, crc };
}

/** What of a file the reading of frames needs; both offsets in bytes. */
export interface FrameSource {
  readonly size: number;
  read(start: number, end: number): Uint8Array;
}

export interface ReadFrame extends FramePlace {
  readonly content: Uint8Array;
}

/**
 * The frame that starts exactly here.
 *
 * @returns null when there is none; "damaged" when one of that length lies here whole but its checksum is wrong;
 * "torn" when the file ends before it does.
 */
export function frameAt(source: FrameSource, start: number): ReadFrame | "torn" | "damaged" | null {
  if (start + HEAD_BYTES > source.size) return "torn";
  const head = source.read(start, start + HEAD_BYTES);
  if (!MAGIC.every((byte, i) => head[i] === byte)) return null;
  const view = new DataView(head.buffer, head.byteOffset, HEAD_BYTES);
  const end = start + HEAD_BYTES + view.getUint32(4, true);
  if (end > source.size) return "torn";
  const crc = view.getUint32(8, true);
  const content = source.read(start + HEAD_BYTES, end);
  return crc32(content, crc32(head.subarray(4, 8))) === crc ? { start, end, crc, content } : "damaged";
}

/** Bytes looked at at a time when the next frame is sought. */
const WINDOW = 1 << 20;

/** The first whole frame that starts at or after an offset; null when there is none. */
export function nextFrame(source: FrameSource, from: number): ReadFrame | null {
  for (let at = from; at + HEAD_BYTES <= source.size; at += WINDOW) {
    const window = source.read(at, Math.min(source.size, at + WINDOW + MAGIC.length - 1));
    for (let i = window.indexOf(MAGIC[0] ?? 0); i >= 0 && i < WINDOW; i = window.indexOf(MAGIC[0] ?? 0, i + 1)) {
      if (!MAGIC.every((byte, n) => window[i + n] === byte)) continue;
      const frame = frameAt(source, at + i);
      if (typeof frame === "object" && frame !== null) return frame;
    }
  }
  return null;
}

export interface Scan {
  readonly frames: readonly ReadFrame[];
  /** Places between whole frames that no longer are what was written. */
  readonly damaged: number;
  /** Where to go on; the size of the file when everything was read. */
  readonly next: number;
  /** Where a half-written end begins, null when the end is whole. */
  readonly tornAt: number | null;
}

/**
 * Reads frames from an offset on until about `budget` bytes of content are together. What does not verify is stepped
 * over, and reading goes on at the next frame that does.
 */
export function scanFrames(source: FrameSource, from: number, budget: number): Scan {
  const frames: ReadFrame[] = [];
  let damaged = 0;
  let bytes = 0;
  let at = from;
  while (at < source.size && bytes < budget) {
    const here = frameAt(source, at);
    const frame = typeof here === "object" && here !== null ? here : nextFrame(source, at + 1);
    if (frame === null) {
      if (here === "torn") return { frames, damaged, next: source.size, tornAt: at };
      return { frames, damaged: damaged + 1, next: source.size, tornAt: null };
    }
    if (frame !== here) damaged++;
    frames.push(frame);
    bytes += frame.end - frame.start;
    at = frame.end;
  }
  return { frames, damaged, next: at, tornAt: null };
}
