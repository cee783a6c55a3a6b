import { Uint8ArrayReader, ZipWriter } from "@zip.js/zip.js/index-native.js";
import { BenchFileError, stopIfCancelled } from "./bench-file-error.ts";
import type { Manifest } from "./bench-file-format.ts";
import {
  BENCH_FILE_FORMAT,
  BENCH_FILE_VERSION,
  breakFile,
  breakPath,
  HASH_LIST_PATH,
  MANIFEST_PATH,
  namedOriginals,
  originalPath,
  SETTINGS_PATH,
  WITH_SETTINGS_VERSION,
} from "./bench-file-format.ts";
import { canonicalJson, sha256Hex } from "./canonical.ts";
import type { BenchExportReport, LongWork, MissingOriginal } from "./contract.ts";
import type { BenchDatabase } from "./database.ts";
import { pictureKind } from "./picture-kind.ts";
import { storedEntries } from "./stored.ts";

/** Zip keeps a date per entry; a fixed one makes the same bench give the same file. */
const FIXED_DATE = new Date(1980, 0, 1);

/** Gives the bytes of an original, wherever they lie; null when there are none under this hash. */
export type OriginalSource = (hash: string) => Promise<Blob | null>;

/**
 * Writes breaks, their logs and originals as one zip. Holds one break or one photograph in memory at a time.
 * Every original is hashed again on its way out; one that is not what it was is left out and named.
 *
 * @param breakIds – null for all.
 * @param createdAt – goes into the manifest.
 * @param settings – what the lab has set up, as plain JSON; null = the file carries breaks alone.
 * @throws BenchFileError cancelled, missing-entry; or what `to` throws. `to` is aborted then.
 */
export async function exportBenchFile(
  db: BenchDatabase,
  originalOf: OriginalSource,
  breakIds: readonly string[] | null,
  to: WritableStream<Uint8Array>,
  createdAt: string,
  settings: unknown,
  work: LongWork,
): Promise<BenchExportReport> {
  const stop = new AbortController();
  const { readable, writable } = new TransformStream<Uint8Array, Uint8Array>();
  const arrived = readable.pipeTo(to, { signal: stop.signal }).then(
    () => null,
    (failure: unknown) => (failure instanceof Error ? failure : new Error("The file could not be written.")),
  );
  const zip = new ZipWriter(writable, {
    useWebWorkers: false,
    zip64: true,
    keepOrder: true,
    lastModDate: FIXED_DATE,
    extendedTimestamp: false,
  });
  const entries: Manifest["entries"] = [];
  const add = async (path: string, bytes: Uint8Array<ArrayBuffer>, level: 0 | 6): Promise<void> => {
    stopIfCancelled(work.signal);
    const sha256 = await sha256Hex(bytes);
    await zip.add(path, new Uint8ArrayReader(bytes), { level });
    entries.push({ path, bytes: bytes.byteLength, sha256 });
  };
  try {
    const ids = [...new Set(breakIds ?? (await db.getAllKeys("breaks")))].sort();
    const wanted = new Map<string, { readonly number: string; readonly fileName: string }>();
    for (const [i, id] of ids.entries()) {
      const { record, log, suggested } = await readBreak(db, id);
      for (const { hash, fileName } of namedOriginals(record, log).values())
        if (!wanted.has(hash)) wanted.set(hash, { number: record.number, fileName });
      await add(breakPath(id), utf8(canonicalJson(breakFile(record, log, suggested))), 6);
      work.onProgress?.({ done: i + 1, total: ids.length, what: "breaks" });
    }
    const missing: MissingOriginal[] = [];
    const hashes = [...wanted.entries()].sort(([a], [b]) => (a < b ? -1 : 1));
    for (const [i, [hash, named]] of hashes.entries()) {
      const original = await readOriginal(originalOf, hash);
      if ("why" in original) missing.push({ ...named, hash, why: original.why });
      else await add(originalPath(hash, original.extension), original.bytes, 0);
      work.onProgress?.({ done: i + 1, total: hashes.length, what: "photographs" });
    }
    if (settings !== null) await add(SETTINGS_PATH, utf8(canonicalJson(settings)), 6);
    const originals = hashes.length - missing.length;
    const manifest: Manifest = {
      format: BENCH_FILE_FORMAT,
      version: settings === null ? BENCH_FILE_VERSION : WITH_SETTINGS_VERSION,
      createdAt,
      app: "Endpair",
      counts: { breaks: ids.length, originals },
      entries: [...entries],
      missing,
    };
    await add(MANIFEST_PATH, utf8(canonicalJson(manifest)), 6);
    const list = entries.map(({ path, sha256 }) => `${sha256}  ${path}\n`).join("");
    await add(HASH_LIST_PATH, utf8(list), 6);
    await zip.close();
    const failure = await arrived;
    if (failure !== null) throw failure;
    return { breaks: ids.length, originals, missing };
  } catch (failure) {
    stop.abort(failure);
    await arrived;
    throw failure;
  }
}

const utf8 = (text: string): Uint8Array<ArrayBuffer> => new TextEncoder().encode(text);

async function readBreak(db: BenchDatabase, id: string) {
  const tx = db.transaction(["breaks", "summaries", "log"]);
  const [record, summary, log] = await Promise.all([
    tx.objectStore("breaks").get(id),
    tx.objectStore("summaries").get(id),
    tx.objectStore("log").index("breakId").getAll(id),
  ]);
  if (record === undefined) throw new BenchFileError("missing-entry", `There is no break ${id} on this bench.`);
  return { record, log: storedEntries(log), suggested: summary?.suggested ?? "undetermined" };
}

async function readOriginal(
  originalOf: OriginalSource,
  hash: string,
): Promise<{ bytes: Uint8Array<ArrayBuffer>; extension: string } | { why: MissingOriginal["why"] }> {
  let bytes: Uint8Array<ArrayBuffer>;
  try {
    const stored = await originalOf(hash);
    if (stored === null) return { why: "not-stored" };
    bytes = new Uint8Array(await stored.arrayBuffer());
  } catch {
    return { why: "damaged" }; // The browser can no longer read what it stored; the report names it.
  }
  if ((await sha256Hex(bytes)) !== hash) return { why: "damaged" };
  const kind = pictureKind(bytes);
  return kind === null ? { why: "not-a-photograph" } : { bytes, extension: kind.extension };
}
