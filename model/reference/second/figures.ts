import type { Stream } from "../../classifier/seeded.ts";
import { BREAK_TYPE_IDS, type Verdict } from "../../evidence/break-type-ids.ts";
import { FEATURE_IDS, type FeatureId } from "../../evidence/features.ts";
import type { MarkState } from "../../evidence/observations.ts";
import { AgreementError } from "../agreement/agreement-error.ts";
import { type AlphaInterval, alphaWithInterval } from "../agreement/alpha.ts";
import { agreementByType, type TypeAgreement } from "../agreement/by-type.ts";
import { cohenKappa, type Kappa } from "../agreement/kappa.ts";
import { type ReadingTable, readingTable } from "../agreement/reading-table.ts";
import type { MarksCompared } from "./compare-marks.ts";
import type { PairRead } from "./read-break.ts";
import { readerKey } from "./reader-name.ts";

/** Fewest breaks read twice of which a kappa or an alpha is stated. @source common practice, no source */
export const FEWEST_BREAKS = 10;
/** Fewest breaks one of the two must have called so before a type has figures of its own. @source common practice, no source */
export const FEWEST_OF_TYPE = 5;
/** Fewest marks in a mean. @source common practice, no source */
export const FEWEST_MARKS = 5;

/** A figure, or why there is none. */
export type Figure<T> =
  | { readonly value: T }
  | { readonly none: "too-few"; readonly have: number; readonly need: number }
  | { readonly none: "one-answer" };

/** What of a pair of readings the figures need. */
export type FigurePair = Pick<PairRead, "first" | "second"> & {
  readonly marks: Pick<MarksCompared, "drawn" | "firstOnly" | "secondOnly" | "judged">;
};
export interface FigureBreak {
  readonly pairs: readonly FigurePair[];
}

export interface MarkFigures {
  readonly feature: FeatureId;
  readonly both: number;
  readonly firstOnly: number;
  readonly secondOnly: number;
  /** 2·both / (2·both + firstOnly + secondOnly). */
  readonly share: number;
  /** Mean overlap of the outlines both drew; null where none were areas. */
  readonly iou: Figure<number> | null;
  /** Mean distance of the points or lines both drew, wire diameters; null where there were none. */
  readonly distanceD: Figure<number> | null;
}

export interface OrderedKappa {
  readonly kappa: number;
  /** 95 %: percentiles of kappa over breaks drawn anew, because judgements of one break hang together. */
  readonly low: number;
  readonly high: number;
}

export interface AgreementFigures {
  /** Breaks with a first and a second reading by two people. */
  readonly breaks: number;
  /** Of these, how many both called the same. */
  readonly same: number;
  /** First against second, by the types that were used. */
  readonly table: ReadingTable;
  readonly kappa: Figure<Kappa>;
  readonly byType: readonly TypeAgreement[];
  /** Everybody who read, first readers too. */
  readonly readers: number;
  /** null with two readers or fewer: then it says what kappa says. */
  readonly alpha: Figure<AlphaInterval> | null;
  /** Judgements of a feature that both made: absent, cannot be assessed, seen. */
  readonly states: { readonly table: ReadingTable; readonly judgements: number; readonly kappa: Figure<OrderedKappa> };
  readonly marks: readonly MarkFigures[];
}

/** In their order: what cannot be assessed lies between absent and seen. */
export const STATE_ORDER: readonly MarkState[] = ["absent", "not_assessable", "present"];
const TYPES: readonly Verdict[] = [...BREAK_TYPE_IDS, "undetermined"];
const DRAWS = 1000;

/**
 * How readers agree. Each break counts once: with its earliest second reading; alpha takes every reading.
 *
 * @param stream – a fresh seeded stream for each interval, so that one does not hang on the other.
 */
export function agreementFigures(breaks: readonly FigureBreak[], stream: (seed: number) => Stream): AgreementFigures {
  const read = breaks.filter(({ pairs }) => pairs.length > 0);
  const firsts = read.map(({ pairs }) => pairs[0]!);
  const labels = firsts.map(({ first, second }) => [first.type, second.type] as const);
  const used = TYPES.filter((type) => labels.some((pair) => pair.includes(type)));
  const table = readingTable(labels, used);
  const people = new Set(
    read.flatMap(({ pairs }) => pairs.flatMap(({ first, second }) => [readerKey(first.by), readerKey(second.by)])),
  );
  return {
    breaks: read.length,
    same: labels.filter(([a, b]) => a === b).length,
    table,
    kappa: figure(read.length, FEWEST_BREAKS, () => cohenKappa(table)),
    byType: read.length === 0 ? [] : agreementByType(table),
    readers: people.size,
    alpha:
      people.size <= 2
        ? null
        : figure(read.length, FEWEST_BREAKS, () => alphaWithInterval(read.map(unitOf), "names", stream(1), DRAWS)),
    states: statesOf(firsts, stream(2)),
    marks: marksOf(firsts),
  };
}

/** One break for alpha: the first label once, however many read it after. */
const unitOf = ({ pairs }: FigureBreak): readonly number[] => [
  TYPES.indexOf(pairs[0]!.first.type),
  ...pairs.map(({ second }) => TYPES.indexOf(second.type)),
];

function figure<T>(have: number, need: number, make: () => T): Figure<T> {
  if (have < need) return { none: "too-few", have, need };
  try {
    return { value: make() };
  } catch (error) {
    if (error instanceof AgreementError && error.code === "no-variation") return { none: "one-answer" };
    throw error;
  }
}

function statesOf(firsts: readonly FigurePair[], next: Stream): AgreementFigures["states"] {
  const size = STATE_ORDER.length;
  const counted = firsts.map(({ marks }) => {
    const counts = new Float64Array(size * size);
    for (const { first, second } of marks.judged)
      if (first !== null && second !== null) counts[STATE_ORDER.indexOf(first) * size + STATE_ORDER.indexOf(second)]!++;
    return counts;
  });
  const judging = counted.filter((counts) => counts.some((n) => n > 0));
  const whole = summed(judging, size);
  const judgements = whole.counts.flat().reduce((sum, n) => sum + n, 0);
  return {
    table: whole,
    judgements,
    kappa: figure(judging.length, FEWEST_BREAKS, () => {
      const { kappa } = cohenKappa(whole, "by-steps");
      const drawn = Array.from({ length: DRAWS }, () =>
        kappaOr(
          summed(
            judging.map(() => judging[Math.floor(next() * judging.length)]!),
            size,
          ),
        ),
      ).filter((k) => k !== null);
      drawn.sort((a, b) => a - b);
      const at = (share: number): number => drawn[Math.round(share * (drawn.length - 1))] ?? kappa;
      return { kappa, low: at(0.025), high: at(0.975) };
    }),
  };
}

/** null in a draw where all judgements are the same. */
function kappaOr(table: ReadingTable): number | null {
  try {
    return cohenKappa(table, "by-steps").kappa;
  } catch (error) {
    if (error instanceof AgreementError) return null;
    throw error;
  }
}

function summed(tables: readonly Float64Array[], size: number): ReadingTable {
  const all = new Float64Array(size * size);
  for (const table of tables) for (let i = 0; i < all.length; i++) all[i]! += table[i]!;
  return {
    labels: STATE_ORDER,
    counts: STATE_ORDER.map((_, i) => [...all.subarray(i * size, (i + 1) * size)]),
  };
}

function marksOf(firsts: readonly FigurePair[]): readonly MarkFigures[] {
  const drawn = firsts.flatMap(({ marks }) => marks.drawn);
  const count = (list: readonly FeatureId[], feature: FeatureId) => list.filter((f) => f === feature).length;
  const alone = { first: firsts.flatMap((p) => p.marks.firstOnly), second: firsts.flatMap((p) => p.marks.secondOnly) };
  return FEATURE_IDS.flatMap((feature): MarkFigures[] => {
    const pairs = drawn.filter((pair) => pair.feature === feature);
    const [firstOnly, secondOnly] = [count(alone.first, feature), count(alone.second, feature)];
    const all = 2 * pairs.length + firstOnly + secondOnly;
    if (all === 0) return [];
    return [
      {
        feature,
        both: pairs.length,
        firstOnly,
        secondOnly,
        share: (2 * pairs.length) / all,
        iou: meanOf(pairs.flatMap(({ iou }) => iou ?? [])),
        distanceD: meanOf(pairs.flatMap(({ distanceD }) => distanceD ?? [])),
      },
    ];
  });
}

function meanOf(values: readonly number[]): Figure<number> | null {
  if (values.length === 0) return null;
  return figure(values.length, FEWEST_MARKS, () => values.reduce((sum, v) => sum + v, 0) / values.length);
}
