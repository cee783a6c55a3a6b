export type Cell = string | number | boolean | null;

/** What a spreadsheet would take for a formula: the sign goes behind an apostrophe, so that it stays text. */
const FORMULA = /^[=+\-@\t\r]/;

/**
 * One line of a table, with its line end. Texts that begin with = + - @ (or a tab or line break) get an apostrophe in
 * front; numbers stay numbers. null is an empty cell.
 *
 * @source RFC 4180; formulas: OWASP, CSV Injection (from memory).
 */
export function csvLine(cells: readonly Cell[]): string {
  return `${cells.map(cellText).join(",")}\r\n`;
}

function cellText(cell: Cell): string {
  if (cell === null) return "";
  if (typeof cell !== "string") return String(cell);
  const text = FORMULA.test(cell) ? `'${cell}` : cell;
  return /[",\r\n]/.test(text) || text !== text.trim() ? `"${text.replaceAll('"', '""')}"` : text;
}

export const isFormulaText = (text: string): boolean =>
  FORMULA.test(text) && !/^-?\d+(\.\d+)?([eE][+-]?\d+)?$/.test(text);

/** A table as it was read: every line a list of texts. */
export interface CsvText {
  readonly head: readonly string[];
  readonly lines: readonly (readonly string[])[];
}

/**
 * Reads a table: cells in quotes may hold separators, quotes and line breaks. A byte order mark is dropped, empty lines
 * are left out.
 *
 * @throws RangeError when a quoted cell does not end; the line is named.
 */
export function readCsv(text: string, separator = ","): CsvText {
  const rows: string[][] = [];
  let row: string[] = [];
  let cell = "";
  let quoted = false;
  let line = 1;
  let opened = 1;
  const bare = text.replace(/^\uFEFF/, "");
  const endRow = (): void => {
    row.push(cell);
    cell = "";
    if (row.length > 1 || row[0] !== "") rows.push(row);
    row = [];
  };
  for (let i = 0; i < bare.length; i++) {
    const sign = bare[i]!;
    if (sign === "\n") line++;
    if (quoted) {
      if (sign !== '"') cell += sign;
      else if (bare[i + 1] === '"') cell += bare[i++]!;
      else quoted = false;
    } else if (sign === '"' && cell === "") {
      quoted = true;
      opened = line;
    } else if (sign === separator) {
      row.push(cell);
      cell = "";
    } else if (sign === "\n" || sign === "\r") {
      if (sign === "\r" && bare[i + 1] === "\n") continue;
      endRow();
    } else cell += sign;
  }
  if (quoted) throw new RangeError(`Line ${opened}: a cell in quotes does not end.`);
  if (row.length > 0 || cell !== "") endRow();
  const [head = [], ...lines] = rows;
  return { head, lines };
}
