import "../../model/break/jitless.ts";
import * as z from "zod";
import { isBadPath, readManifest } from "../../model/reference/check/check-paths.ts";
import { Faults } from "../../model/reference/check/fault.ts";
import { PATHS } from "../../model/reference/export/set-names.ts";
import { RECORDS_FORMAT } from "../../model/reference/export/write-set.ts";
import { BenchFileError } from "./bench-file-error.ts";
import { breakPath } from "./bench-file-format.ts";
import { sha256Hex } from "./canonical.ts";
import type { LongWork } from "./contract.ts";
import type { BreakSource } from "./exchange-source.ts";
import { looksLikeMarkup, pictureKind } from "./picture-kind.ts";
import { readJson } from "./read-break-file.ts";
import { damaged, type FilesByPath, listFiles, readFile, unexpected, type ZipPlan } from "./zip-reading.ts";

const SET: ZipPlan = {
  belongs: (path) => !isBadPath(path) && /\.(json|csv|md|txt|jpe?g|png|webp|bmp|tiff?)$/i.test(path),
  isPicture: (path) => /\.(jpe?g|png|webp|bmp|tiff?)$/i.test(path),
};

const sha256 = z.string().regex(/^[0-9a-f]{64}$/);
const indexSchema = z.looseObject({
  format: z.literal(RECORDS_FORMAT),
  breaks: z.array(z.looseObject({ path: z.string().max(1024), breakId: z.string().min(1).max(200) })),
  originals: z.array(z.looseObject({ path: z.string().max(1024), hash: sha256 })),
});
const text = z.string().max(500).catch("");
const descriptionSchema = z.looseObject({
  name: text,
  version: text,
  license: text,
  creator: z.looseObject({ name: text }).catch({ name: "" }),
  distribution: z.array(z.looseObject({ contentUrl: text, sha256: text })).catch([]),
});

/**
 * A reference set as a source of breaks. The description vouches for the list of hashes, the list for every file, and
 * all of them are compared before anything is handed out.
 *
 * @throws BenchFileError: not-a-bench-file (no set, or one without records), hash-mismatch, missing-entry,
 * unexpected-entry and what else a zip can be refused for.
 */
export async function setSource(file: Blob, name: string, work: LongWork): Promise<BreakSource> {
  const files = await listFiles(file, work.signal, SET);
  const listed = await checkHashes(files, work);
  const description = descriptionSchema.parse(
    readJson(PATHS.croissant, await read(files, PATHS.croissant, work.signal)),
  );
  const manifestHash = await sha256Hex(await read(files, PATHS.manifest, work.signal));
  const vouched = description.distribution.find(({ contentUrl }) => contentUrl === PATHS.manifest);
  if (vouched !== undefined && vouched.sha256 !== manifestHash) throw damaged(PATHS.manifest);
  if (!files.has(PATHS.records))
    throw new BenchFileError(
      "not-a-bench-file",
      "It carries no records of breaks, only pictures and marks: bring it in under “Marks of pictures”.",
    );
  const index = indexSchema.safeParse(readJson(PATHS.records, await read(files, PATHS.records, work.signal)));
  if (!index.success) throw new BenchFileError("damaged-record", `${PATHS.records} is no list of records.`);
  const places = new Map(index.data.originals.map(({ hash, path }) => [hash, path]));
  const again = async (path: string, signal?: AbortSignal): Promise<Uint8Array<ArrayBuffer>> => {
    const bytes = await read(files, path, signal);
    if ((await sha256Hex(bytes)) !== listed.get(path)) throw damaged(path);
    return bytes;
  };
  const orNull = (words: string): string | null => (words === "" ? null : words);
  return {
    says: {
      kind: "set",
      name: description.name === "" ? name : description.name,
      version: orNull(description.version),
      licence: orNull(description.license),
      creator: orNull(description.creator.name),
      sha256: manifestHash,
    },
    coded: true,
    breaks: index.data.breaks.map(({ path, breakId }) => ({
      path: breakPath(breakId),
      read: (signal) => again(path, signal),
    })),
    settings: null,
    lacking: [],
    async original(hash, fileName, signal) {
      const path = places.get(hash);
      if (path === undefined) return null;
      const bytes = await again(path, signal);
      const kind = pictureKind(bytes);
      if (kind === null || looksLikeMarkup(bytes) || (await sha256Hex(bytes)) !== hash) return null;
      return { hash, fileName, mediaType: kind.mediaType, original: new Blob([bytes], { type: kind.mediaType }) };
    },
  };
}

async function read(files: FilesByPath, path: string, signal?: AbortSignal): Promise<Uint8Array<ArrayBuffer>> {
  const entry = files.get(path);
  if (entry === undefined) throw new BenchFileError("missing-entry", `It has no ${path}.`);
  return readFile(entry, signal, true);
}

/** @returns hash of each file of the list, all of them compared. */
async function checkHashes(files: FilesByPath, work: LongWork): Promise<ReadonlyMap<string, string>> {
  if (!files.has(PATHS.manifest) || !files.has(PATHS.croissant))
    throw new BenchFileError("not-a-bench-file", `It is no reference set: it has no ${PATHS.manifest}.`);
  const faults = new Faults();
  const list = new TextDecoder().decode(await read(files, PATHS.manifest, work.signal));
  const listed = readManifest(list, PATHS.manifest, faults);
  const [fault] = faults.list;
  if (fault !== undefined) throw new BenchFileError("hash-mismatch", `${fault.where}: ${fault.says}`);
  for (const path of files.keys())
    if (path !== PATHS.manifest && path !== PATHS.croissant && !listed.has(path)) throw unexpected(path);
  let done = 0;
  for (const [path, hash] of listed) {
    const entry = files.get(path);
    if (entry === undefined) throw new BenchFileError("missing-entry", `Its list of hashes names ${path}.`);
    if ((await sha256Hex(await readFile(entry, work.signal))) !== hash) throw damaged(path);
    work.onProgress?.({ done: ++done, total: listed.size, what: "files checked" });
  }
  return listed;
}
