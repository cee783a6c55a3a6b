import type { FileEntry } from "@zip.js/zip.js/index-native.js";
import {
  BlobReader,
  ERR_AMBIGUOUS_ARCHIVE,
  ERR_INVALID_COMPRESSED_DATA,
  ERR_INVALID_CRC32,
  ERR_INVALID_UNCOMPRESSED_SIZE,
  ERR_OVERLAPPING_ENTRY,
  ZipReader,
} from "@zip.js/zip.js/index-native.js";
import { BenchFileError, stopIfCancelled } from "./bench-file-error.ts";
import { HASH_LIST_PATH, LIMITS, MANIFEST_PATH, SETTINGS_PATH } from "./bench-file-format.ts";

export type FilesByPath = ReadonlyMap<string, FileEntry>;

/** What a kind of zip may hold, by name. */
export interface ZipPlan {
  readonly belongs: (path: string) => boolean;
  readonly isPicture: (path: string) => boolean;
}

/**
 * Lists what a zip holds, by the list at its end alone: nothing is unpacked yet.
 *
 * @param plan – of a bench file unless another kind is read.
 * @throws BenchFileError not-a-bench-file, path-escape, script-in-file, unexpected-entry, too-large, bomb, cancelled.
 */
export async function listFiles(
  file: Blob,
  signal: AbortSignal | undefined,
  plan: ZipPlan = BENCH_FILE,
): Promise<FilesByPath> {
  const reader = new ZipReader(new BlobReader(file), { useWebWorkers: false, strictness: "strict" });
  const files = new Map<string, FileEntry>();
  let unpacked = 0;
  let packed = 0;
  try {
    // Names are judged here, so that the reason can be told.
    for await (const entry of reader.getEntriesGenerator({ strictness: "strict", filenameValidation: "tolerant" })) {
      stopIfCancelled(signal);
      const path = entry.filename;
      if (entry.directory && plan !== BENCH_FILE) continue;
      checkName(path, plan);
      if (entry.directory || entry.encrypted || files.has(path)) throw unexpected(path);
      if (files.size >= LIMITS.entries) throw tooLarge(`It holds more than ${LIMITS.entries} files.`);
      checkSize(entry, plan);
      unpacked += entry.uncompressedSize;
      packed += entry.compressedSize;
      if (unpacked > LIMITS.totalBytes) throw tooLarge("Unpacked, it would be larger than any bench.");
      if (packed > file.size) throw bomb(path);
      files.set(path, entry);
    }
  } catch (failure) {
    throw inWords(failure, "the list of its files");
  } finally {
    await reader.close();
  }
  return files;
}

/**
 * Unpacks one file into memory, never more of it than the list at the end of the zip announced.
 *
 * @param again – true when it was read before: the check for files that share bytes counts each file once.
 * @throws BenchFileError bomb, hash-mismatch, unexpected-entry, not-a-bench-file, cancelled.
 */
export async function readFile(
  entry: FileEntry,
  signal: AbortSignal | undefined,
  again = false,
): Promise<Uint8Array<ArrayBuffer>> {
  stopIfCancelled(signal);
  const bytes = new Uint8Array(entry.uncompressedSize);
  let filled = 0;
  const sink = new WritableStream<Uint8Array>({
    write(chunk) {
      if (filled + chunk.byteLength > bytes.byteLength) throw bomb(entry.filename);
      bytes.set(chunk, filled);
      filled += chunk.byteLength;
    },
  });
  try {
    await entry.getData(sink, {
      useWebWorkers: false,
      strictness: "strict",
      checkCrc32: true,
      checkOverlappingEntry: !again,
      ...(signal ? { signal } : {}),
    });
  } catch (failure) {
    stopIfCancelled(signal);
    throw inWords(failure, entry.filename);
  }
  if (filled !== bytes.byteLength) throw damaged(entry.filename);
  return bytes;
}

const ORIGINAL = /^originals\/[0-9a-f]{64}\.(jpg|png|webp|bmp|tif)$/;
const BREAK = /^breaks\/[A-Za-z0-9_~-]{1,1000}\.json$/;
const PROGRAM = /\.(svgz?|x?html?|xml|m?js|css|pdf|exe|bat|cmd|sh|swf)$/i;

export const isOriginal = (path: string): boolean => ORIGINAL.test(path);
export const isBreak = (path: string): boolean => BREAK.test(path);

const BENCH_FILE: ZipPlan = {
  belongs: (path) => [MANIFEST_PATH, HASH_LIST_PATH, SETTINGS_PATH].includes(path) || isOriginal(path) || isBreak(path),
  isPicture: isOriginal,
};

function checkName(path: string, plan: ZipPlan): void {
  const steps = path.split(/[/\\]/);
  if (
    path.includes("\\") ||
    path.startsWith("/") ||
    /^[A-Za-z]:/.test(path) ||
    steps.includes("..") ||
    hasControl(path)
  )
    throw new BenchFileError("path-escape", `It names a file outside its place: ${shown(path)}.`);
  if (plan.belongs(path)) return;
  if (PROGRAM.test(path))
    throw new BenchFileError("script-in-file", `It holds ${shown(path)}, which a browser could run.`);
  throw unexpected(path);
}

const hasControl = (path: string): boolean => [...path].some((c) => c.charCodeAt(0) < 0x20 || c === "\x7f");

function checkSize(entry: FileEntry, plan: ZipPlan): void {
  const limit = plan.isPicture(entry.filename) ? LIMITS.originalBytes : LIMITS.textBytes;
  const { uncompressedSize: unpacked, compressedSize: packed, filename } = entry;
  if (unpacked > LIMITS.ratioFromBytes && unpacked > packed * LIMITS.ratio) throw bomb(filename);
  if (unpacked > limit) throw tooLarge(`${shown(filename)} is larger than ${limit / 1024 / 1024} MiB.`);
}

/** A name from outside, short enough and harmless in a sentence. */
const shown = (path: string): string => JSON.stringify(path.length > 120 ? `${path.slice(0, 120)}…` : path);

export const unexpected = (path: string): BenchFileError =>
  new BenchFileError("unexpected-entry", `It holds ${shown(path)}, which does not belong there.`);

export const damaged = (path: string): BenchFileError =>
  new BenchFileError("hash-mismatch", `${shown(path)} is not what was saved.`);

const bomb = (path: string): BenchFileError =>
  new BenchFileError("bomb", `${shown(path)} would unpack to far more than it is.`);

const tooLarge = (sentence: string): BenchFileError => new BenchFileError("too-large", sentence);

function inWords(failure: unknown, what: string): BenchFileError {
  if (failure instanceof BenchFileError) return failure;
  const message = failure instanceof Error ? failure.message : "";
  const about = (...reasons: string[]): boolean => reasons.some((reason) => message.startsWith(reason));
  if (about(ERR_OVERLAPPING_ENTRY, ERR_INVALID_UNCOMPRESSED_SIZE)) return bomb(what);
  if (about(ERR_INVALID_CRC32, ERR_INVALID_COMPRESSED_DATA)) return damaged(what);
  if (about(ERR_AMBIGUOUS_ARCHIVE))
    return new BenchFileError("unexpected-entry", `It can be read in two ways (${what}).`);
  return new BenchFileError("not-a-bench-file", `It is no whole zip file (${what}).`);
}
