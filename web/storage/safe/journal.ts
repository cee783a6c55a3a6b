import type { Edit } from "../../../model/break/edits.ts";
import { applyEdit } from "../../../model/break/edits.ts";
import type { WireBreak } from "../../../model/break/wire-break.ts";
import { sameContent } from "../canonical.ts";
import type { LogEntry } from "../contract.ts";
import type { Place } from "./safe-files.ts";

/** An original in the journal: where its bytes lie. They are named by their SHA-256, which also proves them. */
export interface PlacedOriginal extends Place {
  readonly hash: string;
  readonly fileName: string;
  readonly mediaType: string;
}

/** A break touched by a frame. */
export interface JournalBreak {
  readonly id: string;
  readonly suggested: string;
  /** The record after the frame; left out where the log lines lead to it. */
  readonly record?: WireBreak;
  /** The log lines of the frame are all there are: whatever came before is replaced. */
  readonly all?: true;
}

/** One commit or one setting (no value: the setting was removed). Text, so that a person can read it too. */
export type JournalFrame =
  | {
      readonly kind: "commit";
      readonly entries: readonly LogEntry[];
      readonly breaks: readonly JournalBreak[];
      readonly originals: readonly PlacedOriginal[];
    }
  | { readonly kind: "setting"; readonly key: string; readonly value?: unknown };

/** A frame whose checksum was right but which this version does not know is left alone: null. */
export function readFrame(text: string): JournalFrame | null {
  const content = JSON.parse(text) as { readonly kind?: unknown };
  return content.kind === "commit" || content.kind === "setting" ? (content as JournalFrame) : null;
}

/** The whole record goes into the journal now and then, so that a damaged frame costs a short stretch at most. */
const WHOLE_EVERY = 64;

/**
 * How a break goes into the journal. Its record is left out only where following the log lines gives that very record.
 *
 * @param before – the record on the disk, undefined for a new break.
 * @param entries – its log lines in this frame, as they will be read again.
 */
export function journalBreak(
  before: WireBreak | undefined,
  record: WireBreak,
  suggested: string,
  entries: readonly LogEntry[],
): JournalBreak {
  const { id } = record;
  if (before !== undefined && entries.length === 0) return { id, suggested };
  const whole = { id, suggested, record };
  if (before === undefined || crosses(before.revision, record.revision)) return whole;
  if (entries.some(({ origin }) => origin === "import" || origin === "load")) return whole;
  const followed = follow(before, entries);
  return followed !== null && sameContent(followed, record) ? { id, suggested } : whole;
}

const crosses = (from: number, to: number): boolean => Math.floor(from / WHOLE_EVERY) !== Math.floor(to / WHOLE_EVERY);

/** The record after these log lines; null when they do not follow it. */
export function follow(
  from: WireBreak,
  entries: readonly { readonly edit: Edit; readonly revision: number; readonly at: string }[],
): WireBreak | null {
  let record = from;
  for (const { edit, revision, at } of entries) {
    if (revision !== record.revision + 1) return null;
    try {
      record = applyEdit(record, edit, at).next;
    } catch {
      return null; // The edit names something that is not there: lines before it were lost.
    }
  }
  return record;
}

/** Log lines by the break they belong to, in their order. */
export function linesByBreak<Line extends { readonly breakId: string }>(
  lines: readonly Line[],
): ReadonlyMap<string, readonly Line[]> {
  const byBreak = new Map<string, Line[]>();
  for (const line of lines) {
    const earlier = byBreak.get(line.breakId);
    if (earlier) earlier.push(line);
    else byBreak.set(line.breakId, [line]);
  }
  return byBreak;
}
