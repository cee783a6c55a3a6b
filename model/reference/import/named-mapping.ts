import { type ColumnMapping, guessColumns, OLD_RECORD_FIELDS, type OldRecordField } from "./columns.ts";

/** What the columns of one kind of spreadsheet mean, kept under a name for the next one. */
export interface NamedMapping {
  readonly name: string;
  readonly separator: "," | ";" | "\t";
  /** Field of each heading, as pairs in their order; null = left out. */
  readonly columns: readonly (readonly [heading: string, field: OldRecordField | null])[];
}

const plain = (heading: string): string => heading.trim().toLowerCase();

/** The mapping as it falls on these headings; a heading it does not know is left out. */
export function fitted({ columns }: NamedMapping, head: readonly string[]): ColumnMapping {
  const known = new Map(columns.map(([heading, field]) => [plain(heading), field]));
  return head.map((heading) => {
    const field = known.get(plain(heading)) ?? null;
    return field !== null && OLD_RECORD_FIELDS.includes(field) ? field : null;
  });
}

/** The kept mapping whose headings are exactly these, whatever their order; null = none. */
export function mappingFor(head: readonly string[], kept: readonly NamedMapping[]): NamedMapping | null {
  const key = (headings: readonly string[]): string => JSON.stringify(headings.map(plain).sort());
  return kept.find(({ columns }) => key(columns.map(([heading]) => heading)) === key(head)) ?? null;
}

/** What the columns mean as far as can be told: by a mapping kept for these headings, else guessed from them. */
export function proposedMapping(
  head: readonly string[],
  kept: readonly NamedMapping[],
): { readonly mapping: ColumnMapping; readonly from: NamedMapping | null } {
  const from = mappingFor(head, kept);
  return { from, mapping: from === null ? guessColumns(head) : fitted(from, head) };
}
