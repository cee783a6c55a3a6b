import { applyEdit } from "../../model/break/edits.ts";
import type { WireBreak } from "../../model/break/wire-break.ts";
import { suggest } from "../../model/evidence/suggest.ts";
import { observe } from "../../model/measure/observe.ts";
import type { BreakSummary, NewLogEntry } from "../storage/contract.ts";
import { summarise } from "../storage/summary.ts";

export interface Imported {
  readonly record: WireBreak;
  readonly summary: BreakSummary;
  /** Says in the break's own log that it was brought in whole, by whom and when. It cannot be undone. */
  readonly entry: NewLogEntry;
}

/** A break that came in whole, ready to be stored. @param at – ISO 8601. */
export function importedBreak(wireBreak: WireBreak, by: string, at: string): Imported {
  const edit = { kind: "set-number", number: wireBreak.number } as const;
  const record = applyEdit(wireBreak, edit, at).next;
  return {
    record,
    summary: summarise(record, suggest(observe(record)).verdict),
    entry: { breakId: record.id, revision: record.revision, edit, inverse: null, origin: "import", of: null, by, at },
  };
}
