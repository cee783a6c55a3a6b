import type { ByteReader } from "../../model/picture/byte-reader.ts";

const BLOCK = 1 << 18;

/** Reads a file from disk in blocks, keeping the last one: header walkers ask for many small neighbours. */
export function readerOfBlob(blob: Blob): ByteReader {
  let start = 0;
  let block = new Uint8Array(0);
  return {
    size: blob.size,
    async read(offset, length) {
      if (offset >= blob.size || length <= 0) return new Uint8Array(0);
      const end = Math.min(blob.size, offset + length);
      if (offset < start || end > start + block.length) {
        start = offset;
        block = new Uint8Array(await blob.slice(offset, Math.max(end, offset + BLOCK)).arrayBuffer());
      }
      return block.subarray(offset - start, end - start);
    },
  };
}
