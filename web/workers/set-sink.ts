import { Uint8ArrayReader, ZipWriter } from "@zip.js/zip.js/index-native.js";
import type { SetSink } from "../../model/reference/export/write-set.ts";
import { sha256Hex } from "../storage/canonical.ts";

/** Zip keeps a date per entry; a fixed one makes the same set give the same file. */
const FIXED_DATE = new Date(1980, 0, 1);

/** Writes a set as a zip, piece by piece. Pictures are stored as they are, texts packed. */
export function setSink(to: WritableStream<Uint8Array>): SetSink & { close(): Promise<void> } {
  const zip = new ZipWriter(to, {
    useWebWorkers: false,
    zip64: true,
    keepOrder: true,
    lastModDate: FIXED_DATE,
    extendedTimestamp: false,
  });
  const add = async (path: string, bytes: Uint8Array<ArrayBuffer>, level: 0 | 6): Promise<string> => {
    const [sha256] = await Promise.all([sha256Hex(bytes), zip.add(path, new Uint8ArrayReader(bytes), { level })]);
    return sha256;
  };
  return {
    addPicture: (path, bytes) => add(path, bytes, 0),
    addText: (path, text) => add(path, new TextEncoder().encode(text), 6),
    close: async () => void (await zip.close()),
  };
}
