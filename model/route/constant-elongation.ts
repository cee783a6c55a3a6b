import { RouteError } from "./route-error.ts";

/**
 * Exit diameters of a series in which every pass lengthens the wire alike.
 *
 * @param inMm - wire before the first die; `outMm` after the last; `dies` how many, a whole number above 0
 * @returns exit diameters in drawing order, mm; the last is `outMm`
 * @throws RouteError `diameters-not-a-reduction`, `count-not-whole`
 * @source definition
 * @example 8 mm to 2 mm in 2 dies → 4 mm, 2 mm
 */
export function constantElongation(inMm: number, outMm: number, dies: number): readonly number[] {
  if (!(inMm > outMm && outMm > 0 && Number.isFinite(inMm)))
    throw new RouteError("diameters-not-a-reduction", "The last diameter is smaller than the first; enter both in mm.");
  if (!Number.isInteger(dies) || dies < 1)
    throw new RouteError("count-not-whole", "The number of dies is a whole number, at least 1.");
  return Array.from({ length: dies }, (_, i) => (i === dies - 1 ? outMm : inMm * (outMm / inMm) ** ((i + 1) / dies)));
}
