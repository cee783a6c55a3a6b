import type { Photograph } from "../../model/break/wire-break.ts";
import { pxPerMm } from "../../model/measure/scale.ts";

export const pxPerMmOf = (photograph: Photograph): number | null => pxPerMm(photograph.scale)?.value ?? null;

const FROM: Readonly<Record<NonNullable<Photograph["scale"]>["method"], string>> = {
  "wire-diameter": "wire diameter",
  "drawn-length": "drawn length",
  profile: "profile",
  stated: "stated",
};

/** The scale of a photograph in a few words, or that there is none. */
export function scaleLine(photograph: Photograph): string {
  const scale = pxPerMm(photograph.scale);
  if (photograph.scale === null || scale === null) return "no scale: ratios and angles only";
  return `${scale.value.toPrecision(4)} px/mm, ${FROM[photograph.scale.method]}`;
}
