import { applyEdit, type Edit } from "../../break/edits.ts";
import type { WireBreak } from "../../break/wire-break.ts";

/** A line of an edit log, wherever it was written. */
export interface HistoryEntry {
  readonly edit: Edit;
  readonly by: string;
  /** ISO 8601. */
  readonly at: string;
}

/** The moment a bench took over what others had done until then. What it does afterwards knows of all that. */
export interface TakenOver {
  readonly merged: readonly Chain[];
}

/** What one bench did, in its order. */
export type Chain = readonly (HistoryEntry | TakenOver)[];

export const isTakenOver = (line: HistoryEntry | TakenOver): line is TakenOver => "merged" in line;

/**
 * What became of one break on one or more benches: the record they all began with, and a chain for each bench. A chain
 * that is the beginning of another says nothing of its own.
 */
export interface History {
  readonly start: WireBreak;
  readonly chains: readonly Chain[];
}

/** Two histories do not belong to one break. */
export class MergeError extends Error {
  readonly next = "Take the other bench's break in as one of its own instead.";
}

/** Content as text with sorted keys: equal content, equal text. */
export const contentKey = (value: unknown): string =>
  JSON.stringify(value, (_key, inner: unknown) =>
    inner === null || typeof inner !== "object" || Array.isArray(inner)
      ? inner
      : Object.fromEntries(Object.entries(inner).sort(([a], [b]) => (a < b ? -1 : a > b ? 1 : 0))),
  );

/** Lines of a chain by name: their content, and a number where one chain holds the same edit twice. */
export function namesOf(chain: Chain): readonly string[] {
  const seen = new Map<string, number>();
  return chain.map((line) => {
    if (isTakenOver(line)) return `taken over ${contentKey(line.merged)}`;
    const { edit, by, at } = line;
    const key = contentKey({ edit, by, at });
    const n = seen.get(key) ?? 0;
    seen.set(key, n + 1);
    return n === 0 ? key : `${key}#${n}`;
  });
}

/**
 * Both histories in one. Which comes first, and how several are grouped, makes no difference.
 *
 * @throws MergeError when they began with different records.
 */
export function mergeHistories(a: History, b: History): History {
  if (contentKey(a.start) !== contentKey(b.start))
    throw new MergeError(`The two records of ${a.start.number} did not begin as one and the same break.`);
  const byKey = new Map([...a.chains, ...b.chains].map((chain) => [namesOf(chain).join("\n"), chain]));
  const keys = [...byKey.keys()].sort();
  // Sorted, a beginning lies right before something that goes on from it.
  const kept = keys.filter(
    (key) => !keys.some((other) => other !== key && (key === "" || other.startsWith(`${key}\n`))),
  );
  return { start: a.start, chains: kept.map((key) => byKey.get(key)!) };
}

/**
 * The record a log began with, from the record it led to: the edits taken back one by one. Counters are set to zero, so
 * that two benches that took the break over at different times find the same beginning.
 *
 * @param log – oldest first, each with the inverse that was stored with it.
 */
export function startOf(
  record: WireBreak,
  log: readonly { readonly edit: Edit; readonly inverse: Edit | null }[],
): WireBreak {
  let now = record;
  for (const { edit, inverse } of [...log].reverse())
    now = inverse === null ? withoutLine(now, edit) : applyEdit(now, inverse, "").next;
  return { ...now, revision: 0, updatedAt: now.createdAt };
}

/** Confirmations and second readings are only ever added to, so what was added is taken off again by its identifier. */
function withoutLine(record: WireBreak, edit: Edit): WireBreak {
  if (edit.kind === "add-confirmation")
    return { ...record, confirmations: record.confirmations.filter((line) => line.id !== edit.confirmation.id) };
  if (edit.kind === "add-reading") {
    const { readings = [], ...rest } = record;
    const left = readings.filter((reading) => reading.id !== edit.reading.id);
    return left.length === 0 ? rest : { ...rest, readings: left };
  }
  if (edit.kind !== "together") throw new MergeError(`An edit of ${record.number} cannot be taken back.`);
  // The parts of such an edit have no inverses of their own; only lines that were added can be told apart.
  if (!edit.edits.every(({ kind }) => kind === "add-confirmation" || kind === "add-reading"))
    throw new MergeError(`An edit of ${record.number} cannot be taken back.`);
  return [...edit.edits].reverse().reduce(withoutLine, record);
}
