import { createWriteStream } from "node:fs";
import { rename, rm } from "node:fs/promises";
import { Writable } from "node:stream";
import type { SetSink } from "../../model/reference/export/write-set.ts";
import { setSink } from "../../web/workers/set-sink.ts";

export interface ZipSink extends SetSink {
  /** The file gets its name only now: under that name there never lies half a set. */
  close(): Promise<void>;
  abandon(): Promise<void>;
}

/** Writes a set into a file, piece by piece, as the product does. */
export function zipSink(path: string): ZipSink {
  const part = `${path}.part`;
  const file = createWriteStream(part);
  const failed = new Promise<never>((_, reject) => file.on("error", reject));
  failed.catch(() => undefined); // It is awaited with every file; an early failure must not end the process.
  const sink = setSink(Writable.toWeb(file) as WritableStream<Uint8Array>);
  const orFailed = <T>(work: Promise<T>): Promise<T> => Promise.race([work, failed]);
  return {
    addPicture: (name, bytes) => orFailed(sink.addPicture(name, bytes)),
    addText: (name, text) => orFailed(sink.addText(name, text)),
    async close() {
      await orFailed(sink.close());
      await rename(part, path);
    },
    async abandon() {
      file.destroy();
      await rm(part, { force: true });
    },
  };
}
