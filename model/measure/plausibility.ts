import { MeasureError } from "./measure-error.ts";
import type { Uncertain } from "./uncertain.ts";

/** A reading that does not fit its repeats. */
export interface Outlier {
  readonly index: number;
  readonly value: number;
  /** What it should be near: the median of the repeats. */
  readonly expected: number;
  readonly says: string;
}

export interface RepeatCheck {
  readonly median: number;
  /** Mean and standard uncertainty of the mean (s/√n) of the readings that fit; null when none does. */
  readonly mean: Uncertain | null;
  readonly outliers: readonly Outlier[];
}

/** Scale from the median absolute deviation to a standard deviation for a normal spread. @source 1/Φ⁻¹(3/4); from memory */
const MAD_TO_SD = 1.4826;
/** Robust standard deviations beyond which a repeat is questioned. @source common practice, no source */
const OUTLIER_BEYOND = 5;
/**
 * Spread that repeats of a diameter or edge have anyway, relative: with three readings the median absolute deviation can be zero
 * by chance. @source common practice, no source
 */
const LEAST_RELATIVE_SPREAD = 0.002;

/**
 * Finds readings that do not fit their repeats, as a slip of the keys makes them.
 *
 * Median and median absolute deviation are used, because one wild reading moves mean and standard deviation enough to hide itself.
 *
 * @param readings – three or more repeats of one length, same unit.
 * @throws MeasureError `too-few` below three; `not-a-number` for a reading that is not a finite number.
 */
export function checkRepeats(readings: readonly number[], name = "reading"): RepeatCheck {
  if (readings.length < 3) throw new MeasureError("too-few", "Three or more repeats are needed to find a slip.");
  if (!readings.every(Number.isFinite)) throw new MeasureError("not-a-number", "Every reading must be a number.");
  const middle = median(readings);
  const spread = MAD_TO_SD * median(readings.map((r) => Math.abs(r - middle)));
  const limit = OUTLIER_BEYOND * Math.max(spread, LEAST_RELATIVE_SPREAD * Math.abs(middle));
  const outliers = readings.flatMap((value, index): Outlier[] =>
    Math.abs(value - middle) > limit
      ? [{ index, value, expected: middle, says: slip(name, index, value, middle) }]
      : [],
  );
  const fitting = readings.filter((_, i) => !outliers.some((o) => o.index === i));
  return { median: middle, mean: meanOf(fitting), outliers };
}

function slip(name: string, index: number, value: number, expected: number): string {
  const digits = isDecadesApart(value, expected) ? " The decimal mark may be misplaced." : "";
  return `${name} ${index + 1} is ${value}, the others are near ${Number(expected.toPrecision(4))}.${digits} Read it again.`;
}

/** True when two numbers are a whole power of ten apart, as a misplaced decimal mark makes them. */
function isDecadesApart(value: number, expected: number): boolean {
  const decades = Math.log10(Math.abs(value / expected));
  return Math.abs(decades) > 0.5 && Math.abs(decades - Math.round(decades)) < 0.01;
}

function meanOf(values: readonly number[]): Uncertain | null {
  const n = values.length;
  if (n === 0) return null;
  const value = values.reduce((s, v) => s + v, 0) / n;
  const variance = n > 1 ? values.reduce((s, v) => s + (v - value) ** 2, 0) / (n - 1) : 0;
  return { value, u: Math.sqrt(variance / n) };
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const low = sorted[Math.floor((sorted.length - 1) / 2)] ?? NaN;
  const high = sorted[Math.floor(sorted.length / 2)] ?? NaN;
  return (low + high) / 2;
}

/** Readings of a flat test piece: thickness and width at three places, with the sections worked out from each pair. */
export interface TestPieceReadings {
  readonly thicknessMm: readonly number[];
  readonly widthMm: readonly number[];
  /** Section at each place, mm². */
  readonly sectionMm2: readonly number[];
  /** S₀ as stated, mm². */
  readonly statedSectionMm2: number;
}

export interface PieceFinding {
  readonly what: "thickness" | "width" | "section" | "stated section";
  readonly index: number | null;
  readonly says: string;
}

/** Product of the edges further than this from the section written beside it is questioned, relative. @source common practice, no source */
const SECTION_TOLERANCE = 0.002;

/**
 * Checks the readings of a test piece against each other: repeats, edge × edge against each section, mean section against S₀.
 *
 * A slip in one edge shows twice: it does not fit its repeats, and its section does not follow from it.
 */
export function checkTestPiece(piece: TestPieceReadings): readonly PieceFinding[] {
  const repeats = (what: "thickness" | "width" | "section", values: readonly number[]): PieceFinding[] =>
    checkRepeats(values, what).outliers.map((o) => ({ what, index: o.index, says: o.says }));
  const products = piece.sectionMm2.flatMap((section, index): PieceFinding[] => {
    const [a, b] = [piece.thicknessMm[index], piece.widthMm[index]];
    if (a === undefined || b === undefined || within(a * b, section, SECTION_TOLERANCE)) return [];
    const says = `Thickness ${a} times width ${b} is ${(a * b).toFixed(3)}, but section ${index + 1} is written as ${section}.`;
    return [{ what: "section", index, says }];
  });
  const average = piece.sectionMm2.reduce((s, v) => s + v, 0) / piece.sectionMm2.length;
  const stated: PieceFinding[] = within(average, piece.statedSectionMm2, SECTION_TOLERANCE)
    ? []
    : [
        {
          what: "stated section",
          index: null,
          says: `The mean section is ${average.toFixed(3)} mm², but S₀ is stated as ${piece.statedSectionMm2} mm².`,
        },
      ];
  return [
    ...repeats("thickness", piece.thicknessMm),
    ...repeats("width", piece.widthMm),
    ...repeats("section", piece.sectionMm2),
    ...products,
    ...stated,
  ];
}

const within = (a: number, b: number, relative: number) => Math.abs(a - b) <= relative * Math.abs(b);
