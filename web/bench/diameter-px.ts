import type { EndSide, Photograph, Uncertain, WireBreak } from "../../model/break/wire-break.ts";
import { toUncertain } from "../../model/measure/uncertain.ts";
import { outlinesOn, wireFrame } from "../../model/measure/wire-frame.ts";

/** Diameter of the drawn wire outline, px, with the mark it was read from; null when none is drawn on this photograph. */
export function diameterPxOn(
  wireBreak: WireBreak,
  side: EndSide,
  photograph: Photograph,
): { readonly diameterPx: Uncertain; readonly markId: string } | null {
  const end = wireBreak.ends[side];
  const mark = outlinesOn(end, photograph.id)[0];
  if (mark === undefined) return null;
  const { diameterPx } = wireFrame(end, photograph, wireBreak);
  return diameterPx === null ? null : { diameterPx: toUncertain(diameterPx), markId: mark.id };
}
