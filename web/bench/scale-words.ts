import type { Photograph } from "../../model/break/wire-break.ts";
import { describeScale, pxPerMm } from "../../model/measure/scale.ts";

export const pxPerMmOf = (photograph: Photograph): number | null => pxPerMm(photograph.scale)?.value ?? null;

/** The scale of a photograph in one short line, or that there is none. */
export function scaleLine(photograph: Photograph): string {
  if (photograph.scale === null) return "no scale: ratios and angles only";
  return describeScale(photograph.scale);
}
