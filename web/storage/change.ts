import type { WireBreak } from "../../model/break/wire-break.ts";
import type { BreakSummary, LogEntry, NewOriginal } from "./contract.ts";
import { StoreError } from "./contract.ts";
import type { BenchDatabase, BenchStoreName, BenchTransaction, StoredOriginal } from "./database.ts";
import { strictly } from "./database.ts";
import type { Checkpoint } from "./safe/checkpoint.ts";
import { CHECKPOINT } from "./safe/checkpoint.ts";

/** A record to be written, with the one on the disk that it replaces. */
export interface NextRecord {
  readonly before: WireBreak | undefined;
  readonly record: WireBreak;
  readonly summary: BreakSummary;
}

/** Everything that one write brings; all of it is stored, or nothing. */
export interface Change {
  /** Numbered from `seq + 1` on without a gap. */
  readonly entries?: readonly LogEntry[];
  readonly records?: readonly NextRecord[];
  /** Originals to be stored if they are not there yet. */
  readonly originals?: readonly Omit<NewOriginal, "thumbnail" | "working">[];
  /** An original that lies in the database and goes into the safe. */
  readonly moved?: Omit<NewOriginal, "thumbnail" | "working">;
  /** Small copies, written to the database alone: they can be made again. */
  readonly copies?: readonly Pick<NewOriginal, "hash" | "thumbnail" | "working">[];
  /** No value: removed. */
  readonly setting?: { readonly key: string; readonly value?: unknown };
}

type Write = BenchTransaction<BenchStoreName[]>;

/**
 * Writes a change to the database in one strict transaction.
 *
 * @param originals – rows of the originals that are new or move.
 * @param checkpoint – where database and safe stand then; null without a safe.
 * @throws StoreError disk-full, terminated, unavailable, conflict; nothing of it is written then.
 */
export function writeChange(
  db: BenchDatabase,
  { entries = [], records = [], copies = [], moved, setting }: Change,
  originals: readonly (readonly [string, StoredOriginal | undefined])[],
  checkpoint: Checkpoint | null,
): Promise<void> {
  const stores = new Set<BenchStoreName>(checkpoint === null ? [] : ["safe"]);
  if (records.length + entries.length > 0) for (const name of ["breaks", "summaries", "log"] as const) stores.add(name);
  if (originals.length > 0) stores.add("originals");
  if (copies.length > 0) for (const name of ["small", "working"] as const) stores.add(name);
  if (setting !== undefined) stores.add("settings");
  if (stores.size === 0) return Promise.resolve();
  return strictly(db, [...stores], async (tx: Write) => {
    await Promise.all(records.map(({ before, record }) => checkUnchanged(tx, before, record)));
    const puts = [
      ...entries.map((entry) => () => tx.objectStore("log").add(entry)),
      ...records.map(
        ({ record, summary }) =>
          () =>
            Promise.all([tx.objectStore("breaks").put(record), tx.objectStore("summaries").put(summary)]),
      ),
      ...originals.map(
        ([hash, row]) =>
          () =>
            row && putOriginal(tx, hash, row, hash === moved?.hash),
      ),
      ...copies.map((copy) => () => putCopies(tx, copy)),
      () => setting && putSetting(tx, setting),
      () => checkpoint && tx.objectStore("safe").put(checkpoint, CHECKPOINT),
    ];
    // Each in a promise of its own: one that throws at once must not leave the others unheard.
    await Promise.all(puts.map(async (put) => void (await put())));
  });
}

/** The last guard against another writer, should the browser ever let two write. */
async function checkUnchanged(tx: Write, before: WireBreak | undefined, record: WireBreak): Promise<void> {
  const onDisk = await tx.objectStore("breaks").get(record.id);
  if (onDisk?.revision !== before?.revision) throw conflict(record, onDisk);
}

/** Completes the small copies of an original; those that are there are kept when none are brought. */
async function putCopies(
  tx: Write,
  { hash, thumbnail, working }: Pick<NewOriginal, "hash" | "thumbnail" | "working">,
): Promise<void> {
  if (thumbnail !== null || (await tx.objectStore("small").getKey(hash)) === undefined)
    await tx.objectStore("small").put({ blob: thumbnail }, hash);
  if (working !== null) await tx.objectStore("working").put(working, hash);
}

/** An original is stored once; only where it lies may change. */
async function putOriginal(tx: Write, hash: string, row: StoredOriginal, moves: boolean): Promise<void> {
  if (moves) await tx.objectStore("originals").put(row, hash);
  else await tx.objectStore("originals").add(row, hash);
}

async function putSetting(
  tx: Write,
  { key, value }: { readonly key: string; readonly value?: unknown },
): Promise<void> {
  if (value === undefined) await tx.objectStore("settings").delete(key);
  else await tx.objectStore("settings").put(value, key);
}

export function conflict(record: WireBreak, onDisk: WireBreak | undefined): StoreError {
  const found = onDisk === undefined ? "is not there" : `is at revision ${onDisk.revision}`;
  return new StoreError(
    "conflict",
    `Break ${record.number} on the disk ${found}, not the one this change was made from.`,
    "Open the break again and repeat the change; nothing was overwritten.",
  );
}
