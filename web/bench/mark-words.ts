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

/** The measures that matter most at a glance, best first; the rest is in the list. */
const HEAD_KEYS = ["ra_pct", "d0_mm", "neck_d_mm", "hole_d_over_D", "flank_angle_deg", "angle_deg", "size_over_D"];

/** The measures shown at the mark itself, or null. Never more than two, so that the picture stays visible. */
export function headline(mark: Mark, wireBreak: WireBreak, side: EndSide, unit: LengthUnit): string | null {
  if (mark.state !== "present") return null;
  const numbers = measuresAt(mark, wireBreak, side).measures.filter((m) => typeof m.value === "number");
  const rank = (m: Measure) => (HEAD_KEYS.includes(m.key) ? HEAD_KEYS.indexOf(m.key) : HEAD_KEYS.length);
  const first = [...numbers].sort((a, b) => rank(a) - rank(b)).slice(0, mark.feature === "neck" ? 2 : 1);
  return first.length === 0 ? null : first.map((m) => `${m.label} ${formatMeasure(m, unit)}`).join(" · ");
}
