import type { Mark } from "../break/wire-break.ts";
import type { FeatureId, ViewId } from "../evidence/features.ts";
import type { MeasureValue } from "../evidence/observations.ts";
import type { MarkSheet } from "./mark-sheet.ts";
import type { Measure, MeasureChoice, MarkPlacing } from "./measure.ts";
import { markSheet } from "./measures.ts";
import { exact, linear, mean, plus, standardUncertainty } from "./uncertain.ts";
import type { Quantity } from "./uncertain.ts";

/** How several marks of one feature on one photograph make one number. */
type Join = "mean" | "sum" | "largest" | "smallest";

/** Rows that differ from the mean. Key alone, or feature.key. @source common practice, no source */
const JOINS: Readonly<Record<string, Join>> = {
  area_fraction: "sum",
  lip_arc_fraction: "sum",
  count: "largest",
  ra_pct: "largest",
  ra_ratio: "largest",
  neck_d_mm: "smallest",
  size_over_D: "largest",
  hole_d_over_D: "largest",
  depth_d: "largest",
  depth_over_D: "largest",
  "longitudinal_line.length_d": "largest",
  "longitudinal_split.length_d": "largest",
  bend_angle_deg: "largest",
  bead_d_ratio: "largest",
  arc_fraction: "largest",
};

/** Measures of the same thing that must come from the same mark as the one named: the offset of the largest hole, not of any. */
const FOLLOWS: Readonly<Record<string, string>> = {
  "end_hole.offset_ratio": "hole_d_over_D",
  "particle.r_over_R": "size_over_D",
};

/** Views that show a face or the wire without slant come before the tilted one. */
const SECOND_CHOICE: readonly ViewId[] = ["tilt_45", "other"];

export interface JoinedMeasures {
  readonly measures: Readonly<Record<string, MeasureValue>>;
  readonly uncertainty: Readonly<Record<string, number>>;
}

interface Measured {
  readonly mark: Mark;
  readonly sheet: MarkSheet;
  readonly view: ViewId | null;
}

/**
 * One set of measures from all present marks of a feature on one end.
 *
 * For every key, marks where it was given are used alone, else those where it could be computed; marks on a tilted view only
 * when there is no other. Marks of one photograph are joined first (sum of areas, largest hole, mean of angles …); over several
 * photographs of the same end, which show the same thing again, means stay means and everything else takes the largest.
 */
export function joinMarks(
  feature: FeatureId,
  marks: readonly Mark[],
  on: Omit<MarkPlacing, "photograph">,
  choice: MeasureChoice = {},
): JoinedMeasures {
  const photographs = new Map(on.end.photographs.map((p) => [p.id, p]));
  const measured = marks.map((mark): Measured => {
    const photograph = mark.photographId === null ? null : (photographs.get(mark.photographId) ?? null);
    return { mark, sheet: markSheet(mark, { ...on, photograph }, choice), view: photograph?.view ?? null };
  });
  const measures: Record<string, MeasureValue> = {};
  const uncertainty: Record<string, number> = {};
  const keys = new Set(measured.flatMap((m) => m.sheet.result().measures.map((x) => x.key)));
  for (const key of keys) {
    const usable = bestMarks(measured, key);
    const follows = FOLLOWS[`${feature}.${key}`];
    const numeric = usable.filter(({ measure }) => typeof measure.value === "number");
    if (numeric.length > 0) {
      const chosen = follows === undefined ? numeric : leading(numeric, follows);
      const joined = joinNumbers(feature, key, chosen);
      measures[key] = joined.value;
      const u = standardUncertainty(joined);
      if (u > 0 && chosen.every(({ measure }) => measure.u !== null)) uncertainty[key] = u;
    } else {
      const word = joinWords(usable.map(({ measure }) => measure));
      if (word !== null) measures[key] = word;
    }
  }
  if (feature === "neck") joinNecks(measured, measures, uncertainty);
  if (feature === "cone_apex" && !("apex_direction" in measures) && on.wireBreak.rolesKnown)
    // A cone stands on the end it belongs to, so its tip points away from that end.
    measures["apex_direction"] = on.side === "machine" ? "toward_spool" : "toward_machine";
  return { measures, uncertainty };
}

interface Usable extends Measured {
  readonly measure: Measure;
}

function bestMarks(measured: readonly Measured[], key: string): readonly Usable[] {
  const all = measured.flatMap((m): Usable[] => {
    const measure = m.sheet.result().measures.find((x) => x.key === key);
    return measure === undefined ? [] : [{ ...m, measure }];
  });
  const given = all.filter(({ measure }) => measure.given);
  const among = given.length > 0 ? given : all;
  const straight = among.filter(({ view }) => view === null || !SECOND_CHOICE.includes(view));
  return straight.length > 0 ? straight : among;
}

/** The one mark with the largest value of another key; all when none has it. */
function leading(marks: readonly Usable[], key: string): readonly Usable[] {
  const sized = marks.filter((m) => m.sheet.quantity(key) !== undefined);
  const [first] = sized;
  if (first === undefined) return marks;
  const size = (m: Usable) => m.sheet.quantity(key)?.value ?? 0;
  return [sized.reduce((a, b) => (size(b) > size(a) ? b : a), first)];
}

function joinNumbers(feature: FeatureId, key: string, marks: readonly Usable[]): Quantity {
  const join = JOINS[`${feature}.${key}`] ?? JOINS[key] ?? "mean";
  const byPhotograph = new Map<string | null, Quantity[]>();
  for (const { mark, sheet } of marks) {
    const q = sheet.quantity(key);
    if (q !== undefined) byPhotograph.set(mark.photographId, [...(byPhotograph.get(mark.photographId) ?? []), q]);
  }
  const each = [...byPhotograph.values()].map((list) => joined(list, key === "clock" ? "clock" : join));
  return joined(each, key === "clock" ? "clock" : join === "sum" ? "largest" : join);
}

function joined(list: readonly Quantity[], how: Join | "clock"): Quantity {
  const [first = exact(0)] = list;
  switch (how) {
    case "mean":
      return mean(list);
    case "clock":
      // Twelve and one are neighbours: several starts are represented by the first one marked.
      return first;
    case "sum": {
      const total = list.slice(1).reduce(plus, first);
      return total.value <= 1 ? total : { value: 1, shares: total.shares };
    }
    case "largest":
      return list.reduce((a, b) => (b.value > a.value ? b : a), first);
    case "smallest":
      return list.reduce((a, b) => (b.value < a.value ? b : a), first);
  }
}

/** A flag is true when any mark says so; of choices and texts the latest stands. */
function joinWords(measures: readonly Measure[]): string | boolean | null {
  const flags = measures.filter((m) => typeof m.value === "boolean");
  if (flags.length > 0) return flags.some((m) => m.value === true);
  const last = measures.at(-1)?.value;
  return typeof last === "string" ? last : null;
}

/** Two necks at right angles: the diameter of the circle of equal section, from the smallest in each view. */
function joinNecks(
  measured: readonly Measured[],
  measures: Record<string, MeasureValue>,
  uncertainty: Record<string, number>,
): void {
  if (bestMarks(measured, "neck_d_mm").some(({ measure }) => measure.given)) return;
  const smallest = (view: ViewId): Quantity | null => {
    const list = measured.flatMap((m) => {
      const q = m.view === view ? m.sheet.quantity("neck_d_mm") : undefined;
      return q === undefined ? [] : [q];
    });
    return list.length === 0 ? null : joined(list, "smallest");
  };
  const [a, b] = [smallest("side_0"), smallest("side_90")];
  if (a === null || b === null) return;
  const d = Math.sqrt(a.value * b.value);
  const both = linear(d, [
    [a, b.value / (2 * d)],
    [b, a.value / (2 * d)],
  ]);
  measures["neck_d_mm"] = d;
  if ("neck_d_mm" in uncertainty) uncertainty["neck_d_mm"] = standardUncertainty(both);
}
