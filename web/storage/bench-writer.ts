import type { WireBreak } from "../../model/break/wire-break.ts";
import type { BreakSummary, LogEntry, NewOriginal } from "./contract.ts";
import { StoreError } from "./contract.ts";
import type { BenchDatabase, BenchStoreName, BenchTransaction, StoredOriginal } from "./database.ts";
import { strictly } from "./database.ts";
import type { Checkpoint } from "./safe/checkpoint.ts";
import { CHECKPOINT } from "./safe/checkpoint.ts";
import type { FramePlace } from "./safe/frame.ts";
import type { JournalFrame } from "./safe/journal.ts";
import { journalBreak, linesByBreak } from "./safe/journal.ts";
import type { Safe } from "./safe/safe.ts";
import type { SafeSizes } from "./safe/safe-files.ts";
import { asStoreError, terminated } from "./store-failure.ts";

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
 * The one place that writes records, log, originals and settings. One change at a time: first the safe, flushed, then
 * the database, and only then is it called saved. If the database refuses, the safe is cut back to where it was; if
 * the browser ends in between, the next start brings the database up to the safe.
 */
export class BenchWriter {
  readonly #db: BenchDatabase;
  readonly #safe: Safe | null;
  #checkpoint: Checkpoint;
  #last: Promise<unknown> = Promise.resolve();
  #stopped: StoreError | null = null;

  /**
   * @param safe – null where the browser has none: then the database stands alone.
   * @param checkpoint – where both stand.
   */
  constructor(db: BenchDatabase, safe: Safe | null, checkpoint: Checkpoint) {
    this.#db = db;
    this.#safe = safe;
    this.#checkpoint = checkpoint;
  }

  get safe(): Safe | null {
    return this.#safe;
  }

  /**
   * Decides and writes with nobody in between.
   *
   * @param decide – looks at the database and says what to write (null: nothing) and what to answer. Log lines are
   * numbered from `seq + 1` on.
   * @throws StoreError disk-full, terminated, unavailable, conflict, or what `decide` throws; nothing is written then.
   */
  alone<Result>(decide: (seq: number) => Promise<{ change: Change | null; result: Result }>): Promise<Result> {
    if (this.#stopped) return Promise.reject(this.#stopped);
    const turn = this.#last.then(async () => {
      const { change, result } = await decide(this.#checkpoint.seq);
      if (change !== null) await this.#write(change);
      return result;
    });
    this.#last = turn.catch(() => undefined);
    return turn;
  }

  /** Takes no more changes; those already asked for are still written. */
  stop(): void {
    this.#stopped ??= terminated();
  }

  /** Lets the safe go. */
  close(): void {
    this.stop();
    this.#safe?.close();
  }

  async #write(change: Change): Promise<void> {
    if (this.#stopped && this.#stopped.code !== "terminated") throw this.#stopped;
    const fresh = [...(await this.#notStored(change.originals ?? [])), ...(change.moved ? [change.moved] : [])];
    const before = this.#safe?.sizes ?? null;
    let after = this.#checkpoint;
    try {
      let rows: readonly StoredOriginal[];
      if (this.#safe === null) {
        rows = fresh.map(({ original, fileName, mediaType }) => ({ blob: original, fileName, mediaType }));
        after = { ...after, seq: after.seq + (change.entries?.length ?? 0) };
      } else {
        const kept = await this.#putInSafe(this.#safe, change, fresh);
        rows = kept.rows;
        after = {
          frame: kept.frame ?? after.frame,
          upTo: kept.frame?.end ?? after.upTo,
          seq: after.seq + (change.entries?.length ?? 0),
        };
      }
      await this.#putInDatabase(
        change,
        fresh.map(({ hash }, i) => [hash, rows[i]] as const),
        after,
      );
      this.#checkpoint = after;
    } catch (failure) {
      if (this.#safe !== null && before !== null) await this.#takeBack(this.#safe, before);
      throw failure;
    }
  }

  async #notStored<Original extends { readonly hash: string }>(originals: readonly Original[]): Promise<Original[]> {
    const once = [...new Map([...originals].reverse().map((original) => [original.hash, original])).values()].reverse();
    const keys = await Promise.all(once.map(({ hash }) => this.#db.getKey("originals", hash)));
    return once.filter((_, i) => keys[i] === undefined);
  }

  async #putInSafe(
    safe: Safe,
    { entries = [], records = [], setting }: Change,
    fresh: readonly Omit<NewOriginal, "thumbnail" | "working">[],
  ): Promise<{ readonly rows: readonly StoredOriginal[]; readonly frame: FramePlace | null }> {
    const places = fresh.length === 0 ? [] : await safe.keep(fresh.map(({ original }) => original));
    const rows = places.map((place, i) => ({
      ...place,
      fileName: fresh[i]?.fileName ?? "",
      mediaType: fresh[i]?.mediaType ?? "",
    }));
    const own = linesByBreak(entries);
    const frame: JournalFrame =
      setting === undefined
        ? {
            kind: "commit",
            entries,
            breaks: records.map(({ before, record, summary }) =>
              journalBreak(before, record, summary.suggested, own.get(record.id) ?? []),
            ),
            originals: rows.map((row, i) => ({ hash: fresh[i]?.hash ?? "", ...row })),
          }
        : { kind: "setting", ...setting };
    const empty = frame.kind === "commit" && entries.length + records.length + rows.length === 0;
    return { rows, frame: empty ? null : await safe.append(JSON.stringify(frame)) };
  }

  #putInDatabase(
    { entries = [], records = [], copies = [], moved, setting }: Change,
    originals: readonly (readonly [string, StoredOriginal | undefined])[],
    checkpoint: Checkpoint,
  ): Promise<void> {
    const stores = new Set<BenchStoreName>(this.#safe === null ? [] : ["safe"]);
    if (records.length + entries.length > 0)
      for (const name of ["breaks", "summaries", "log"] as const) stores.add(name);
    if (originals.length > 0) stores.add("originals");
    if (copies.length > 0) for (const name of ["small", "working"] as const) stores.add(name);
    if (setting !== undefined) stores.add("settings");
    if (stores.size === 0) return Promise.resolve();
    return strictly(this.#db, [...stores], async (tx: Write) => {
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
        () => this.#safe && tx.objectStore("safe").put(checkpoint, CHECKPOINT),
      ];
      // Each in a promise of its own: one that throws at once must not leave the others unheard.
      await Promise.all(puts.map(async (put) => void (await put())));
    });
  }

  /** After this, the safe says what the database says; if even that fails, nothing more may be written. */
  async #takeBack(safe: Safe, before: SafeSizes): Promise<void> {
    try {
      await safe.cut(before);
    } catch (failure) {
      this.#stopped = asStoreError(failure);
    }
  }
}

/** The last guard against another writer, should the browser ever let two write. */
async function checkUnchanged(tx: Write, before: WireBreak | undefined, record: WireBreak): Promise<void> {
  const onDisk = await tx.objectStore("breaks").get(record.id);
  if (onDisk?.revision !== before?.revision) throw conflict(record, onDisk);
}

/** Completes the small copies of an original; those that are there are kept when none are brought. */
export async function putCopies(
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
