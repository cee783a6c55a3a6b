import { plain, SEARCH_FIELDS, type LogRow, type LogState, type SearchField, type SortColumn } from "./row.ts";

export interface LogFilter {
  /** The search line as typed. */
  readonly query: string;
  /** Empty = any. */
  readonly states: readonly LogState[];
  readonly metals: readonly string[];
  /** Break type, or "undetermined"; null = any. */
  readonly type: string | null;
  readonly typeBy: "either" | "suggested" | "confirmed";
  readonly machine: string | null;
  /** Days, "YYYY-MM-DD", both included; null = open. */
  readonly from: string | null;
  readonly to: string | null;
  readonly endNotRecovered: boolean;
}

export const NO_FILTER: LogFilter = {
  query: "",
  states: [],
  metals: [],
  type: null,
  typeBy: "either",
  machine: null,
  from: null,
  to: null,
  endNotRecovered: false,
};

export const isFiltering = (filter: LogFilter): boolean =>
  (Object.keys(NO_FILTER) as (keyof LogFilter)[]).some(
    (key) => key !== "typeBy" && String(filter[key]) !== String(NO_FILTER[key]),
  );

/** One word of the search line; `field` null = anywhere. */
export interface SearchWord {
  readonly field: SearchField | null;
  readonly value: string;
}

const isField = (name: string): name is SearchField => (SEARCH_FIELDS as readonly string[]).includes(name);

/**
 * Reads a search line: words, "quoted words", and field:value such as `type:central_burst` or `cast:"A 12"`.
 * A colon after something that is no field is part of the word.
 */
export function readQuery(query: string): readonly SearchWord[] {
  const words: SearchWord[] = [];
  for (const [, name, quoted, bare] of query.matchAll(/(?:(\w+):)?(?:"([^"]*)"?|(\S+))/g)) {
    const value = plain(quoted ?? bare ?? "").trim();
    const field = name?.toLowerCase();
    if (field !== undefined && !isField(field)) words.push({ field: null, value: `${field}:${value}` });
    else if (value !== "") words.push({ field: field ?? null, value });
  }
  return words;
}

/** Rows that match every part of the filter, in the order given. The bin is shown only when it is asked for. */
export function filterRows(rows: readonly LogRow[], filter: LogFilter): readonly LogRow[] {
  const words = readQuery(filter.query);
  const binAsked =
    filter.states.includes("binned") || words.some((w) => w.field === "state" && "binned".startsWith(w.value));
  return rows.filter((row) => {
    const { summary, fields } = row;
    if (row.state === "binned" && !binAsked) return false;
    if (filter.states.length > 0 && !filter.states.includes(row.state)) return false;
    if (filter.endNotRecovered && !row.endNotRecovered) return false;
    if (filter.metals.length > 0 && !filter.metals.includes(fields.metal)) return false;
    if (filter.machine !== null && summary.machine !== filter.machine) return false;
    if (filter.type !== null && !hasType(row, filter.type, filter.typeBy)) return false;
    const day = row.date.slice(0, 10);
    if (filter.from !== null && day < filter.from) return false;
    if (filter.to !== null && day > filter.to) return false;
    return words.every((w) => (w.field === null ? row.text : fields[w.field]).includes(w.value));
  });
}

function hasType({ summary }: LogRow, type: string, by: LogFilter["typeBy"]): boolean {
  const suggested = summary.suggested === type;
  const confirmed = summary.confirmed === type;
  return by === "suggested" ? suggested : by === "confirmed" ? confirmed : suggested || confirmed;
}

export interface LogSort {
  readonly column: SortColumn;
  readonly descending: boolean;
}
export const NEWEST_FIRST: LogSort = { column: "date", descending: true };

/** Sorted by one column; equal ones newest first. */
export function sortRows(rows: readonly LogRow[], { column, descending }: LogSort): readonly LogRow[] {
  const sign = descending ? -1 : 1;
  return [...rows].sort((a, b) => {
    const [x, y] = [a.order[column], b.order[column]];
    if (x !== y) return x < y ? -sign : sign;
    return Number(b.order.date) - Number(a.order.date) || (a.order.number < b.order.number ? 1 : -1);
  });
}

/** A value the breaks on the bench have, and how many have it. */
export interface Facet {
  readonly value: string;
  readonly count: number;
}

/** Values of one field, most frequent first. */
export function facets(rows: readonly LogRow[], valueOf: (row: LogRow) => string | null): readonly Facet[] {
  const counts = new Map<string, number>();
  for (const row of rows) {
    const value = valueOf(row);
    if (value !== null && value !== "") counts.set(value, (counts.get(value) ?? 0) + 1);
  }
  return [...counts]
    .map(([value, count]) => ({ value, count }))
    .sort((a, b) => b.count - a.count || (a.value < b.value ? -1 : 1));
}
