import type { Edit } from "../../break/edits.ts";
import type { WireBreak } from "../../break/wire-break.ts";
import { between } from "./between.ts";
import { type History, historyFrom, type LoggedEdit, mergeHistories } from "./history.ts";
import { type Merged, mergedRecord } from "./merge.ts";

export interface TakeOver {
  /** The one edit that brings this bench's record to what all lines of both lead to; null = nothing new in the other. */
  readonly edit: Extract<Edit, { readonly kind: "take-over" }> | null;
  /** Lines of the other that are new here. */
  readonly lines: number;
  readonly merged: Merged;
}

/**
 * What another bench did with a break, as one edit of this bench's log.
 *
 * The log stays a line: it is added to, never written anew. The edit carries the other's lines as they were written,
 * with what they followed, so the next meeting knows them again and nothing goes back and forth; and it carries the
 * changes that lead from the record here to the merged one, so replaying the log gives the record.
 *
 * @param record – of this bench, and the log that leads to it.
 * @throws MergeError when the two did not begin as one break.
 */
export function takeOver(record: WireBreak, log: readonly LoggedEdit[], other: History): TakeOver {
  const here = historyFrom(record, log);
  const both = mergeHistories(here, other);
  const merged = mergedRecord(both);
  const lines = both.lines.slice(here.lines.length);
  if (lines.length === 0) return { edit: null, lines: 0, merged };
  return { edit: { kind: "take-over", lines, ...between(record, merged.record) }, lines: lines.length, merged };
}
