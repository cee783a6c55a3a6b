/** What a column of a pasted die list holds. */
export type DieColumn =
  "name" | "in" | "out" | "semi" | "full" | "angle" | "bearing" | "lubricant" | "mu" | "m" | "tonnes" | "none";

/** Units a diameter or bearing column may have; "d" is parts of the exit diameter. */
export type DieUnit = "mm" | "inch" | "mil" | "um" | "AWG" | "pct" | null;

export interface ColumnHead {
  readonly column: DieColumn;
  readonly unit: DieUnit;
  /** As it was typed; empty without a header. */
  readonly title: string;
}

/** Words in a heading, tried in this order: a full angle is told before an angle. */
const TITLES: readonly (readonly [DieColumn, RegExp])[] = [
  ["semi", /semi|half|^α$|^alpha$|\bα\b/],
  ["full", /full|included|total angle|2\s*α|2\s*alpha|apex angle|cone angle/],
  ["angle", /angle|approach/],
  ["bearing", /bearing|land|parallel/],
  ["lubricant", /lub|soap|emulsion/],
  ["mu", /^mu\b|^µ|^μ|coulomb|friction coeff|coefficient/],
  ["m", /^m$|shear factor|friction factor/],
  ["tonnes", /tonn|^t$|tons/],
  ["in", /\bin(let|put|going)?\b(?!\.?\s*\))|entry|\bd0\b|\bd_?in\b|before/],
  ["out", /\bout(let|put|going)?\b|exit|\bd1\b|\bd_?out\b|after|diam|\bsize\b|\bbore\b|ø|^d$/],
  ["name", /\bdie\b|\bno\b|name|number|pass|draft|^#$|id/],
];

const UNITS: readonly (readonly [DieUnit, RegExp])[] = [
  ["mm", /^(mm|millimet\w*)$/],
  ["inch", /^(in|in\.|inch|inches|")$/],
  ["mil", /^mils?$/],
  ["um", /^(um|µm|μm|microns?)$/],
  ["AWG", /^(awg|ga|gauge)$/],
  ["pct", /^(%|% ?of ?d\w*|%d|pct)$/],
];

export function unitOfWord(word: string): DieUnit | undefined {
  return UNITS.find(([, pattern]) => pattern.test(word.trim().toLowerCase()))?.[0];
}

/** A heading with its unit taken out of brackets, or of its last word. */
export function readHeading(title: string): ColumnHead {
  const text = title.trim().toLowerCase();
  const inBrackets = /[([]\s*([^)\]]*)\s*[)\]]/.exec(text)?.[1];
  const last = /^(.*\S)[\s,_/]+(\S+)$/.exec(text);
  const unit =
    inBrackets === undefined ? (last === null ? undefined : unitOfWord(last[2] ?? "")) : unitOfWord(inBrackets);
  const bare = text
    .replace(/[([].*?[)\]]/g, " ")
    .replace(/_/g, " ")
    .trim();
  const words = inBrackets === undefined && unit !== undefined && last !== null ? (last[1] ?? bare) : bare;
  const column = /^(awg|gauge)$/.test(words) ? "out" : TITLES.find(([, pattern]) => pattern.test(words))?.[0];
  return { column: column ?? "none", unit: unit ?? (/^(awg|gauge)$/.test(words) ? "AWG" : null), title: title.trim() };
}

/** How the cells of a pasted text are kept apart. */
/** "spaces": two or more, so that headings and cells may hold single ones. */
export type Separator = "tab" | "semicolon" | "comma" | "space" | "spaces";

const SPLIT: Readonly<Record<Separator, RegExp>> = {
  tab: /\t/,
  semicolon: /;/,
  comma: /,/,
  space: /\s+/,
  spaces: /\s{2,}/,
};

const UNIT_AFTER = /([\d.,/])\s+(mm|in\.?|inch|inches|mils?|[uµμ]m|awg|ga|°|deg|%)(?=\s|$)/gi;

/** A number keeps the unit beside it when spaces part the cells. */
const unitsJoined = (line: string): string => line.replace(UNIT_AFTER, "$1$2").replace(/\bawg\s+(?=\d)/gi, "awg");

export function cellsOf(line: string, separator: Separator): readonly string[] {
  const spaced = separator === "space" || separator === "spaces";
  const text = separator === "space" ? unitsJoined(line.trim()) : spaced ? line.trim() : line;
  return text.split(SPLIT[separator]).map((cell) => cell.trim().replace(/^"(.*)"$/, "$1"));
}

/** How columns are parted where only spaces are left to do it. */
function spacing(lines: readonly string[], hasHeader: boolean): Separator {
  if (!hasHeader) return "space";
  const alone = lines.slice(1).every((line) => !/\s/.test(unitsJoined(line.trim())));
  return alone || lines.every((line) => /\S\s{2,}\S/.test(line)) ? "spaces" : "space";
}

const numeric = (cell: string): boolean => /^[+-]?(\d+([.,]\d*)?|[.,]\d+)$/.test(cell.trim());

/**
 * How the lines are separated. A comma may part cells or be the decimal mark; when both readings make sense the
 * answer is null, because guessing would change every diameter.
 */
export function separatorOf(lines: readonly string[], hasHeader: boolean): Separator | null {
  if (lines.some((line) => line.includes("\t"))) return "tab";
  if (lines.some((line) => line.includes(";"))) return "semicolon";
  if (!lines.some((line) => line.includes(","))) return spacing(lines, hasHeader);
  if (hasHeader) return (lines[0] ?? "").includes(",") ? "comma" : spacing(lines, hasHeader);
  if (lines.some((line) => /\d\.\d/.test(line))) return "comma";
  if (lines.some((line) => /\d\s+\S/.test(line.trim()))) return "space";
  const counts = new Set(lines.map((line) => line.split(",").length));
  if (!(counts.size === 1 && counts.has(2)) && !lines.every((line) => line.split(",").length <= 2)) return "comma";
  const asDecimal = lines.map((line) => Number(line.replace(",", ".")));
  const falling = asDecimal.every((d, i) => i === 0 || d < (asDecimal[i - 1] ?? 0));
  const asCells = lines.every((line) => {
    const [a = Number.NaN, b = Number.NaN] = line.split(",").map(Number);
    return a > b;
  });
  if (falling && !asCells) return "space";
  return asCells && !falling ? "comma" : null;
}

/** Whether a first line holds headings: no cell of it is a number, and one is a known heading. */
export function isHeader(line: string): boolean {
  const cells = line.split(/[\t;,]/).map((c) => c.trim());
  return cells.every((c) => !numeric(c) && !/^\d/.test(c)) && cells.some((c) => readHeading(c).column !== "none");
}
