import type { ViewId } from "../evidence/features.ts";
import type { EndSide } from "./wire-break.ts";

/** What one file name, with its folders, says about where the photograph belongs. */
export interface NameReading {
  /** Number of the break, as it will be shown; null = none found. */
  readonly number: string | null;
  /** Where the number was found, for the reason. */
  readonly foundIn: "name" | "folder" | null;
  /** Letters of the number, lower case: names alike but for a running number are a counter, not breaks. */
  readonly series: string | null;
  /** Nothing but the number stands in the name. */
  readonly bare: boolean;
  readonly end: EndReading | null;
  /** A single "s": the spool, or a side view; the rest of the group decides. */
  readonly spoolOrSide: boolean;
  readonly view: { readonly view: ViewId | "side"; readonly token: string } | null;
  /** Last number in the name: the camera's counter. */
  readonly counter: number | null;
  /** Deepest folder that names neither an end nor a view nor a camera; null = none. */
  readonly folder: string | null;
}

export interface EndReading {
  readonly side: EndSide;
  readonly token: string;
  /** left and right, 1 and 2, A and B name two ends, but which is which is only taken for granted. */
  readonly sure: boolean;
}

/** Words before a number that come from cameras, programs, views and ends, not from a lab book. */
const NOT_A_SERIES = new Set(
  (
    "img image imag dsc dscn dscf dcim pict pic picture photo p pxl sam mvi gopr gp snap snapshot scan cimg hpim kif " +
    "screenshot capture shot frame copy edit x mag side end ends endon view tilt tilted deg angle face front axial " +
    "section long longitudinal trans transverse cross surface surf machine mach take takeup up tu spool left right " +
    "both pair m t s e ls ts mm um px v ver rev no of untitled file camera cam canon nikon sony olympus"
  ).split(" "),
);
const CAMERA_FOLDER =
  /^(dcim|\d{3}[a-z_]{3,8}|camera( roll)?|photos?|pictures?|images?|new folder.*|downloads?|desktop|\d+)$/;

/** Words for the ends. left, end 1 and A are taken for the machine end, which lies on the left of the bench. */
const ENDS: readonly (readonly [pattern: RegExp, side: EndSide, sure: boolean])[] = [
  [/\b(take up|takeup|tu|spool)( end)?\b/, "takeUp", true],
  [/\b(machine|mach)( end)?\b/, "machine", true],
  [/\bt\b/, "takeUp", true],
  [/\bm\b/, "machine", true],
  [/\b(left|end 1|end1)\b/, "machine", false],
  [/\b(right|end 2|end2)\b/, "takeUp", false],
  [/\ba\b/, "machine", false],
  [/\bb\b/, "takeUp", false],
];

const VIEWS: readonly (readonly [pattern: RegExp, view: ViewId | "side"])[] = [
  [/\b(end on|endon|axial|face|front)\b/, "end_on"],
  [/\b(side 90|side90|90 deg|90deg|s90)\b/, "side_90"],
  [/\b(side 0|side0|0 deg|0deg|s0)\b/, "side_0"],
  [/\b(tilted|tilt|tilt45|45 deg|45deg)( 45)?\b/, "tilt_45"],
  [/\b(section )?(transverse|trans|cross)( section)?\b/, "section_trans"],
  [/\b(section )?(longitudinal|long)( section)?\b/, "section_long"],
  [/\bsection\b/, "section_long"],
  [/\b(surface|surf)\b/, "surface"],
  [/\b(both ends|both|pair)\b/, "both_ends"],
  [/\bside\b/, "side"],
  [/\be\b/, "end_on"],
];

/**
 * Reads a file name and its folders. English words only; they are common practice, no source.
 * @param relativePath – "folder/name.jpg", or empty when only the name is known.
 */
export function readName(fileName: string, relativePath: string): NameReading {
  const stem = stemOf(fileName);
  const folders = relativePath
    .split(/[/\\]/)
    .slice(0, -1)
    .filter((folder) => folder !== "");
  const inName = numberIn(stem);
  const deepestFirst = [...folders].reverse();
  const inFolder = inName ? null : (deepestFirst.map((f) => numberIn(f.toLowerCase())).find((n) => n !== null) ?? null);
  const rest = inName?.rest ?? stem;
  const words = wordsOf(rest);
  const folderWords = deepestFirst.map((folder) => wordsOf(folder.toLowerCase()));
  const view = firstView(words) ?? firstOf(folderWords.map(firstView));
  // "both ends" and "end on" are views; what is left may name an end.
  const wordsForEnd = view ? words.replace(view.token, " ").replace(/\s+/g, " ") : words;
  return {
    number: inName?.number ?? inFolder?.number ?? null,
    foundIn: inName ? "name" : inFolder ? "folder" : null,
    series: inName?.series ?? null,
    bare: inName !== null && words === "",
    end: firstEnd(wordsForEnd) ?? firstOf(folderWords.map(firstEnd)),
    spoolOrSide: /\bs\b/.test(words),
    view,
    counter: counterOf(stem),
    folder: folderOf(deepestFirst),
  };
}

const stemOf = (fileName: string) => fileName.replace(/\.[^.]{1,5}$/, "").toLowerCase();

const wordsOf = (text: string) =>
  text
    .replace(/°/g, "deg")
    .replace(/[^a-z0-9]+/g, " ")
    .trim();

const firstOf = <T>(found: readonly (T | null)[]): T | null => found.find((one) => one !== null) ?? null;

function firstView(words: string): NameReading["view"] {
  for (const [pattern, view] of VIEWS) {
    const token = pattern.exec(words)?.[0];
    if (token !== undefined) return { view, token };
  }
  return null;
}

function firstEnd(words: string): EndReading | null {
  for (const [pattern, side, sure] of ENDS) {
    const token = pattern.exec(words)?.[0];
    if (token !== undefined) return { side, token, sure };
  }
  return null;
}

/** Finds "2026-11-03-2", "D-003", "B_0412", "break 12" in a lower-case name. */
function numberIn(name: string): { number: string; series: string; rest: string } | null {
  const dated =
    /(?<!\d)((?:19|20)\d\d)[-_. ]?([01]\d)[-_. ]?([0-3]\d)[-_. ](\d{1,3})(?!\d)(?![-_.:]\d\d[-_.:]\d\d)/.exec(name);
  if (dated) {
    const [all, year = "", month = "", day = "", count = ""] = dated;
    return {
      number: `${year}-${month}-${day}-${String(Number(count))}`,
      series: `${year}-${month}-${day}`,
      rest: cutOut(name, dated.index, all.length),
    };
  }
  const worded = /(?<![a-z])(break|wire|case|sample|specimen)[-_ ]?(\d{1,6})(?!\d)/.exec(name);
  if (worded) return labelled(name, worded);
  for (const found of name.matchAll(/(?<![a-z0-9])([a-z]{1,8})[-_ ]?(\d{2,6})(?!\d)/g)) {
    if (!NOT_A_SERIES.has(found[1] ?? "")) return labelled(name, found);
  }
  return null;
}

function labelled(name: string, found: RegExpExecArray): { number: string; series: string; rest: string } {
  const [all, series = "", digits = ""] = found;
  const label = series.length > 3 ? series.charAt(0).toUpperCase() + series.slice(1) : series.toUpperCase();
  return { number: `${label}-${digits}`, series, rest: cutOut(name, found.index, all.length) };
}

/** A letter glued to the number, as in D-003a, becomes a word of its own. */
const cutOut = (name: string, at: number, length: number) => `${name.slice(0, at)} ${name.slice(at + length)}`;

function counterOf(stem: string): number | null {
  const last = [...stem.matchAll(/\d+/g)].at(-1)?.[0];
  return last === undefined || last.length > 9 ? null : Number(last);
}

function folderOf(deepestFirst: readonly string[]): string | null {
  for (const folder of deepestFirst) {
    const words = wordsOf(folder.toLowerCase());
    const known = firstView(words)?.token === words || firstEnd(words)?.token === words;
    if (words !== "" && !known && !CAMERA_FOLDER.test(words)) return folder;
  }
  return null;
}
