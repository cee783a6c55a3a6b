import type { Point } from "../../model/break/geometry.ts";
import type { EndSide, Photograph, WireBreak } from "../../model/break/wire-break.ts";
import { VIEW_KIND } from "../../model/evidence/features.ts";
import type { AxisLine } from "../canvas/types.ts";

/** The wire axis in a side view or section, from the drawn edges or the stated direction; null end-on. */
export function axisLineOf(wireBreak: WireBreak, side: EndSide, photograph: Photograph): AxisLine | null {
  const kind = VIEW_KIND[photograph.view];
  if (kind !== "S" && kind !== "L") return null;
  for (const mark of wireBreak.ends[side].marks) {
    if (mark.feature !== "wire_outline" || mark.photographId !== photograph.id || mark.geometry?.type !== "edges")
      continue;
    const [a1, a2, b1, b2] = mark.geometry.points;
    const middle = (p: Point, q: Point): Point => [(p[0] + q[0]) / 2, (p[1] + q[1]) / 2];
    const along = (a2[0] - a1[0]) * (b2[0] - b1[0]) + (a2[1] - a1[1]) * (b2[1] - b1[1]);
    const ends: AxisLine = along >= 0 ? [middle(a1, b1), middle(a2, b2)] : [middle(a1, b2), middle(a2, b1)];
    return ends;
  }
  if (photograph.axisDeg === null) return null;
  const angle = (photograph.axisDeg * Math.PI) / 180;
  const [x, y] = [photograph.widthPx / 2, photograph.heightPx / 2];
  return [
    [x, y],
    [x + 100 * Math.cos(angle), y + 100 * Math.sin(angle)],
  ];
}
