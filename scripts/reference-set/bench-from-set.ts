import { PATHS } from "../../model/reference/export/set-names.ts";
import { setSource } from "../../web/storage/exchange-set.ts";
import { readBreakFile } from "../../web/storage/read-break-file.ts";
import type { OpenZip } from "./open-set.ts";
import { writeBench } from "./write-bench.ts";

export const carriesRecords = (zip: OpenZip): boolean => zip.entries.has(PATHS.records);

/**
 * The bench file inside a reference set: its breaks with their logs, and the originals, each checked by its hash. An
 * original the set does not carry is named in the bench file.
 *
 * @throws BenchFileError when the set or a break in it is not whole.
 */
export async function benchFromSet(set: Blob, createdAt: string): Promise<Blob> {
  const source = await setSource(set, "set.zip", {});
  const breaks = [];
  for (const one of source.breaks) breaks.push(readBreakFile(one.path, await one.read()));
  const original = async (hash: string): Promise<Uint8Array<ArrayBuffer> | null> => {
    const found = await source.original(hash, "");
    return found === null ? null : new Uint8Array(await found.original.arrayBuffer());
  };
  return writeBench(breaks, original, createdAt);
}
