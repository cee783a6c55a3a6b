import type { Change } from "./change.ts";
import { writeChange } from "./change.ts";
import type { NewOriginal, StoreError } from "./contract.ts";
import type { BenchDatabase, StoredOriginal } from "./database.ts";
import type { Checkpoint } from "./safe/checkpoint.ts";
import type { FramePlace } from "./safe/frame.ts";
import type { JournalFrame } from "./safe/journal.ts";
import { journalBreak, linesByBreak } from "./safe/journal.ts";
import type { Safe } from "./safe/safe.ts";
import type { SafeSizes } from "./safe/safe-files.ts";
import { asStoreError, terminated } from "./store-failure.ts";

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
      const originals = fresh.map(({ hash }, i) => [hash, rows[i]] as const);
      await writeChange(this.#db, change, originals, this.#safe && after);
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

  /** After this, the safe says what the database says; if even that fails, nothing more may be written. */
  async #takeBack(safe: Safe, before: SafeSizes): Promise<void> {
    try {
      await safe.cut(before);
    } catch (failure) {
      this.#stopped = asStoreError(failure);
    }
  }
}
