import type { FileEntry } from "@zip.js/zip.js/index-native.js";
import { BenchFileError } from "./bench-file-error.ts";
import type { Manifest } from "./bench-file-format.ts";
import {
  BENCH_FILE_FORMAT,
  BENCH_FILE_VERSION,
  HASH_LIST_PATH,
  MANIFEST_PATH,
  manifestSchema,
  namedOriginals,
  originalPath,
  SETTINGS_PATH,
  WITH_SETTINGS_VERSION,
} from "./bench-file-format.ts";
import { sha256Hex } from "./canonical.ts";
import type { LongWork } from "./contract.ts";
import type { PictureKind } from "./picture-kind.ts";
import { looksLikeMarkup, pictureKind } from "./picture-kind.ts";
import { checkVersion, readBreakFile, readJson } from "./read-break-file.ts";
import type { FilesByPath } from "./zip-reading.ts";
import { damaged, isBreak, isOriginal, listFiles, readFile, unexpected } from "./zip-reading.ts";

export interface CheckedOriginal {
  readonly entry: FileEntry;
  readonly hash: string;
  readonly kind: PictureKind;
}

/** A bench file in which everything was found right. Its entries are read again when they are taken over. */
export interface CheckedBenchFile {
  readonly breaks: readonly FileEntry[];
  readonly originals: ReadonlyMap<string, CheckedOriginal>;
  /** What the lab it came from has set up: JSON whose fields nobody has looked at yet; null = none in it. */
  readonly settings: unknown;
  /** SHA-256 each file must still have when it is read again. */
  readonly hashes: ReadonlyMap<string, string>;
}

/**
 * Checks everything a bench file holds, before anything of it is used: names, sizes, hashes, versions, every field of
 * every break and log line, and that photographs are photographs.
 *
 * @throws BenchFileError with the reason.
 */
export async function checkBenchFile(file: Blob, work: LongWork): Promise<CheckedBenchFile> {
  const files = await listFiles(file, work.signal);
  const manifest = await readManifest(files, work.signal);
  const hashes = new Map(manifest.entries.map(({ path, sha256 }) => [path, sha256]));
  checkFilesAgainst(manifest, files, hashes);

  const total = hashes.size;
  let done = 0;
  const next = async (entry: FileEntry): Promise<Uint8Array<ArrayBuffer>> => {
    const bytes = await readFile(entry, work.signal);
    if ((await sha256Hex(bytes)) !== hashes.get(entry.filename)) throw damaged(entry.filename);
    work.onProgress?.({ done: ++done, total, what: "checking" });
    return bytes;
  };

  const breaks: FileEntry[] = [];
  const named = new Set<string>();
  const originals = new Map<string, CheckedOriginal>();
  for (const [path, entry] of files)
    if (isBreak(path)) {
      const { record, log } = readBreakFile(path, await next(entry));
      for (const hash of namedOriginals(record, log).keys()) named.add(hash);
      breaks.push(entry);
    }
  for (const [path, entry] of files)
    if (isOriginal(path)) {
      const bytes = await next(entry);
      const hash = hashes.get(path) ?? "";
      const kind = pictureKind(bytes);
      if (kind === null && looksLikeMarkup(bytes))
        throw new BenchFileError("script-in-file", `${path} is no photograph but text that a browser could run.`);
      if (kind === null || !named.has(hash) || originals.has(hash)) throw unexpected(path);
      if (originalPath(hash, kind.extension) !== path) throw damaged(path);
      originals.set(hash, { entry, hash, kind });
    }
  const carried = files.get(SETTINGS_PATH);
  const settings = carried === undefined ? null : readJson(SETTINGS_PATH, await next(carried));
  const missing = new Set(manifest.missing.map(({ hash }) => hash));
  for (const hash of named)
    if (!originals.has(hash) && !missing.has(hash))
      throw new BenchFileError("missing-entry", `A photograph that a break names is not in it (${hash}).`);
  return { breaks, originals, settings, hashes };
}

async function readManifest(files: FilesByPath, signal: AbortSignal | undefined): Promise<Manifest> {
  const entry = files.get(MANIFEST_PATH);
  if (!entry) throw new BenchFileError("not-a-bench-file", `It has no ${MANIFEST_PATH}.`);
  const bytes = await readFile(entry, signal);
  const content = readJson(MANIFEST_PATH, bytes);
  if (typeof content !== "object" || content === null || !("format" in content) || content.format !== BENCH_FILE_FORMAT)
    throw new BenchFileError("not-a-bench-file", `Its ${MANIFEST_PATH} is of another kind of file.`);
  checkVersion(MANIFEST_PATH, content, [BENCH_FILE_VERSION, WITH_SETTINGS_VERSION]);
  const manifest = manifestSchema.safeParse(content);
  if (!manifest.success)
    throw new BenchFileError("damaged-record", `Its ${MANIFEST_PATH} has a field that is not right.`);
  await checkHashList(files, manifest.data, await sha256Hex(bytes), signal);
  return manifest.data;
}

/** The list for `sha256sum` says the same as the manifest, and adds the manifest itself. */
async function checkHashList(
  files: FilesByPath,
  manifest: Manifest,
  manifestHash: string,
  signal: AbortSignal | undefined,
): Promise<void> {
  const entry = files.get(HASH_LIST_PATH);
  if (!entry) throw new BenchFileError("missing-entry", `It has no ${HASH_LIST_PATH}.`);
  const list = new TextDecoder().decode(await readFile(entry, signal));
  const expected = [...manifest.entries, { path: MANIFEST_PATH, sha256: manifestHash }];
  if (list !== expected.map(({ path, sha256 }) => `${sha256}  ${path}\n`).join("")) throw damaged(HASH_LIST_PATH);
}

/** Every file is in the manifest once, every line of the manifest is a file, and the sizes and counts agree. */
function checkFilesAgainst(manifest: Manifest, files: FilesByPath, hashes: ReadonlyMap<string, string>): void {
  for (const { path, bytes } of manifest.entries) {
    const entry = files.get(path);
    if (!entry) throw new BenchFileError("missing-entry", `Its manifest names ${path}, which is not in it.`);
    if (entry.uncompressedSize !== bytes) throw damaged(path);
  }
  for (const path of files.keys())
    if (path !== MANIFEST_PATH && path !== HASH_LIST_PATH && !hashes.has(path)) throw unexpected(path);
  const paths = [...hashes.keys()];
  const { breaks, originals } = manifest.counts;
  if (
    hashes.has(SETTINGS_PATH) !== (manifest.version === WITH_SETTINGS_VERSION) ||
    hashes.size !== manifest.entries.length ||
    hashes.has(MANIFEST_PATH) ||
    hashes.has(HASH_LIST_PATH) ||
    paths.filter(isBreak).length !== breaks ||
    paths.filter(isOriginal).length !== originals
  )
    throw new BenchFileError("damaged-record", "Its manifest contradicts itself.");
}
