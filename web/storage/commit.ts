import type { WireBreak } from "../../model/break/wire-break.ts";
import { sameContent } from "./canonical.ts";
import type { BenchWriter } from "./bench-writer.ts";
import { conflict } from "./change.ts";
import type { BreakSummary, Commit, LogEntry, NewLogEntry, NewOriginal } from "./contract.ts";
import { StoreError } from "./contract.ts";
import type { BenchDatabase } from "./database.ts";
import { linesByBreak } from "./safe/journal.ts";
import { storableRecord } from "./stored.ts";
import { asStoreError } from "./store-failure.ts";

interface PreparedRecord {
  readonly record: WireBreak;
  readonly summary: BreakSummary;
  /** The revision that must lie on the disk for this commit to follow it. */
  readonly after: number;
}
export interface PreparedCommit {
  readonly entries: readonly NewLogEntry[];
  readonly records: readonly PreparedRecord[];
  readonly originals: readonly NewOriginal[];
}

/**
 * Copies and checks a commit before anything is written, so that nothing can fail between its first and last write
 * but the disk.
 *
 * @throws StoreError damaged-record when the log lines do not lead to the records named, a field of a record is out
 * of bounds, or something cannot be copied (a live object of the screen, a function).
 */
export function prepareCommit(commit: Commit): PreparedCommit {
  let copy: Pick<Commit, "entries" | "records">;
  try {
    const { entries, records } = structuredClone({ entries: commit.entries, records: commit.records });
    // As the journal will give them back, so that both copies say the same.
    copy = { entries: JSON.parse(JSON.stringify(entries)) as typeof entries, records };
  } catch (failure) {
    throw asStoreError(failure);
  }
  const lines = linesByBreak(copy.entries);
  const seen = new Set<string>();
  const records = copy.records.map(({ record, summary }): PreparedRecord => {
    const own = lines.get(record.id) ?? [];
    const after = record.revision - own.length;
    const gap = own.some(({ revision }, i) => revision !== after + 1 + i);
    if (after < 0 || gap || summary.id !== record.id || seen.has(record.id)) throw notTogether(record.number);
    seen.add(record.id);
    return { record: storableRecord(record), summary, after };
  });
  const orphans = [...lines.keys()].filter((breakId) => !seen.has(breakId));
  if (orphans.length > 0) throw notTogether(orphans.join(", "));
  const originals = [...new Map((commit.originals ?? []).map((original) => [original.hash, original])).values()];
  return { entries: copy.entries, records, originals };
}

/**
 * Writes a prepared commit, all of it or nothing.
 *
 * @returns the log lines with their numbers, once they are on the disk.
 * @throws StoreError disk-full, terminated, unavailable, conflict (the record on the disk is another than the one
 * the commit was made from); nothing of it is written then.
 */
export function writeCommit(
  db: BenchDatabase,
  writer: BenchWriter,
  commit: PreparedCommit,
): Promise<readonly LogEntry[]> {
  return writer.alone(async (seq) => {
    const { store } = db.transaction("breaks");
    const onDisk = await Promise.all(commit.records.map(({ record }) => store.get(record.id)));
    const records = commit.records.map(({ record, summary, after }, i) => {
      const before = onDisk[i];
      if (before !== undefined && !follows(record, after, before)) throw conflict(record, before);
      return { before, record, summary };
    });
    const entries = commit.entries.map((entry, i) => ({ ...entry, seq: seq + 1 + i }));
    return { change: { entries, records, originals: commit.originals, copies: commit.originals }, result: entries };
  });
}

/** A commit without log lines may bring a new summary, but must leave the record as it is. */
function follows(record: WireBreak, after: number, onDisk: WireBreak): boolean {
  return onDisk.revision === after && (record.revision > after || sameContent(record, onDisk));
}

function notTogether(what: string): StoreError {
  return new StoreError(
    "damaged-record",
    `The log lines and the record of break ${what} do not belong together.`,
    "Reload the break and repeat the last step; nothing was written.",
  );
}
