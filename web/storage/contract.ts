import type { Edit } from "../../model/break/edits.ts";
import type { WireBreak } from "../../model/break/wire-break.ts";

/** Only `reader` edits enter undo. */
export type EditOrigin = "reader" | "load" | "import" | "undo" | "redo" | "confirmation";

/** One line of the stored edit log, only ever added. */
export interface LogEntry {
  /** Rises over the whole bench. */
  readonly seq: number;
  readonly breakId: string;
  /** Revision of the record after the edit. */
  readonly revision: number;
  readonly edit: Edit;
  readonly inverse: Edit | null;
  readonly origin: EditOrigin;
  /** For undo and redo: the seq of the reader edit it takes back or repeats. */
  readonly of: number | null;
  readonly by: string;
  readonly at: string;
}
export type NewLogEntry = Omit<LogEntry, "seq">;

/** What the log screen lists; kept beside the record so that lists never touch photographs. */
export interface BreakSummary {
  readonly id: string;
  readonly number: string;
  readonly createdAt: string;
  readonly updatedAt: string;
  /** Revision of the record; left out by summaries of before it was kept. */
  readonly revision?: number;
  readonly brokeAt: string | null;
  readonly metal: string | null;
  readonly grade: string | null;
  readonly diameterMm: number | null;
  readonly machine: string | null;
  readonly cast: string | null;
  readonly coil: string | null;
  /** Verdict of the suggestion when last saved. */
  readonly suggested: string;
  /** Confirmed type, null when open. */
  readonly confirmed: string | null;
  readonly confirmedBy: string | null;
  /** Who read it a second time and what they found; left out = nobody. */
  readonly readings?: readonly { readonly by: string; readonly type: string }[];
  readonly machineEnd: EndSummary;
  readonly takeUpEnd: EndSummary;
  readonly demo: boolean;
  readonly binned: boolean;
  /** Lower-case text of every field, for the search line. */
  readonly text: string;
}
export interface EndSummary {
  readonly recovery: "recovered" | "not-recovered" | "awaited";
  /** Hash of the photograph shown small, null = none. */
  readonly hash: string | null;
  readonly photographs: number;
}

/** An original with the small copies made of it once, so that nothing large is decoded for lists. */
export interface NewOriginal {
  readonly hash: string;
  readonly original: Blob;
  readonly fileName: string;
  readonly mediaType: string;
  /** JPEG of at most 320 px for lists; null for a photograph that could not be decoded. */
  readonly thumbnail: Blob | null;
  /** Browser-readable working copy where the browser cannot decode the original (TIFF); null otherwise. */
  readonly working: Blob | null;
}

export type StoreErrorCode =
  | "disk-full"
  | "read-only"
  | "blocked"
  | "terminated"
  | "unavailable"
  | "newer-version"
  | "damaged-record"
  | "conflict";

/** `message` is a plain sentence, `next` the next step. */
export class StoreError extends Error {
  constructor(
    readonly code: StoreErrorCode,
    message: string,
    readonly next: string,
  ) {
    super(message);
    this.name = "StoreError";
  }
}

export type StoreEvent =
  /** Another tab changed these breaks. */
  | { readonly kind: "changed"; readonly breakIds: readonly string[] }
  /** This tab became the writing one, or stopped being it. */
  | { readonly kind: "mode"; readonly mode: "writer" | "reader" }
  /** The connection is gone (upgrade in another tab, data cleared, browser closing it). */
  | { readonly kind: "closed"; readonly error: StoreError };

export interface Commit {
  readonly entries: readonly NewLogEntry[];
  /** The records after these entries, one per break touched. */
  readonly records: readonly { readonly record: WireBreak; readonly summary: BreakSummary }[];
  readonly originals?: readonly NewOriginal[];
}

/** A break as it stands on another bench, with its own log, numbered 1, 2, … within it. */
export interface WholeBreak {
  readonly record: WireBreak;
  /** Verdict of the suggestion when it was last saved. */
  readonly suggested: string;
  readonly log: readonly (Omit<LogEntry, "seq" | "breakId"> & { readonly n: number })[];
}

export interface Progress {
  readonly done: number;
  readonly total: number;
  readonly what: string;
}
export interface LongWork {
  readonly signal?: AbortSignal;
  readonly onProgress?: (progress: Progress) => void;
}

export interface BenchFileReport {
  readonly added: readonly string[];
  /** Same break, same content: left alone. */
  readonly same: readonly string[];
  /** Same break, edited there and here: both histories are one now; `unsettled` = a field stands with several values. */
  readonly merged: readonly { readonly id: string; readonly number: string; readonly unsettled: boolean }[];
  /** Same identifier, another beginning: nothing overwritten; imported as a copy under a new number. */
  readonly differing: readonly { readonly number: string; readonly importedAs: string }[];
  readonly originals: number;
  /** What the lab it came from has set up: JSON whose fields nobody has looked at yet; null = none in it. */
  readonly settings: unknown;
}

/** What was written into a bench file. */
export interface BenchExportReport {
  readonly breaks: number;
  readonly originals: number;
  /** Photographs the bench names but cannot deliver unharmed; the file says so too. */
  readonly missing: readonly MissingOriginal[];
}
export interface MissingOriginal {
  /** Number of a break that names it. */
  readonly number: string;
  readonly fileName: string;
  readonly hash: string;
  readonly why: "not-stored" | "damaged" | "not-a-photograph";
}

/** The small copies of an original that is stored already; a bench file carries originals only. */
export type SmallCopies = Pick<NewOriginal, "hash" | "thumbnail" | "working">;

/** What had to be made anew at the start because the browser's own database was damaged or gone. */
export interface Recovered {
  /** Breaks and log lines there are now, all taken from the second copy; 0 when the database itself was whole. */
  readonly breaks: number;
  readonly entries: number;
  /** Places of the second copy that no longer can be read, photographs among them. */
  readonly damaged: number;
}

export interface BenchStore {
  readonly mode: "writer" | "reader";
  /** Whether everything is also kept outside the browser's database; false where this browser cannot do that. */
  readonly safe: boolean;
  /** What was recovered when this tab became the writing one; null when there was no need. */
  readonly recovered: Recovered | null;
  /** Whether the browser promised to keep the data; null when it does not say. */
  readonly persisted: boolean | null;
  summaries(): Promise<readonly BreakSummary[]>;
  load(breakId: string): Promise<{ readonly record: WireBreak; readonly log: readonly LogEntry[] } | null>;
  /**
   * One read-write transaction with strict durability. Resolves with the entries as stored only after
   * the transaction completed: only then may the screen say "saved".
   * @throws StoreError disk-full, read-only, terminated, conflict (record on disk is newer).
   */
  commit(commit: Commit): Promise<readonly LogEntry[]>;
  /**
   * Adds a break that is not there yet, with the log it brings.
   * @throws StoreError conflict (a break with its identifier is there), disk-full, read-only, terminated, damaged-record.
   */
  addBreak(whole: WholeBreak): Promise<void>;
  /**
   * Stores originals that are not there yet, without small copies: `lackingCopies` names them afterwards.
   * @throws StoreError disk-full, read-only, terminated.
   */
  addOriginals(originals: readonly Omit<NewOriginal, "thumbnail" | "working">[]): Promise<void>;
  original(hash: string): Promise<Blob | null>;
  /** The blob to show: working copy if there is one, else the original. */
  picture(hash: string): Promise<Blob | null>;
  thumbnail(hash: string): Promise<Blob | null>;
  /** Originals without small copies, such as imported ones: make them and hand them to `addCopies`. */
  lackingCopies(): Promise<readonly string[]>;
  /** @throws StoreError disk-full, read-only, terminated. */
  addCopies(copies: readonly SmallCopies[]): Promise<void>;
  /** Which of these hashes are stored already. */
  known(hashes: readonly string[]): Promise<ReadonlySet<string>>;
  getSetting<T>(key: string): Promise<T | undefined>;
  setSetting(key: string, value: unknown): Promise<void>;
  usageBytes(): Promise<number | null>;
  subscribe(listener: (event: StoreEvent) => void): () => void;
  /**
   * Writes breaks (all when null) with originals, edit log and manifest as one zip.
   * @param settings – what the lab has set up, as plain JSON, to go with them; null = nothing.
   * @throws BenchFileError cancelled, missing-entry (a break that is not there); StoreError.
   */
  exportBench(
    breakIds: readonly string[] | null,
    to: WritableStream<Uint8Array>,
    work?: LongWork,
    settings?: unknown,
  ): Promise<BenchExportReport>;
  /**
   * Checks everything first, then merges in; nothing is overwritten and a refused file changes nothing.
   * @throws BenchFileError for every way a file can be refused; StoreError disk-full, read-only: what was merged
   * until then is whole breaks, and importing the file again goes on from there.
   */
  importBench(file: Blob, by: string, at: string, work?: LongWork): Promise<BenchFileReport>;
  close(): void;
}
