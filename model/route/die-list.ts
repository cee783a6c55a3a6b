import { awgFromName, awgToMm } from "../measure/awg.ts";
import { inchToMm } from "../measure/units.ts";
import {
  cellsOf,
  isHeader,
  readHeading,
  separatorOf,
  unitOfWord,
  type ColumnHead,
  type DieColumn,
  type DieUnit,
} from "./die-list-columns.ts";

/** One die as it was pasted. What the list did not say is null. */
export interface PastedDie {
  readonly name: string | null;
  readonly inMm: number | null;
  readonly outMm: number;
  readonly semiAngleDeg: number | null;
  readonly bearingMm: number | null;
  readonly lubricant: string | null;
  readonly mu: number | null;
  readonly m: number | null;
  readonly tonnes: number | null;
}

export type DieListFaultCode =
  | "empty"
  | "ambiguous-comma"
  | "no-diameter-column"
  | "angle-kind-unknown"
  | "not-a-number"
  | "not-positive"
  | "awg-size"
  | "unknown-unit"
  | "out-of-range"
  | "missing-cell"
  | "not-a-reduction"
  | "does-not-follow";

/** A fault at its cell: row and column counted from 1 as in the pasted text; column 0 = the whole row. */
export interface DieListFault {
  readonly row: number;
  readonly column: number;
  readonly code: DieListFaultCode;
  readonly sentence: string;
}

export interface DieListOptions {
  /** Unit of diameters when the list does not say. */
  readonly unit?: "mm" | "inch" | "AWG";
  /** What a column called only "angle" holds; left out = ask. */
  readonly angle?: "semi" | "full";
  /** A list of diameters alone starts with the rod. */
  readonly firstIsRod?: boolean;
}

export interface DieList {
  readonly dies: readonly PastedDie[];
  /** Diameter of the rod when the list gives it. */
  readonly rodMm: number | null;
  readonly faults: readonly DieListFault[];
  /** Columns as they were understood, for showing back. */
  readonly columns: readonly ColumnHead[];
}

const MOST_SEMI_DEG = 45;
/** Diameters of neighbouring dies may differ by this much before the list is taken to be broken, parts. */
const FOLLOWS_WITHIN = 0.02;

class Fault extends Error {
  constructor(
    readonly code: DieListFaultCode,
    message: string,
  ) {
    super(message);
  }
}

function readNumber(cell: string): number {
  const text = cell.trim();
  if (!/^[+-]?(\d+([.,]\d*)?|[.,]\d+)$/.test(text))
    throw new Fault("not-a-number", `"${text}" is not a number. Type one such as 2.05 or 2,05.`);
  return Number(text.replace(",", "."));
}

const toMm = (value: number, unit: DieUnit): number => {
  if (unit === "inch") return inchToMm(value);
  if (unit === "mil") return inchToMm(value / 1000);
  return unit === "um" ? value / 1000 : value;
};

/** Diameter in mm of a cell with or without a unit. @source b258 for AWG sizes */
function readDiameter(cell: string, unit: DieUnit): number {
  const text = cell.trim();
  const gauge =
    /^awg\s*(\S+)$/i.exec(text) ?? /^(\S+)\s*(awg|ga)$/i.exec(text) ?? (unit === "AWG" ? [text, text] : null);
  if (gauge !== null) {
    const size = awgFromName(gauge[1] ?? "");
    if (size === null)
      throw new Fault("awg-size", `"${gauge[1] ?? ""}" is not an AWG size. Sizes run from 0000 (or 4/0) to 56.`);
    return awgToMm(size);
  }
  const parts = /^([+-]?[\d.,]+)\s*(\D*)$/.exec(text);
  const own = parts?.[2] === undefined || parts[2] === "" ? unit : unitOfWord(parts[2]);
  if (own === undefined || own === "pct")
    throw new Fault("unknown-unit", `"${parts?.[2] ?? ""}" is not a length unit here. Use mm, µm, inch, mil or AWG.`);
  const value = readNumber(parts?.[1] ?? text);
  if (!(value > 0)) throw new Fault("not-positive", "A diameter is greater than zero.");
  return toMm(value, own);
}

const inRange = (value: number, least: number, most: number, what: string): number => {
  if (value < least || value > most)
    throw new Fault("out-of-range", `${what} lies between ${least} and ${most}; this is ${value}.`);
  return value;
};

const readAngle = (cell: string, parts: 1 | 2): number =>
  inRange(
    readNumber(cell.replace(/(°|deg)\s*$/i, "")) / parts,
    0.5,
    MOST_SEMI_DEG,
    parts === 2 ? "Half of a full die angle in degrees" : "A die semi-angle in degrees",
  );

function readBearing(cell: string, unit: DieUnit, outMm: number): number {
  const percent = unit === "pct" || /%\s*$/.test(cell);
  const bare = cell.replace(/(%|mm)\s*$/i, "");
  const value = inRange(readNumber(bare), 0, percent ? 500 : 100, percent ? "A bearing in % of d" : "A bearing length");
  return percent ? (value / 100) * outMm : toMm(value, unit);
}

/** Meaning of the columns of a list without a header, by how many there are. */
function guessColumns(rows: readonly (readonly string[])[], unit: DieUnit): readonly ColumnHead[] {
  const width = Math.max(...rows.map((r) => r.length));
  const number = (cell: string | undefined): number => {
    try {
      return readDiameter(cell ?? "", unit);
    } catch {
      return Number.NaN;
    }
  };
  const chained = rows.every(
    (r, i) =>
      number(r[1]) < number(r[0]) &&
      (i === 0 || Math.abs(number(r[0]) / number(rows[i - 1]?.[1]) - 1) < FOLLOWS_WITHIN),
  );
  const two: readonly DieColumn[] = chained ? ["in", "out"] : ["out", "angle"];
  const known: readonly DieColumn[] =
    width === 1 ? ["out"] : width === 2 ? two : ["in", "out", "angle", "bearing", "mu"];
  return Array.from({ length: width }, (_, i) => ({ column: known[i] ?? "none", unit: null, title: "" }));
}

/**
 * Reads a list of dies pasted from a spreadsheet.
 *
 * Cells are parted by tabs, semicolons, commas or spaces; decimals by a point or a comma; headings are optional.
 * Diameters may be mm, inch, mil, µm or AWG, in the heading, in the cell or as an option. A column called only "angle"
 * is not taken for half or full: that must be said.
 *
 * @returns the dies that could be read, and every fault at its row and column
 */
export function parseDieList(text: string, options: DieListOptions = {}): DieList {
  const lines = text
    .replace(/^\uFEFF/, "")
    .split(/\r\n|\r|\n/)
    .map((line, i) => ({ line, row: i + 1 }))
    .filter(({ line }) => line.trim() !== "" && !/^[\s\t;,]*$/.test(line));
  const whole = (code: DieListFaultCode, sentence: string, row = 1, column = 0): DieList => ({
    dies: [],
    rodMm: null,
    columns: [],
    faults: [{ row, column, code, sentence }],
  });
  const [first] = lines;
  if (first === undefined) return whole("empty", "Nothing was pasted. Copy the die list with its diameters.");
  const header = isHeader(first.line);
  const separator = separatorOf(
    lines.map((l) => l.line),
    header,
  );
  if (separator === null)
    return whole(
      "ambiguous-comma",
      "A comma could part the columns or be the decimal mark. Paste with tabs or semicolons, or use decimal points.",
      first.row,
    );
  const body = (header ? lines.slice(1) : lines).map(({ line, row }) => ({ row, cells: cellsOf(line, separator) }));
  const unit: DieUnit = options.unit ?? "mm";
  const columns = header
    ? cellsOf(first.line, separator).map(readHeading)
    : guessColumns(
        body.map((b) => b.cells),
        unit,
      );
  if (!columns.some((c) => c.column === "out"))
    return whole("no-diameter-column", 'No column holds the diameter after the die. Call it "out".', first.row);
  const angle = columns.findIndex((c) => c.column === "angle");
  if (angle >= 0 && options.angle === undefined)
    return {
      ...whole("angle-kind-unknown", "Say whether this is half or the full die angle.", first.row, angle + 1),
      columns,
    };

  const faults: DieListFault[] = [];
  const dies: PastedDie[] = [];
  let before: number | null = null;
  let rodMm: number | null = null;
  for (const { row, cells } of body) {
    const die = readDie(row, cells);
    if (die === null) {
      before = null;
      continue;
    }
    const rodFirst = options.firstIsRod ?? (!header && columns.length === 1);
    if (rodFirst && rodMm === null && dies.length === 0 && before === null) {
      rodMm = die.outMm;
      before = die.outMm;
      continue;
    }
    const outColumn = columns.findIndex((c) => c.column === "out") + 1;
    const inColumn = columns.findIndex((c) => c.column === "in") + 1;
    if (die.inMm !== null && before !== null && Math.abs(die.inMm / before - 1) > FOLLOWS_WITHIN)
      faults.push({
        row,
        column: inColumn,
        code: "does-not-follow",
        sentence: `The die before leaves ${round(before)} mm, this one takes ${round(die.inMm)} mm.`,
      });
    const inMm: number | null = die.inMm ?? before;
    if (inMm !== null && die.outMm >= inMm)
      faults.push({
        row,
        column: outColumn,
        code: "not-a-reduction",
        sentence: `The wire leaves at ${round(die.outMm)} mm but enters at ${round(inMm)} mm: a die makes it thinner.`,
      });
    if (dies.length === 0 && rodMm === null) rodMm = die.inMm;
    before = die.outMm;
    dies.push(die);
  }
  return { dies, rodMm, faults, columns };

  function readDie(row: number, cells: readonly string[]): PastedDie | null {
    let bad = false;
    const read = <T>(wanted: DieColumn, how: (cell: string, head: ColumnHead) => T): T | null => {
      const at = columns.findIndex((c) => c.column === wanted);
      const head = columns[at];
      const cell = cells[at] ?? "";
      if (head === undefined || cell === "") return null;
      try {
        return how(cell, head);
      } catch (error) {
        if (!(error instanceof Fault)) throw error;
        bad = true;
        faults.push({ row, column: at + 1, code: error.code, sentence: error.message });
        return null;
      }
    };
    const outMm = read("out", (cell, head) => readDiameter(cell, head.unit ?? unit));
    const inMm = read("in", (cell, head) => readDiameter(cell, head.unit ?? unit));
    const angles = [
      read("semi", (cell) => readAngle(cell, 1)),
      read("full", (cell) => readAngle(cell, 2)),
      read("angle", (cell) => readAngle(cell, options.angle === "full" ? 2 : 1)),
    ];
    const die = {
      name: read("name", (cell) => cell),
      inMm,
      semiAngleDeg: angles.find((a) => a !== null) ?? null,
      bearingMm: read("bearing", (cell, head) => readBearing(cell, head.unit, outMm ?? 0)),
      lubricant: read("lubricant", (cell) => cell),
      mu: read("mu", (cell) => inRange(readNumber(cell), 0, 0.577, "A Coulomb coefficient")),
      m: read("m", (cell) => inRange(readNumber(cell), 0, 1, "A shear factor")),
      tonnes: read("tonnes", (cell) => inRange(readNumber(cell), 0, 1e6, "Tonnes drawn")),
    };
    if (outMm === null) {
      if (!bad)
        faults.push({
          row,
          column: columns.findIndex((c) => c.column === "out") + 1,
          code: "missing-cell",
          sentence: "The diameter after this die is missing.",
        });
      return null;
    }
    return { ...die, outMm };
  }
}

const round = (mm: number): string => String(Math.round(mm * 1e4) / 1e4);
