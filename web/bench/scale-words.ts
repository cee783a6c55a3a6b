import type { Photograph } from "../../model/break/wire-break.ts";
import { pxPerMm } from "../../model/measure/scale.ts";

/** Pixels per mm along the screen, where a scale bar lies: of y once the photograph is turned on its side. */
export function pxPerMmOf({ scale, turnDeg }: Photograph): number | null {
  const onItsSide = Math.abs(turnDeg % 180) === 90;
  const y = scale?.method === "profile" ? scale.pxPerMmY : undefined;
  const known = pxPerMm(scale);
  return known === null ? null : onItsSide && y !== undefined ? y.value : known.value;
}

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
