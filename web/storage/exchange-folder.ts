import "../../model/break/jitless.ts";
import * as z from "zod";
import { BenchFileError, stopIfCancelled } from "./bench-file-error.ts";
import { breakFile, breakPath, namedOriginals } from "./bench-file-format.ts";
import { canonicalJson, sha256Hex } from "./canonical.ts";
import type { BenchStore, LongWork } from "./contract.ts";
import { isDiskFull } from "./store-failure.ts";
import type { BreakSource, SourceBreak } from "./exchange-source.ts";
import { looksLikeMarkup, pictureKind } from "./picture-kind.ts";

/**
 * The meeting point of the benches of a lab: a folder that all of them reach.
 *
 * ```
 * originals/<hash>.<extension>     every photograph once, whoever brought it
 * benches/<bench>/breaks/<id>.json a break with its log as a bench file holds it
 * benches/<bench>/bench.json       what this bench has laid down: path and hash of each break
 * ```
 *
 * A bench writes in its own folder and adds photographs, nothing else, so no two ever write one file. Every file is
 * written beside its place and put there when it is closed. `bench.json` comes last: what it names is there and whole.
 * A break that is just being laid down anew has another hash than the list says; it is left for the next time.
 */
export const FOLDER_FORMAT = "endpair-meeting-point";

const sha256 = z.string().regex(/^[0-9a-f]{64}$/);
const listSchema = z.strictObject({
  format: z.literal(FOLDER_FORMAT),
  version: z.literal(1),
  bench: z.strictObject({ id: z.string().min(1).max(100), name: z.string().max(200) }),
  at: z.string().max(40),
  breaks: z
    .array(
      z.strictObject({
        path: z
          .string()
          .max(1100)
          .regex(/^breaks\/[A-Za-z0-9_~-]{1,1000}\.json$/),
        sha256,
        revision: z.int().min(0),
      }),
    )
    .max(200_000),
});
type FolderList = z.infer<typeof listSchema>;

export interface BenchName {
  /** Random, kept in the settings of the bench. */
  readonly id: string;
  /** As the people of the lab call it. */
  readonly name: string;
}

/** Why the meeting point could not be used. `message` is a plain sentence, `next` the next step. */
export class FolderError extends Error {
  constructor(
    readonly code: "gone" | "not-allowed" | "full" | "failed",
    message: string,
    readonly next: string,
  ) {
    super(message);
    this.name = "FolderError";
  }
}

/** Largest list or break that is read from the folder, bytes. */
const TEXT_BYTES = 64 * 1024 * 1024;
const PICTURE_BYTES = 200 * 1024 * 1024;
const EXTENSIONS = ["jpg", "png", "webp", "tif", "bmp"] as const;

/** Another bench as it has laid its breaks down. */
export interface OtherBench {
  readonly bench: BenchName;
  readonly at: string;
  readonly source: BreakSource;
  /** Hash of each break by path; the same hash, the same break as last time. */
  readonly hashes: ReadonlyMap<string, string>;
}

export interface OtherBenches {
  readonly benches: readonly OtherBench[];
  /** Folders of benches that cannot be read now, in words. */
  readonly unread: readonly string[];
}

/** The other benches of a meeting point. @throws FolderError; BenchFileError cancelled. */
export async function otherBenches(
  root: FileSystemDirectoryHandle,
  own: BenchName,
  work: LongWork,
): Promise<OtherBenches> {
  return inWords(async () => {
    const benches: OtherBench[] = [];
    const unread: string[] = [];
    const all = await folderIn(root, "benches", false);
    const originals = await folderIn(root, "originals", false);
    if (all === null) return { benches, unread };
    for await (const [name, handle] of all.entries()) {
      stopIfCancelled(work.signal);
      if (handle.kind !== "directory") continue;
      const text = await textOf(handle, "bench.json");
      if (text === null) continue; // Its first laying down has not ended.
      const list = listSchema.safeParse(jsonOf(text));
      if (!list.success) {
        unread.push(`${name} was written by another version of Endpair, or changed by hand.`);
        continue;
      }
      if (list.data.bench.id === own.id) continue;
      benches.push(benchOf(handle, originals, list.data));
    }
    return { benches: benches.sort((a, b) => (a.bench.id < b.bench.id ? -1 : 1)), unread };
  });
}

function benchOf(
  folder: FileSystemDirectoryHandle,
  originals: FileSystemDirectoryHandle | null,
  { bench, at, breaks }: FolderList,
): OtherBench {
  return {
    bench,
    at,
    hashes: new Map(breaks.map((one) => [one.path, one.sha256])),
    source: {
      says: { kind: "bench-file", name: bench.name, version: null, licence: null, creator: null, sha256: null },
      coded: false,
      settings: null,
      lacking: [],
      breaks: breaks.map(({ path, sha256 }): SourceBreak => ({
        path,
        read: (signal) =>
          inWords(async () => {
            stopIfCancelled(signal);
            const bytes = await bytesOf(
              await folderIn(folder, "breaks", false),
              path.slice("breaks/".length),
              TEXT_BYTES,
            );
            if (bytes === null) throw new BenchFileError("missing-entry", `${bench.name}: ${path} is not there.`);
            if ((await sha256Hex(bytes)) !== sha256)
              throw new BenchFileError("hash-mismatch", `${bench.name}: ${path} is just being written.`);
            return bytes;
          }),
      })),
      original: (hash, fileName, signal) =>
        inWords(async () => {
          for (const extension of EXTENSIONS) {
            stopIfCancelled(signal);
            const bytes = await bytesOf(originals, `${hash}.${extension}`, PICTURE_BYTES);
            const kind = bytes && pictureKind(bytes);
            if (!bytes || !kind || looksLikeMarkup(bytes) || (await sha256Hex(bytes)) !== hash) continue;
            return { hash, fileName, mediaType: kind.mediaType, original: new Blob([bytes], { type: kind.mediaType }) };
          }
          return null;
        }),
    },
  };
}

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

/** The browser writes beside the place, and puts the file there when it is closed: a file is there whole or not at all. */
async function put(folder: FileSystemDirectoryHandle, name: string, bytes: Uint8Array<ArrayBuffer>): Promise<void> {
  const stream = await (await folder.getFileHandle(name, { create: true })).createWritable();
  try {
    await stream.write(bytes);
    await stream.close();
  } catch (failure) {
    await stream.abort().catch(() => undefined); // Closing may have failed already; what counts is the first failure.
    throw failure;
  }
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

async function folderIn(
  parent: FileSystemDirectoryHandle | null,
  name: string,
  create: true,
): Promise<FileSystemDirectoryHandle>;
async function folderIn(
  parent: FileSystemDirectoryHandle | null,
  name: string,
  create: boolean,
): Promise<FileSystemDirectoryHandle | null>;
async function folderIn(
  parent: FileSystemDirectoryHandle | null,
  name: string,
  create: boolean,
): Promise<FileSystemDirectoryHandle | null> {
  return parent === null ? null : orAbsent(parent.getDirectoryHandle(name, { create }), create);
}

async function bytesOf(
  folder: FileSystemDirectoryHandle | null,
  name: string,
  most: number,
): Promise<Uint8Array<ArrayBuffer> | null> {
  const handle = folder && (await orAbsent(folder.getFileHandle(name), false));
  if (!handle) return null;
  const file = await handle.getFile();
  return file.size === 0 || file.size > most ? null : new Uint8Array(await file.arrayBuffer());
}

async function textOf(folder: FileSystemDirectoryHandle, name: string): Promise<string | null> {
  const bytes = await bytesOf(folder, name, TEXT_BYTES);
  return bytes && new TextDecoder().decode(bytes);
}

function jsonOf(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null; // Judged by the schema, which says what to do.
  }
}

async function orAbsent<T>(work: Promise<T>, mustBe: boolean): Promise<T | null> {
  try {
    return await work;
  } catch (failure) {
    if (!mustBe && failure instanceof DOMException && failure.name === "NotFoundError") return null;
    throw failure;
  }
}

async function inWords<T>(work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (failure) {
    const name = failure instanceof DOMException ? failure.name : "";
    if (isDiskFull(failure))
      throw new FolderError(
        "full",
        "The disk of the meeting point is full.",
        "Free space there, then exchange again: what was written is whole, the rest follows.",
      );
    if (name === "NotFoundError")
      throw new FolderError(
        "gone",
        "The folder of the meeting point cannot be reached.",
        "Connect the network drive or plug the disk in, then exchange again; nothing is lost.",
      );
    if (name === "NotAllowedError" || name === "SecurityError" || name === "NoModificationAllowedError")
      throw new FolderError(
        "not-allowed",
        "The browser may not use the folder of the meeting point.",
        "Press “Exchange” again and allow it, or choose the folder anew.",
      );
    if (failure instanceof DOMException && name !== "AbortError")
      throw new FolderError("failed", `The meeting point could not be used (${name}).`, "Exchange again in a moment.");
    throw failure;
  }
}
