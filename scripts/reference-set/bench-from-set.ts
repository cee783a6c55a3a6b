import { createHash } from "node:crypto";
import { PATHS } from "../../model/reference/export/set-names.ts";
import { RECORDS_FORMAT } from "../../model/reference/export/write-set.ts";
import { breakPath } from "../../web/storage/bench-file-format.ts";
import { readBreakFile } from "../../web/storage/read-break-file.ts";
import { NoZip, type OpenZip } from "./open-set.ts";
import { writeBench } from "./write-bench.ts";

interface RecordsIndex {
  readonly format: string;
  readonly breaks: readonly { readonly path: string; readonly breakId: string }[];
  readonly originals: readonly { readonly hash: string; readonly path: string }[];
}

export const carriesRecords = (zip: OpenZip): boolean => zip.entries.has(PATHS.records);

/**
 * The bench file inside a reference set: its breaks with their logs, and the originals, each checked by its hash. An
 * original the set does not carry is named in the bench file.
 *
 * @throws NoZip when the list of records is none; BenchFileError when a break is not whole.
 */
export async function benchFromSet(zip: OpenZip, createdAt: string): Promise<Blob> {
  const index = JSON.parse(await zip.text(PATHS.records)) as RecordsIndex;
  if (index.format !== RECORDS_FORMAT) throw new NoZip(`${PATHS.records} is no list of records`);
  const breaks = [];
  for (const { path, breakId } of index.breaks) breaks.push(readBreakFile(breakPath(breakId), await zip.read(path)));
  const places = new Map(index.originals.map(({ hash, path }) => [hash, path]));
  const original = async (hash: string) => {
    const path = places.get(hash);
    if (path === undefined) return null;
    const bytes = await zip.read(path);
    return createHash("sha256").update(bytes).digest("hex") === hash ? bytes : null;
  };
  return writeBench(breaks, original, createdAt);
}
