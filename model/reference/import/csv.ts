import { newBreak } from "../../break/new-break.ts";
import type { BreakContext, WireBreak } from "../../break/wire-break.ts";
import { BREAK_TYPE_IDS, type Verdict } from "../../evidence/break-type-ids.ts";
import { BREAK_TYPE_NAMES } from "../../evidence/type-names.ts";
import { readCsv } from "../export/csv.ts";
import type { ColumnMapping, OldRecordField } from "./columns.ts";

/** One line of a spreadsheet that can be taken over. */
export interface OldRecord {
  /** Line in the file, from 1 with the heading. */
  readonly line: number;
  readonly number: string;
  readonly context: Partial<BreakContext>;
  /** What the old record called it. It is kept as a note: importing confirms nothing. */
  readonly type: Verdict | null;
}

export interface CellFault {
  readonly line: number;
  /** Heading of the column; empty for the whole line. */
  readonly column: string;
  readonly says: string;
}

export interface OldRecords {
  readonly records: readonly OldRecord[];
  /** Lines with a fault are not among the records. */
  readonly faults: readonly CellFault[];
}

/**
 * Reads a spreadsheet of old records without changing anything: what it would give, and what is wrong, cell by cell.
 *
 * @param mapping – field of each column.
 * @param there – numbers that the bench has already.
 * @throws RangeError when the text is no table or no column holds the number of the break.
 */
export function readOldRecords(
  text: string,
  mapping: ColumnMapping,
  separator: "," | ";" | "\t",
  there: ReadonlySet<string> = new Set(),
): OldRecords {
  const { head, lines } = readCsv(text, separator);
  const at = mapping.indexOf("number");
  if (at < 0) throw new RangeError("No column holds the number of the break. Choose the one that does.");
  const twice = mapping.find((field, i) => field !== null && mapping.indexOf(field) !== i);
  if (twice) throw new RangeError(`Two columns are to be "${twice}". Leave one of them out.`);
  const faults: CellFault[] = [];
  const records: OldRecord[] = [];
  const seen = new Map<string, number>();
  lines.forEach((cells, i) => {
    const line = i + 2;
    const before = faults.length;
    const fault = (column: string, says: string) => faults.push({ line, column, says });
    if (cells.length > head.length) fault("", `The line has ${cells.length} cells, the heading ${head.length}.`);
    const number = (cells[at] ?? "").trim();
    const first = seen.get(number);
    if (number === "") fault(head[at] ?? "", "The break has no number.");
    else if (first !== undefined) fault(head[at] ?? "", `Line ${first} has the number ${number} already.`);
    else if (there.has(number)) fault(head[at] ?? "", `The bench has a break ${number} already.`);
    seen.set(number, line);
    const context: { -readonly [K in keyof BreakContext]?: BreakContext[K] } = {};
    let type: Verdict | null = null;
    mapping.forEach((field, j) => {
      const cell = (cells[j] ?? "").trim();
      if (field === null || field === "number" || cell === "") return;
      const said = take(field, cell, context, (found) => (type = found));
      if (said !== null) fault(head[j] ?? `column ${j + 1}`, said);
    });
    if (faults.length === before) records.push({ line, number, context, type });
  });
  return { records, faults };
}

type Filling = { -readonly [K in keyof BreakContext]?: BreakContext[K] };

/** null = taken over; else what is wrong with the cell. */
function take(field: OldRecordField, cell: string, context: Filling, setType: (type: Verdict) => void): string | null {
  switch (field) {
    case "diameterMm":
    case "diameterUm":
    case "lineSpeedMps": {
      const value = numberOf(cell);
      if (value === null || value <= 0) return `"${cell}" is no number above 0.`;
      if (field === "lineSpeedMps") context.lineSpeedMps = value;
      else if (field === "diameterUm") context.nominalDiameterMm = value / 1000;
      else context.nominalDiameterMm = value;
      if (field !== "lineSpeedMps" && context.nominalDiameterMm! > 50)
        return `A wire of ${context.nominalDiameterMm} mm is no wire: is the column in µm?`;
      return null;
    }
    case "brokeAt": {
      const day = dayOf(cell);
      if (day === null) return `"${cell}" is no day such as 2026-03-31 or 31.3.2026.`;
      context.brokeAt = day;
      return null;
    }
    case "type": {
      const type = typeOf(cell);
      if (type === null)
        return `"${cell}" is no break type known here. Leave the cell empty or use a name of the list.`;
      setType(type);
      return null;
    }
    default:
      if (cell.length > 500) return "The text is longer than 500 characters.";
      context[field as "metal"] = cell;
      return null;
  }
}

/** "1.6", "1,6", "1.234,5" and "1,234.5"; null = no number. */
export function numberOf(text: string): number | null {
  const bare = text.replace(/[\s\u00a0']/g, "");
  const german = /^[+-]?(\d{1,3}(\.\d{3})+|\d+),\d+$/.test(bare);
  const plain = german ? bare.replaceAll(".", "").replace(",", ".") : bare.replace(/,(?=\d{3}(\D|$))/g, "");
  return /^[+-]?\d+(\.\d+)?([eE][+-]?\d+)?$/.test(plain) ? Number(plain) : null;
}

/** ISO 8601 from "2026-03-31", "31.3.2026", each with a time or without; null = none, or a day there never was. */
export function dayOf(text: string): string | null {
  const found =
    /^(?<y>\d{4})-(?<m>\d{1,2})-(?<d>\d{1,2})(?:[T ](?<t>\d{1,2}:\d{2}(?::\d{2})?))?$/.exec(text) ??
    /^(?<d>\d{1,2})\.(?<m>\d{1,2})\.(?<y>\d{4})(?:,? +(?<t>\d{1,2}:\d{2}(?::\d{2})?))?$/.exec(text);
  if (!found?.groups) return null;
  const { y, m, d, t } = found.groups as Record<"y" | "m" | "d", string> & { t?: string };
  const day = `${y}-${m.padStart(2, "0")}-${d.padStart(2, "0")}`;
  const moment = new Date(`${day}T00:00:00Z`);
  if (Number.isNaN(moment.getTime()) || moment.toISOString().slice(0, 10) !== day) return null;
  if (t === undefined) return day;
  const [hour = "", minute = "", second] = t.split(":");
  if (Number(hour) > 23 || Number(minute) > 59 || Number(second ?? 0) > 59) return null;
  return `${day}T${hour.padStart(2, "0")}:${minute}${second === undefined ? "" : `:${second}`}`;
}

function typeOf(text: string): Verdict | null {
  const plain = text
    .toLowerCase()
    .replace(/[\s_-]+/g, " ")
    .trim();
  if (["undetermined", "undecided", "unknown"].includes(plain)) return "undetermined";
  const names = (type: (typeof BREAK_TYPE_IDS)[number]) => [type.replaceAll("_", " "), BREAK_TYPE_NAMES[type]];
  return BREAK_TYPE_IDS.find((type) => names(type).includes(plain)) ?? null;
}

/** Breaks of the bench from old records. The old verdict goes into the notes: a person confirms, never an import. */
export function breaksFromOldRecords(
  records: readonly OldRecord[],
  newId: () => string,
  at: string,
  source: string,
): readonly WireBreak[] {
  return records.map(({ number, context, type, line }) => {
    const empty = newBreak(newId(), number, at);
    const called = type === null ? "" : type === "undetermined" ? "undecided" : BREAK_TYPE_NAMES[type];
    const notes = [
      context.notes ?? "",
      called === "" ? "" : `The old record calls it ${called}.`,
      `From ${source}, line ${line}.`,
    ];
    return { ...empty, context: { ...empty.context, ...context, notes: notes.filter((n) => n !== "").join("\n") } };
  });
}
