import { applyEdit, type Edit, EditError, type TakenLine } from "../../break/edits.ts";
import type { WireBreak } from "../../break/wire-break.ts";

/** A line of an edit log, wherever it was written. */
export interface HistoryEntry {
  readonly edit: Edit;
  readonly by: string;
  /** ISO 8601. */
  readonly at: string;
}

/** A line with what its bench knew when it was written. */
export type Line = TakenLine;

/**
 * What became of one break on all benches that are known of: the record they all began with, and every line once, none
 * before one that it followed. `after` of a line names places in this list.
 */
export interface History {
  readonly start: WireBreak;
  readonly lines: readonly Line[];
}

/** A line of the log of one bench, as far as the history of the break goes. */
export interface LoggedEdit extends HistoryEntry {
  readonly inverse: Edit | null;
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

/** The latest line of each branch: those that no other line followed. */
export function headsOf(lines: readonly Line[]): readonly number[] {
  const followed = new Set(lines.flatMap(({ after }) => after));
  return lines.map((_, i) => i).filter((i) => !followed.has(i));
}

/** The history with what one bench did next, knowing all of it. */
export function continued({ start, lines }: History, entries: readonly HistoryEntry[]): History {
  const all = [...lines];
  let heads = headsOf(lines);
  for (const { edit, by, at } of entries) {
    all.push({ after: heads, edit, by, at });
    heads = [all.length - 1];
  }
  return { start, lines: all };
}

/**
 * The history that one bench knows, from its record and its log. The log is the only memory of it: a line that took
 * over what others did carries their lines, so whatever moves the log (bench file, second copy) moves the history.
 *
 * @param log – oldest first.
 * @throws MergeError when the log does not lead back to a beginning, or what was taken over contradicts itself.
 */
export function historyFrom(record: WireBreak, log: readonly LoggedEdit[]): History {
  const lines: Line[] = [];
  let heads: readonly number[] = [];
  for (const { edit, by, at } of log) {
    if (edit.kind === "take-over") {
      for (const line of edit.lines) {
        if (line.edit.kind === "take-over" || line.after.some((i) => i >= lines.length)) throw contradicts(record);
        lines.push(line);
      }
      heads = headsOf(lines);
    } else {
      lines.push({ after: heads, edit, by, at });
      heads = [lines.length - 1];
    }
  }
  return { start: startOf(record, log), lines };
}

const contradicts = ({ number }: WireBreak): MergeError =>
  new MergeError(`What was taken over into ${number} contradicts itself.`);

/**
 * Both histories in one; the lines of `a` keep their places. Which comes first, and how several are grouped, makes no
 * difference to what they lead to. A line is known again by its content and by what it followed.
 *
 * @throws MergeError when they began with different records.
 */
export function mergeHistories(a: History, b: History): History {
  if (contentKey(a.start) !== contentKey(b.start))
    throw new MergeError(`The two records of ${a.start.number} did not begin as one and the same break.`);
  const lines: Line[] = [];
  const known = new Map<string, number>();
  for (const history of [a, b]) {
    const places: number[] = [];
    for (const { after: theirs, edit, by, at } of history.lines) {
      const after = theirs.map((i) => places[i]);
      if (!after.every((i) => i !== undefined)) throw contradicts(a.start);
      after.sort((x, y) => x - y);
      const key = contentKey([after, edit, by, at]);
      const place = known.get(key) ?? lines.push({ after, edit, by, at }) - 1;
      known.set(key, place);
      places.push(place);
    }
  }
  return { start: a.start, lines };
}

/**
 * The record a log began with, from the record it led to: the edits taken back one by one. Counters are set to zero, so
 * that two benches that took the break over at different times find the same beginning.
 *
 * @param log – oldest first, each with the inverse that was stored with it.
 * @throws MergeError when an edit cannot be taken back.
 */
export function startOf(
  record: WireBreak,
  log: readonly { readonly edit: Edit; readonly inverse: Edit | null }[],
): WireBreak {
  let now = record;
  try {
    for (const { edit, inverse } of [...log].reverse())
      now = inverse === null ? withoutLine(now, edit) : applyEdit(now, inverse, "").next;
  } catch (failure) {
    if (failure instanceof EditError) throw cannotGoBack(record);
    throw failure;
  }
  return { ...now, revision: 0, updatedAt: now.createdAt };
}

const cannotGoBack = ({ number }: WireBreak): MergeError =>
  new MergeError(`An edit of ${number} cannot be taken back, so its beginning is not known.`);

/** Confirmations and second readings are only ever added to, so what was added is taken off again by its identifier. */
function withoutLine(record: WireBreak, edit: Edit): WireBreak {
  switch (edit.kind) {
    case "add-confirmation":
      return withoutLines(record, [edit.confirmation.id], []);
    case "add-reading":
      return withoutLines(record, [], [edit.reading.id]);
    case "take-over": {
      const ids = (lines: readonly { readonly line: { readonly id: string } }[]) => lines.map(({ line }) => line.id);
      const own = withoutLines(record, ids(edit.confirmations), ids(edit.readings));
      return edit.back.reduce((now, one) => applyEdit(now, one, "").next, own);
    }
    case "set-number":
      // Stands in the log of a break that was brought in whole: it says so, and changes nothing.
      if (edit.number === record.number) return record;
      throw cannotGoBack(record);
    case "together":
      // The parts of such an edit have no inverses of their own; only lines that were added can be told apart.
      if (!edit.edits.every(({ kind }) => kind === "add-confirmation" || kind === "add-reading"))
        throw cannotGoBack(record);
      return [...edit.edits].reverse().reduce(withoutLine, record);
    default:
      throw cannotGoBack(record);
  }
}

function withoutLines(record: WireBreak, confirmations: readonly string[], readings: readonly string[]): WireBreak {
  const { readings: before = [], ...rest } = record;
  const left = before.filter(({ id }) => !readings.includes(id));
  const next = { ...rest, confirmations: record.confirmations.filter(({ id }) => !confirmations.includes(id)) };
  return left.length === 0 ? next : { ...next, readings: left };
}
