import { stopIfCancelled } from "./bench-file-error.ts";
import { breakFile, breakPath, namedOriginals } from "./bench-file-format.ts";
import { canonicalJson, sha256Hex } from "./canonical.ts";
import type { BenchStore, LongWork } from "./contract.ts";
import { type BenchName, FOLDER_FORMAT, type FolderList, listSchema } from "./exchange-folder.ts";
import { folderIn, inWords, jsonOf, put, textOf } from "./folder-files.ts";
import { pictureKind } from "./picture-kind.ts";

export interface LaidDown {
  readonly breaks: number;
  readonly originals: number;
}

/**
 * Lays the breaks of this bench down in its folder: photographs that are not there, breaks that have changed since, and
 * the list last. Cut off anywhere, it goes on from there the next time.
 *
 * @param at – ISO 8601.
 * @throws FolderError; StoreError; BenchFileError cancelled.
 */
export async function layDown(
  root: FileSystemDirectoryHandle,
  own: BenchName,
  store: BenchStore,
  at: string,
  work: LongWork,
): Promise<LaidDown> {
  return inWords(async () => {
    const folder = await folderIn(await folderIn(root, "benches", true), folderName(own), true);
    const breaks = await folderIn(folder, "breaks", true);
    const originals = await folderIn(root, "originals", true);
    const before = listSchema.safeParse(jsonOf((await textOf(folder, "bench.json")) ?? "null"));
    const known = new Map(before.success ? before.data.breaks.map((one) => [one.path, one]) : []);
    const there = await namesIn(originals);
    const list: FolderList["breaks"] = [];
    let written = 0;
    let pictures = 0;
    const summaries = [...(await store.summaries())].sort((a, b) => (a.id < b.id ? -1 : 1));
    for (const [i, { id, revision, suggested }] of summaries.entries()) {
      stopIfCancelled(work.signal);
      const path = breakPath(id);
      const same = known.get(path);
      if (same !== undefined && same.revision === revision) list.push(same);
      else {
        const stored = await store.load(id);
        if (stored === null) continue;
        const { record, log } = stored;
        for (const { hash } of namedOriginals(record, log).values()) {
          stopIfCancelled(work.signal);
          if (there.has(hash)) continue;
          if (await layOriginal(originals, store, hash)) pictures++;
          there.add(hash);
        }
        const bytes = new TextEncoder().encode(canonicalJson(breakFile(record, log, suggested)));
        await put(breaks, path.slice("breaks/".length), bytes);
        list.push({ path, sha256: await sha256Hex(bytes), revision: record.revision });
        written++;
      }
      work.onProgress?.({ done: i + 1, total: summaries.length, what: "breaks laid down" });
    }
    if (written > 0 || !before.success || before.data.bench.name !== own.name) {
      const content: FolderList = { format: FOLDER_FORMAT, version: 1, bench: { ...own }, at, breaks: list };
      await put(folder, "bench.json", new TextEncoder().encode(canonicalJson(content)));
    }
    return { breaks: written, originals: pictures };
  });
}

/** A name that every file system takes and that says whose folder it is. */
const folderName = ({ id, name }: BenchName): string =>
  `${
    name
      .normalize("NFKD")
      .replace(/[^A-Za-z0-9]+/g, "-")
      .replace(/^-+|-+$/g, "")
      .slice(0, 40) || "bench"
  }-${id.replace(/[^A-Za-z0-9-]/g, "")}`;

/** @returns whether it was written: an original that is damaged here is not handed on. */
async function layOriginal(folder: FileSystemDirectoryHandle, store: BenchStore, hash: string): Promise<boolean> {
  const blob = await store.original(hash);
  if (blob === null) return false;
  const bytes = new Uint8Array(await blob.arrayBuffer());
  const kind = pictureKind(bytes);
  if (kind === null || (await sha256Hex(bytes)) !== hash) return false;
  await put(folder, `${hash}.${kind.extension}`, bytes);
  return true;
}

async function namesIn(folder: FileSystemDirectoryHandle): Promise<Set<string>> {
  const names = new Set<string>();
  for await (const [name, handle] of folder.entries()) {
    const [, hash] = /^([0-9a-f]{64})\.\w+$/.exec(name) ?? [];
    // A file that was begun and never closed is empty: it does not count.
    if (hash !== undefined && handle.kind === "file" && (await handle.getFile()).size > 0) names.add(hash);
  }
  return names;
}
