import { BlobReader, TextWriter, ZipReader } from "@zip.js/zip.js/index-native.js";

/** The texts of a zip by path; pictures and other bytes are read as text too, only to be searched and compared. */
export async function unzipped(file: Blob): Promise<ReadonlyMap<string, string>> {
  const reader = new ZipReader(new BlobReader(file), { useWebWorkers: false });
  const texts = new Map<string, string>();
  for (const entry of await reader.getEntries())
    if (!entry.directory) texts.set(entry.filename, await entry.getData(new TextWriter(), { useWebWorkers: false }));
  await reader.close();
  return texts;
}
