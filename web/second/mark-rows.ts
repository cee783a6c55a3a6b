import type { EndSide, Mark, SecondReading, WireBreak } from "../../model/break/wire-break.ts";
import { END_SIDES } from "../../model/break/wire-break.ts";
import type { FeatureId } from "../../model/evidence/features.ts";
import { formatMeasure } from "../../model/measure/format.ts";
import type { LengthUnit } from "../../model/measure/units.ts";
import { compareMarks, type DrawnByBoth } from "../../model/reference/second/compare-marks.ts";
import { marksOfBoth } from "../../model/reference/second/pairs.ts";
import { measuresAt } from "../bench/mark-words.ts";

/** One thing on one end as two readers marked it; null = that reader did not. */
export interface MarkRow {
  readonly side: EndSide;
  /** Number at the marks of both, the same for one thing. */
  readonly number: number;
  readonly feature: FeatureId;
  readonly first: Mark | null;
  readonly second: Mark | null;
  readonly drawn: DrawnByBoth | null;
  readonly measures: readonly MeasureRow[];
}

export interface MeasureRow {
  readonly label: string;
  readonly first: string;
  readonly second: string;
  /** Beyond what both uncertainties (k = 2) allow; false where one is not stated. */
  readonly differs: boolean;
}

/** The record with the marks of one of the two: its measures are read from it. */
interface Worlds {
  readonly first: WireBreak;
  readonly second: WireBreak;
}

/** Everything that two readers marked, things of both in one row. */
export function markRows(wireBreak: WireBreak, reading: SecondReading, unit: LengthUnit): readonly MarkRow[] {
  const both = marksOfBoth(wireBreak, reading);
  const { drawn } = compareMarks(wireBreak, reading);
  const worlds: Worlds = { first: withMarks(wireBreak, both, "first"), second: withMarks(wireBreak, both, "second") };
  return END_SIDES.flatMap((side) => {
    const { first, second } = both[side];
    const left = { first: new Set(first), second: new Set(second) };
    const pairs: (readonly [Mark | null, Mark | null, DrawnByBoth | null])[] = [];
    const take = (a: Mark | undefined, b: Mark | undefined, as: DrawnByBoth | null) => {
      if (a) left.first.delete(a);
      if (b) left.second.delete(b);
      pairs.push([a ?? null, b ?? null, as]);
    };
    for (const pair of drawn.filter((each) => each.side === side))
      take(
        first.find(({ id }) => id === pair.firstId),
        second.find(({ id }) => id === pair.secondId),
        pair,
      );
    // What one of them only stated meets what the other says of the same feature; two drawn marks apart stay apart.
    for (const a of [...left.first]) {
      const b = [...left.second].find((m) => m.feature === a.feature && (m.geometry === null || a.geometry === null));
      take(a, b, null);
    }
    for (const b of left.second) take(undefined, b, null);
    return pairs.map(([a, b, as], i): MarkRow => ({
      side,
      number: i + 1,
      feature: (a ?? b)!.feature,
      first: a,
      second: b,
      drawn: as,
      measures: measureRows(a, b, side, worlds, unit),
    }));
  });
}

function withMarks(wireBreak: WireBreak, both: ReturnType<typeof marksOfBoth>, whose: "first" | "second"): WireBreak {
  const end = (side: EndSide) => ({ ...wireBreak.ends[side], marks: both[side][whose] });
  return { ...wireBreak, ends: { machine: end("machine"), takeUp: end("takeUp") } };
}

/** Measures in numbers that both marks give. */
function measureRows(
  first: Mark | null,
  second: Mark | null,
  side: EndSide,
  worlds: Worlds,
  unit: LengthUnit,
): readonly MeasureRow[] {
  if (first?.state !== "present" || second?.state !== "present") return [];
  const theirs = new Map(measuresAt(second, worlds.second, side).measures.map((m) => [m.key, m]));
  return measuresAt(first, worlds.first, side).measures.flatMap((mine): MeasureRow[] => {
    const other = theirs.get(mine.key);
    if (other === undefined || typeof mine.value !== "number" || typeof other.value !== "number") return [];
    const differs =
      mine.u !== null && other.u !== null && Math.abs(mine.value - other.value) > 2 * Math.hypot(mine.u, other.u);
    return [
      {
        label: mine.label,
        first: short(formatMeasure(mine, unit)),
        second: short(formatMeasure(other, unit)),
        differs,
      },
    ];
  });
}

/** The table says once that uncertainties are stated with k = 2. */
const short = (text: string): string => text.replace(" (k = 2)", "").replace(" (uncertainty not stated)", "");
