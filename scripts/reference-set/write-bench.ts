import { BlobWriter, Uint8ArrayReader, ZipWriter } from "@zip.js/zip.js/index-native.js";
import {
  BENCH_FILE_FORMAT,
  BENCH_FILE_VERSION,
  type BreakFile,
  breakPath,
  HASH_LIST_PATH,
  type Manifest,
  MANIFEST_PATH,
  namedOriginals,
  originalPath,
} from "../../web/storage/bench-file-format.ts";
import { canonicalJson, sha256Hex } from "../../web/storage/canonical.ts";
import { pictureKind } from "../../web/storage/picture-kind.ts";

const FIXED_DATE = new Date(1980, 0, 1);

/**
 * A bench file from breaks and originals at hand.
 *
 * @param original – bytes by hash; null = not there, and then the file says so.
 */
export async function writeBench(
  breaks: readonly BreakFile[],
  original: (hash: string) => Promise<Uint8Array<ArrayBuffer> | null>,
  createdAt: string,
): Promise<Blob> {
  const zip = new ZipWriter(new BlobWriter("application/zip"), {
    useWebWorkers: false,
    keepOrder: true,
    lastModDate: FIXED_DATE,
    extendedTimestamp: false,
  });
  const entries: Manifest["entries"] = [];
  const missing: Manifest["missing"] = [];
  const add = async (path: string, bytes: Uint8Array<ArrayBuffer>): Promise<void> => {
    await zip.add(path, new Uint8ArrayReader(bytes), { level: path.startsWith("originals/") ? 0 : 6 });
    entries.push({ path, bytes: bytes.byteLength, sha256: await sha256Hex(bytes) });
  };
  const utf8 = (text: string): Uint8Array<ArrayBuffer> => new TextEncoder().encode(text);
  const wanted = new Map<string, { readonly number: string; readonly fileName: string }>();
  for (const file of [...breaks].sort((a, b) => (a.record.id < b.record.id ? -1 : 1))) {
    await add(breakPath(file.record.id), utf8(canonicalJson(file)));
    for (const { hash, fileName } of namedOriginals(file.record, file.log).values())
      if (!wanted.has(hash)) wanted.set(hash, { number: file.record.number, fileName });
  }
  for (const [hash, named] of [...wanted].sort(([a], [b]) => (a < b ? -1 : 1))) {
    const bytes = await original(hash);
    const kind = bytes === null ? null : pictureKind(bytes);
    if (bytes === null || kind === null) missing.push({ ...named, hash, why: "not-stored" });
    else await add(originalPath(hash, kind.extension), bytes);
  }
  const manifest: Manifest = {
    format: BENCH_FILE_FORMAT,
    version: BENCH_FILE_VERSION,
    createdAt,
    app: "Endpair",
    counts: { breaks: breaks.length, originals: wanted.size - missing.length },
    entries: [...entries],
    missing,
  };
  await add(MANIFEST_PATH, utf8(canonicalJson(manifest)));
  await add(HASH_LIST_PATH, utf8(entries.map(({ path, sha256 }) => `${sha256}  ${path}\n`).join("")));
  return zip.close();
}
