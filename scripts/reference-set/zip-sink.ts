import { createHash } from "node:crypto";
import { createWriteStream } from "node:fs";
import { rename, rm } from "node:fs/promises";
import { Writable } from "node:stream";
import { Uint8ArrayReader, ZipWriter } from "@zip.js/zip.js/index-native.js";
import type { SetSink } from "../../model/reference/export/write-set.ts";

/** Zip keeps a date per entry; a fixed one makes the same set give the same file. */
const FIXED_DATE = new Date(1980, 0, 1);

export interface ZipSink extends SetSink {
  /** The file gets its name only now: under that name there never lies half a set. */
  close(): Promise<void>;
  abandon(): Promise<void>;
}

/** Writes a zip piece by piece. Pictures are stored as they are, texts packed. */
export function zipSink(path: string): ZipSink {
  const part = `${path}.part`;
  const file = createWriteStream(part);
  const failed = new Promise<never>((_, reject) => file.on("error", reject));
  failed.catch(() => undefined); // It is awaited with every file; an early failure must not end the process.
  const zip = new ZipWriter(Writable.toWeb(file) as WritableStream<Uint8Array>, {
    useWebWorkers: false,
    zip64: true,
    keepOrder: true,
    lastModDate: FIXED_DATE,
    extendedTimestamp: false,
  });
  const add = async (name: string, bytes: Uint8Array, level: 0 | 6): Promise<string> => {
    await Promise.race([zip.add(name, new Uint8ArrayReader(bytes), { level }), failed]);
    return createHash("sha256").update(bytes).digest("hex");
  };
  return {
    addPicture: (name, bytes) => add(name, bytes, 0),
    addText: (name, text) => add(name, new TextEncoder().encode(text), 6),
    async close() {
      await Promise.race([zip.close(), failed]);
      await rename(part, path);
    },
    async abandon() {
      file.destroy();
      await rm(part, { force: true });
    },
  };
}
