import type { Photograph } from "../../break/wire-break.ts";
import { scaleQuantity } from "../../measure/scale.ts";
import { toUncertain } from "../../measure/uncertain.ts";

/** Micrometres per pixel of the upright photograph, with the standard uncertainty where one is known. */
export interface PhotographScale {
  readonly umPerPx: number;
  /** null = not stated. */
  readonly u: number | null;
}

/** null = no scale that can be used. */
export function scaleOf({ id, scale }: Photograph): PhotographScale | null {
  const quantity = scaleQuantity(scale, id);
  if (quantity === null) return null;
  const { value, u } = toUncertain(quantity);
  if (!(value > 0)) return null;
  const umPerPx = 1000 / value;
  return { umPerPx: significant(umPerPx), u: u > 0 ? significant((umPerPx * u) / value) : null };
}

const significant = (v: number): number => Number(v.toPrecision(8));
