import type { Mark, Photograph } from "../../break/wire-break.ts";
import { scaleFault } from "../../measure/scale.ts";
import { stretched } from "../../measure/square-pixels.ts";
import { degToRad, radToDeg } from "../../measure/units.ts";

/** What a crop needs of a photograph, in square pixels as large as those along x. */
export interface SquareView {
  /** Factor on y that made the pixels square, exactly as the table of crops states it; 1 = they were. */
  readonly stretchY: number;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly axisDeg: number | null;
  readonly marks: readonly Mark[];
}

/** A photograph whose scale differs along x and y is stretched first: else a crop is true in one direction only. */
export function squareView(marks: readonly Mark[], { scale, widthPx, heightPx, axisDeg }: Photograph): SquareView {
  const uneven = scale?.method === "profile" && scale.pxPerMmY !== undefined && scaleFault(scale) === null;
  if (!uneven) return { stretchY: 1, widthPx, heightPx, axisDeg, marks };
  const by = Number((scale.pxPerMm.value / scale.pxPerMmY.value).toPrecision(8));
  const turned =
    axisDeg === null ? null : radToDeg(Math.atan2(by * Math.sin(degToRad(axisDeg)), Math.cos(degToRad(axisDeg))));
  const square = marks.map((m) => (m.geometry === null ? m : { ...m, geometry: stretched(m.geometry, by) }));
  return { stretchY: by, widthPx, heightPx: heightPx * by, axisDeg: turned, marks: square };
}
