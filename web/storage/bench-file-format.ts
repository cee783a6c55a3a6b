import "../../model/break/jitless.ts";
import * as z from "zod";
import type { NamedOriginal } from "../../model/break/originals.ts";
import { originalsOf, originalsOfEdit } from "../../model/break/originals.ts";
import type { WireBreak } from "../../model/break/wire-break.ts";
import type { LogEntry } from "./contract.ts";

export const BENCH_FILE_FORMAT = "endpair-bench";
export const BREAK_FILE_FORMAT = "endpair-break";
/** Version of a bench file without settings, and of every break in one; a reader refuses a version it does not know. */
export const BENCH_FILE_VERSION = 1;
/** Version of a bench file that also carries what the lab has set up. */
export const WITH_SETTINGS_VERSION = 2;

export const MANIFEST_PATH = "manifest.json";
/** "<hash>  <path>" per line, so that `sha256sum -c` checks an unpacked file without Endpair. */
export const HASH_LIST_PATH = "manifest-sha256.txt";
/** What the lab has set up, as plain JSON; who wrote it also judges it. */
export const SETTINGS_PATH = "settings.json";

/** No file of an ordinary bench comes near these; a file beyond them is refused before it is unpacked. */
export const LIMITS = {
  entries: 200_000,
  /** One photograph, bytes. */
  originalBytes: 200 * 1024 * 1024,
  /** One break with its log, the manifest or the list of hashes, bytes. */
  textBytes: 64 * 1024 * 1024,
  /** Everything unpacked, bytes. */
  totalBytes: 256 * 1024 ** 3,
  /** Unpacked to packed, for entries larger than `ratioFromBytes`. Deflate itself can reach about 1030. */
  ratio: 200,
  ratioFromBytes: 1024 * 1024,
} as const;

const sha256 = z.string().regex(/^[0-9a-f]{64}$/);

export const manifestSchema = z.strictObject({
  format: z.literal(BENCH_FILE_FORMAT),
  version: z.literal([BENCH_FILE_VERSION, WITH_SETTINGS_VERSION]),
  createdAt: z.string().max(64),
  app: z.string().max(64),
  counts: z.strictObject({ breaks: z.int().nonnegative(), originals: z.int().nonnegative() }),
  entries: z.array(z.strictObject({ path: z.string().max(1024), bytes: z.int().nonnegative(), sha256 })),
  /** Photographs the breaks name which the bench could not deliver. */
  missing: z.array(
    z.strictObject({
      number: z.string(),
      fileName: z.string(),
      hash: sha256,
      why: z.enum(["not-stored", "damaged", "not-a-photograph"]),
    }),
  ),
});
export type Manifest = z.infer<typeof manifestSchema>;

/** A log line in a file: numbered 1, 2, … within its break, since every bench numbers its own log. */
export interface FileLogEntry extends Omit<LogEntry, "seq" | "breakId" | "of"> {
  readonly n: number;
  /** For undo and redo: the `n` it takes back or repeats. */
  readonly of: number | null;
}

export interface BreakFile {
  readonly format: typeof BREAK_FILE_FORMAT;
  readonly version: typeof BENCH_FILE_VERSION;
  /** Verdict of the suggestion when the break was last saved; for the list only. */
  readonly suggested: string;
  readonly record: WireBreak;
  readonly log: readonly FileLogEntry[];
}

/** A break and its log as they go into a file. */
export function breakFile(record: WireBreak, log: readonly LogEntry[], suggested: string): BreakFile {
  const numbers = new Map(log.map((entry, i) => [entry.seq, i + 1]));
  return {
    format: BREAK_FILE_FORMAT,
    version: BENCH_FILE_VERSION,
    suggested,
    record,
    log: log.map(({ seq: _seq, breakId: _breakId, of, ...entry }, i) => ({
      ...entry,
      n: i + 1,
      of: of === null ? null : (numbers.get(of) ?? null),
    })),
  };
}

/** Identifiers may hold any character; a file name must not. Two identifiers never share a name. */
export const breakPath = (breakId: string): string =>
  `breaks/${breakId.replace(/[^A-Za-z0-9_-]/g, (c) => `~${c.charCodeAt(0).toString(16).padStart(4, "0")}`)}.json`;

export const originalPath = (hash: string, extension: string): string => `originals/${hash}.${extension}`;

/**
 * Every original a break needs, by hash: those its record needs now and those that undo or redo may bring back.
 */
export function namedOriginals(
  record: WireBreak,
  log: readonly Pick<LogEntry, "edit" | "inverse">[],
): ReadonlyMap<string, NamedOriginal> {
  const found = new Map<string, NamedOriginal>();
  const add = (original: NamedOriginal): void => {
    if (!found.has(original.hash)) found.set(original.hash, original);
  };
  originalsOf(record).forEach(add);
  for (const { edit, inverse } of log) {
    originalsOfEdit(edit).forEach(add);
    if (inverse !== null) originalsOfEdit(inverse).forEach(add);
  }
  return found;
}
