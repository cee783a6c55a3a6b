import "../../model/break/jitless.ts";
import * as z from "zod";
import { BenchFileError, stopIfCancelled } from "./bench-file-error.ts";
import { sha256Hex } from "./canonical.ts";
import type { LongWork } from "./contract.ts";
import { bytesOf, folderIn, inWords, jsonOf, TEXT_BYTES, textOf } from "./folder-files.ts";
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
export const listSchema = z.strictObject({
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
export type FolderList = z.infer<typeof listSchema>;

export interface BenchName {
  /** Random, kept in the settings of the bench. */
  readonly id: string;
  /** As the people of the lab call it. */
  readonly name: string;
}

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
