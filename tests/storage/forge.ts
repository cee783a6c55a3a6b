import { BlobReader, Uint8ArrayReader, Uint8ArrayWriter, ZipReader, ZipWriter } from "@zip.js/zip.js/index-native.js";
import { HASH_LIST_PATH, MANIFEST_PATH } from "../../web/storage/bench-file-format.ts";
import { sha256Hex } from "../../web/storage/canonical.ts";
import type { BenchStore } from "../../web/storage/contract.ts";

export type Files = Map<string, Uint8Array<ArrayBuffer>>;

/** What a bench writes when it is saved, as one blob. */
export async function saved(store: BenchStore, breakIds: readonly string[] | null = null): Promise<Blob> {
  const chunks: Uint8Array<ArrayBuffer>[] = [];
  await store.exportBench(breakIds, new WritableStream({ write: (chunk) => void chunks.push(new Uint8Array(chunk)) }));
  return new Blob(chunks);
}

export async function unpack(file: Blob): Promise<Files> {
  const reader = new ZipReader(new BlobReader(file), { useWebWorkers: false });
  const files: Files = new Map();
  for (const entry of await reader.getEntries())
    if (!entry.directory) files.set(entry.filename, await entry.getData(new Uint8ArrayWriter()));
  return files;
}

export async function pack(files: Files, level = 6): Promise<Blob> {
  const writer = new ZipWriter(new Uint8ArrayWriter(), { useWebWorkers: false, level, extendedTimestamp: false });
  for (const [path, bytes] of files) await writer.add(path, new Uint8ArrayReader(bytes));
  return new Blob([await writer.close()]);
}

export const text = (files: Files, path: string): string => new TextDecoder().decode(files.get(path));
export const utf8 = (content: unknown): Uint8Array<ArrayBuffer> =>
  new TextEncoder().encode(typeof content === "string" ? content : JSON.stringify(content));
export const pathIn = (files: Files, folder: string): string => {
  const path = [...files.keys()].find((name) => name.startsWith(folder));
  if (path === undefined) throw new Error(`nothing in ${folder}`);
  return path;
};

/** Makes manifest and list of hashes agree with the files again: a forger would. */
export async function seal(files: Files): Promise<Files> {
  const manifest = JSON.parse(text(files, MANIFEST_PATH)) as Record<string, unknown>;
  files.delete(MANIFEST_PATH);
  files.delete(HASH_LIST_PATH);
  const entries = await Promise.all(
    [...files].map(async ([path, bytes]) => ({ path, bytes: bytes.byteLength, sha256: await sha256Hex(bytes) })),
  );
  const count = (folder: string): number => entries.filter(({ path }) => path.startsWith(folder)).length;
  manifest["entries"] = entries;
  manifest["counts"] = { breaks: count("breaks/"), originals: count("originals/") };
  const bytes = utf8(manifest);
  files.set(MANIFEST_PATH, bytes);
  const lines = [...entries, { path: MANIFEST_PATH, sha256: await sha256Hex(bytes) }];
  files.set(HASH_LIST_PATH, utf8(lines.map(({ path, sha256 }) => `${sha256}  ${path}\n`).join("")));
  return files;
}

/** The same zip with a name written over, byte for byte, wherever it stands. */
export async function renamed(file: Blob, from: string, to: string): Promise<Blob> {
  if (from.length !== to.length) throw new Error("names must be of one length");
  const bytes = new Uint8Array(await file.arrayBuffer());
  const find = new TextEncoder().encode(from);
  const put = new TextEncoder().encode(to);
  for (let at = 0; at + find.length <= bytes.length; at++)
    if (find.every((byte, i) => bytes[at + i] === byte)) bytes.set(put, at);
  return new Blob([bytes]);
}
