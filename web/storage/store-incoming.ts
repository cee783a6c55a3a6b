import { applyEdit } from "../../model/break/edits.ts";
import type { WireBreak } from "../../model/break/wire-break.ts";
import { suggest } from "../../model/evidence/suggest.ts";
import { observe } from "../../model/measure/observe.ts";
import { historyFrom, MergeError } from "../../model/reference/merge/history.ts";
import { takeOver, type TakeOver } from "../../model/reference/merge/take-over.ts";
import { logLinesOf } from "./add-whole-break.ts";
import type { BreakFile } from "./bench-file-format.ts";
import { breakFile } from "./bench-file-format.ts";
import type { BenchWriter } from "./bench-writer.ts";
import { canonicalJson } from "./canonical.ts";
import type { LogEntry } from "./contract.ts";
import type { BenchDatabase } from "./database.ts";
import type { Importer } from "./import-bench.ts";
import { storedEntries } from "./stored.ts";
import { summarise } from "./summary.ts";

/** What became of a break of a bench file. */
export interface Fate {
  readonly fate: "added" | "same" | "merged" | "copied";
  /** The record as it is on the disk now. */
  readonly stored: WireBreak;
  /** Whether a field of it stands with several values now. */
  readonly unsettled: boolean;
}

/**
 * Compares a break of a bench file with the one here and writes what comes of it, with nobody in between.
 *
 * @param copy – the same break under an identifier and number of its own, for when the two began apart.
 * @throws StoreError disk-full, terminated, unavailable; nothing is written then.
 */
export function storeBreak(
  db: BenchDatabase,
  writer: BenchWriter,
  incoming: BreakFile,
  copy: BreakFile,
  importer: Importer,
): Promise<Fate> {
  return writer.alone<Fate>(async (seq) => {
    const { id } = incoming.record;
    const tx = db.transaction(["breaks", "log"]);
    const [onDisk, copied, lines] = await Promise.all([
      tx.objectStore("breaks").get(id),
      tx.objectStore("breaks").getKey(copy.record.id),
      tx.objectStore("log").index("breakId").getAll(id),
    ]);
    const log = storedEntries(lines);
    const asWhole = (fate: Fate["fate"], whole: BreakFile) => {
      const { record, suggested } = whole;
      const records = [{ before: undefined, record, summary: summarise(record, suggested) }];
      const change = { entries: logLinesOf(whole, seq), records };
      return { change, result: { fate, stored: record, unsettled: false } };
    };
    if (onDisk === undefined) return asWhole("added", incoming);
    const nothing = { change: null, result: { fate: "same" as const, stored: onDisk, unsettled: false } };
    if (copied !== undefined || sameBreak(incoming, onDisk, log)) return nothing;
    const met = meeting(onDisk, log, incoming);
    if (met === null) return asWhole("copied", copy);
    if (met.edit === null) return nothing;
    const { next, entry } = takenOver(onDisk, met.edit, importer, seq + 1);
    const summary = summarise(next, suggest(observe(next)).verdict);
    return {
      change: { entries: [entry], records: [{ before: onDisk, record: next, summary }] },
      result: { fate: "merged", stored: next, unsettled: met.merged.conflicts.length > 0 },
    };
  });
}

/** What the file knows more of a break; null when the two did not begin as one. */
function meeting(here: WireBreak, log: readonly LogEntry[], there: BreakFile): TakeOver | null {
  try {
    return takeOver(here, log, historyFrom(there.record, there.log));
  } catch (failure) {
    if (failure instanceof MergeError) return null;
    throw failure;
  }
}

function takenOver(
  here: WireBreak,
  edit: NonNullable<TakeOver["edit"]>,
  { by, at }: Importer,
  seq: number,
): { readonly next: WireBreak; readonly entry: LogEntry } {
  const { next, inverse } = applyEdit(here, edit, at);
  const { id: breakId, revision } = next;
  return { next, entry: { seq, breakId, revision, edit, inverse, origin: "import", of: null, by, at } };
}

/** The suggestion is not compared: it follows from the record and from the version of the rules. */
function sameBreak(incoming: BreakFile, record: WireBreak, log: Parameters<typeof breakFile>[1]): boolean {
  const { suggested } = incoming;
  return canonicalJson(incoming) === canonicalJson(breakFile(record, log, suggested));
}
