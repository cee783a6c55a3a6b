/** Reads a file piece by piece, so that a header is judged before the rest is touched. */
export interface ByteReader {
  /** Length of the whole file, bytes. */
  readonly size: number;
  /** @returns the bytes from `offset`; fewer than `length`, even none, where the file ends. */
  read(offset: number, length: number): Promise<Uint8Array>;
}

/** @returns a reader over bytes already in memory. */
export function readerOf(bytes: Uint8Array): ByteReader {
  return {
    size: bytes.length,
    read: (offset, length) =>
      Promise.resolve(offset >= bytes.length ? bytes.subarray(0, 0) : bytes.subarray(offset, offset + length)),
  };
}

/** A stretch of a file, bytes. */
export interface ByteRange {
  readonly offset: number;
  readonly length: number;
}

/** @returns the window of `reader` as a reader of its own; reads never leave it. */
export function readerWithin(reader: ByteReader, range: ByteRange): ByteReader {
  const size = Math.max(0, Math.min(range.length, reader.size - range.offset));
  return {
    size,
    read: (offset, length) => reader.read(range.offset + offset, Math.max(0, Math.min(length, size - offset))),
  };
}

/** @returns bytes as text, one character per byte. */
export function latin(bytes: Uint8Array): string {
  let text = "";
  for (const byte of bytes) text += String.fromCharCode(byte);
  return text;
}

/** @returns a view with the byte order methods of DataView over exactly these bytes. */
export function viewOf(bytes: Uint8Array): DataView {
  return new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
}
