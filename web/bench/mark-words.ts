import type { EndSide, Mark, WireBreak } from "../../model/break/wire-break.ts";
import { formatMeasure } from "../../model/measure/format.ts";
import { measureMark, type Measure, type MarkMeasures } from "../../model/measure/measures.ts";
import type { LengthUnit } from "../../model/measure/units.ts";

/** Everything measured on a mark where it lies. */
export function measuresAt(mark: Mark, wireBreak: WireBreak, side: EndSide): MarkMeasures {
  const end = wireBreak.ends[side];
  const photograph = end.photographs.find((p) => p.id === mark.photographId) ?? null;
  return measureMark(mark, { photograph, end, side, wireBreak });
}

/** The measures that matter most at a glance, best first, with their short names; the rest is in the list. */
const HEADS: readonly (readonly [key: string, short: string])[] = [
  ["ra_pct", "RA"],
  ["d0_mm", "D"],
  ["neck_d_mm", "d"],
  ["hole_d_over_D", "hole/D"],
  ["flank_angle_deg", "flank"],
  ["angle_deg", ""],
  ["size_over_D", "size/D"],
  ["diameter_over_D", "d/D"],
  ["ovality_pct", "oval"],
];

function heads(mark: Mark, wireBreak: WireBreak, side: EndSide, most: number): readonly Measure[] {
  if (mark.state !== "present") return [];
  const rank = (m: Measure) => {
    const at = HEADS.findIndex(([key]) => key === m.key);
    return at < 0 ? HEADS.length : at;
  };
  return measuresAt(mark, wireBreak, side)
    .measures.filter((m) => typeof m.value === "number")
    .sort((a, b) => rank(a) - rank(b))
    .slice(0, most);
}

/** One or two measures in words for the list of marks; null when there is none. */
export function headline(mark: Mark, wireBreak: WireBreak, side: EndSide, unit: LengthUnit): string | null {
  const first = heads(mark, wireBreak, side, mark.feature === "neck" ? 2 : 1);
  return first.length === 0 ? null : first.map((m) => `${m.label} ${formatMeasure(m, unit)}`).join(" · ");
}

/** The same, short enough to stand at the mark on the picture. */
export function atTheMark(mark: Mark, wireBreak: WireBreak, side: EndSide, unit: LengthUnit): string | null {
  const [first] = heads(mark, wireBreak, side, 1);
  if (first === undefined) return null;
  const short = HEADS.find(([key]) => key === first.key)?.[1] ?? "";
  const text = formatMeasure(first, unit)
    .replace(/^little or no necking: /, "")
    .replace(" (k = 2)", "")
    .replace(" (uncertainty not stated)", "");
  return `${short} ${text}`.trim();
}
