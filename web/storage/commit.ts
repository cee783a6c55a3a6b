import type { WireBreak } from "../../model/break/wire-break.ts";
import { sameContent } from "./canonical.ts";
import type { BreakSummary, Commit, LogEntry, NewLogEntry, NewOriginal } from "./contract.ts";
import { StoreError } from "./contract.ts";
import type { BenchDatabase, BenchStoreName, BenchTransaction } from "./database.ts";
import { strictly } from "./database.ts";
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
 * Copies and checks a commit before any transaction is open, so that nothing can fail between its first and last
 * write but the disk.
 *
 * @throws StoreError damaged-record when the log lines do not lead to the records named, a field of a record is out
 * of bounds, or something cannot be copied (a live object of the screen, a function).
 */
export function prepareCommit(commit: Commit): PreparedCommit {
  let copy: Pick<Commit, "entries" | "records">;
  try {
    copy = structuredClone({ entries: commit.entries, records: commit.records });
  } catch (failure) {
    throw asStoreError(failure);
  }
  const lines = new Map<string, NewLogEntry[]>();
  for (const entry of copy.entries) {
    const earlier = lines.get(entry.breakId);
    if (earlier) earlier.push(entry);
    else lines.set(entry.breakId, [entry]);
  }
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
 * Writes a prepared commit in one strict transaction.
 *
 * @returns the log lines with the numbers the database gave them, once they are on the disk.
 * @throws StoreError disk-full, terminated, unavailable, conflict (the record on the disk is another than the one
 * the commit was made from); nothing of it is written then.
 */
export function writeCommit(db: BenchDatabase, commit: PreparedCommit): Promise<readonly LogEntry[]> {
  const stores: BenchStoreName[] = ["breaks", "summaries", "log"];
  if (commit.originals.length > 0) stores.push("originals", "small", "working");
  return strictly(db, stores, async (tx) => {
    for (const { record, after } of commit.records) {
      const onDisk = await tx.objectStore("breaks").get(record.id);
      if (onDisk !== undefined && !follows(record, after, onDisk)) throw conflict(record, onDisk);
    }
    const [entries] = await Promise.all([
      Promise.all(commit.entries.map((entry) => addEntry(tx, entry))),
      ...commit.records.map(({ record }) => tx.objectStore("breaks").put(record)),
      ...commit.records.map(({ summary }) => tx.objectStore("summaries").put(summary)),
      ...commit.originals.map((original) => putOriginal(tx, original)),
    ]);
    return entries;
  });
}

/** Appends one line to the log; the database numbers it. */
export async function addEntry(tx: BenchTransaction<BenchStoreName[]>, entry: NewLogEntry): Promise<LogEntry> {
  return { ...entry, seq: await tx.objectStore("log").add(entry) };
}

/** Stores an original once: one that is there already is never written again, only its small copies are completed. */
export async function putOriginal(tx: BenchTransaction<BenchStoreName[]>, original: NewOriginal): Promise<void> {
  const { hash, fileName, mediaType, thumbnail, working } = original;
  if ((await tx.objectStore("originals").getKey(hash)) === undefined)
    await tx.objectStore("originals").add({ blob: original.original, fileName, mediaType }, hash);
  if (thumbnail !== null || (await tx.objectStore("small").getKey(hash)) === undefined)
    await tx.objectStore("small").put({ blob: thumbnail }, hash);
  if (working !== null) await tx.objectStore("working").put(working, hash);
}

/** A commit without log lines may bring a new summary, but must leave the record as it is. */
function follows(record: WireBreak, after: number, onDisk: WireBreak): boolean {
  return onDisk.revision === after && (record.revision > after || sameContent(record, onDisk));
}

function conflict(record: WireBreak, onDisk: WireBreak): StoreError {
  return new StoreError(
    "conflict",
    `Break ${record.number} on the disk is at revision ${onDisk.revision}, not the one this change was made from.`,
    "Open the break again and repeat the change; nothing was overwritten.",
  );
}

function notTogether(what: string): StoreError {
  return new StoreError(
    "damaged-record",
    `The log lines and the record of break ${what} do not belong together.`,
    "Reload the break and repeat the last step; nothing was written.",
  );
}
