import { typeName } from "../bench/words.ts";
import type { BreakSummary } from "../storage/contract.ts";

/** Where a break stands: "open" breaks have a suggestion nobody confirmed, "undecided" ones have none either. */
export type LogState = "undecided" | "open" | "confirmed" | "binned";

/** A break as the log searches and sorts it: everything lower-cased and padded once, not at every key press. */
export interface LogRow {
  readonly summary: BreakSummary;
  readonly state: LogState;
  /** Day or moment of the break, else of its record; ISO 8601. */
  readonly date: string;
  readonly text: string;
  readonly fields: Readonly<Record<SearchField, string>>;
  readonly endNotRecovered: boolean;
  readonly order: Readonly<Record<SortColumn, string | number>>;
}

export const SEARCH_FIELDS = [
  "number",
  "metal",
  "grade",
  "machine",
  "cast",
  "coil",
  "type",
  "suggested",
  "confirmed",
  "state",
  "by",
  "date",
  "end",
] as const;
export type SearchField = (typeof SEARCH_FIELDS)[number];

export const SORT_COLUMNS = ["number", "date", "wire", "machine", "type"] as const;
export type SortColumn = (typeof SORT_COLUMNS)[number];

/** Lower case, underscores as spaces: identifiers and typed words meet. */
export const plain = (text: string | null): string => (text ?? "").toLowerCase().replaceAll("_", " ");

/** Text that sorts as a person counts: "B-9" before "B-10". */
const counted = (text: string): string => plain(text).replace(/\d+/g, (digits) => digits.padStart(12, "0"));

export function stateOf(summary: BreakSummary): LogState {
  if (summary.binned) return "binned";
  if (summary.confirmed !== null) return "confirmed";
  return summary.suggested === "undetermined" ? "undecided" : "open";
}

const names = (id: string | null): string => (id === null ? "" : `${plain(id)} ${plain(typeName(id))}`);
const STATE_ORDER: Readonly<Record<LogState, number>> = { undecided: 0, open: 1, confirmed: 2, binned: 3 };

export function logRow(summary: BreakSummary): LogRow {
  const state = stateOf(summary);
  const date = summary.brokeAt ?? summary.createdAt;
  const suggested = names(summary.suggested);
  const confirmed = names(summary.confirmed);
  const endNotRecovered =
    summary.machineEnd.recovery === "not-recovered" || summary.takeUpEnd.recovery === "not-recovered";
  const fields = {
    number: plain(summary.number),
    metal: plain(summary.metal),
    grade: plain(summary.grade),
    machine: plain(summary.machine),
    cast: plain(summary.cast),
    coil: plain(summary.coil),
    type: confirmed || suggested,
    suggested,
    confirmed,
    // An undecided break is an open one too.
    state: state === "undecided" ? "undecided open" : state,
    by: plain(summary.confirmedBy),
    date: plain(date),
    end: endNotRecovered ? "not recovered" : "",
  };
  return {
    summary,
    state,
    date,
    text: `${summary.text} ${fields.number} ${suggested} ${confirmed} ${fields.state} ${fields.by} ${fields.end}`,
    fields,
    endNotRecovered,
    order: {
      number: counted(summary.number),
      date: momentOf(date),
      wire: `${fields.metal} ${fields.grade} ${(summary.diameterMm ?? 0).toFixed(4).padStart(10, "0")}`,
      machine: counted(`${summary.machine ?? ""} ${summary.cast ?? ""}`),
      type: `${STATE_ORDER[state]} ${fields.type}`,
    },
  };
}

const momentOf = (date: string): number => {
  const moment = Date.parse(date);
  return Number.isNaN(moment) ? 0 : moment;
};

/** Rows by break, so that one changed break does not prepare ten thousand again. */
export class LogIndex {
  readonly #rows = new WeakMap<BreakSummary, LogRow>();

  rows(summaries: readonly BreakSummary[]): readonly LogRow[] {
    return summaries.map((summary) => {
      const known = this.#rows.get(summary);
      if (known) return known;
      const row = logRow(summary);
      this.#rows.set(summary, row);
      return row;
    });
  }
}
