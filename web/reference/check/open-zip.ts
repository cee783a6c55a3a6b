import { BlobReader, type FileEntry, ZipReader } from "@zip.js/zip.js/index-native.js";

/** Files of a zip by path; nothing is unpacked yet. Names are as they are written, harmful ones too. */
export interface OpenZip {
  readonly entries: ReadonlyMap<string, FileEntry>;
  /** Paths that occur more than once. */
  readonly twice: readonly string[];
  read(path: string): Promise<Uint8Array<ArrayBuffer>>;
  text(path: string): Promise<string>;
}

/** Largest file of a set that is read into memory, bytes. */
const LARGEST = 512 * 1024 * 1024;

export class NoZip extends Error {}

/** @throws NoZip when it is no zip. */
export async function openBlob(blob: Blob): Promise<OpenZip> {
  const reader = new ZipReader(new BlobReader(blob), { useWebWorkers: false });
  const entries = new Map<string, FileEntry>();
  const twice: string[] = [];
  try {
    for await (const entry of reader.getEntriesGenerator({ filenameValidation: "tolerant" })) {
      if (entry.directory) continue;
      if (entries.has(entry.filename)) twice.push(entry.filename);
      entries.set(entry.filename, entry);
    }
  } catch {
    throw new NoZip("it is no whole zip file");
  }
  const read = async (path: string): Promise<Uint8Array<ArrayBuffer>> => {
    const entry = entries.get(path);
    if (entry === undefined) throw new NoZip(`${path} is not in it`);
    if (entry.uncompressedSize > LARGEST) throw new NoZip(`${path} is larger than ${LARGEST / 1024 ** 2} MiB`);
    const bytes = new Uint8Array(entry.uncompressedSize);
    let filled = 0;
    const sink = new WritableStream<Uint8Array>({
      write(chunk) {
        if (filled + chunk.length > bytes.length) throw new NoZip(`${path} unpacks to more than it says`);
        bytes.set(chunk, filled);
        filled += chunk.length;
      },
    });
    try {
      await entry.getData(sink, { useWebWorkers: false, checkCrc32: true });
    } catch {
      throw new NoZip(`${path} cannot be unpacked: it is damaged`);
    }
    return bytes;
  };
  return { entries, twice, read, text: async (path) => new TextDecoder().decode(await read(path)) };
}
