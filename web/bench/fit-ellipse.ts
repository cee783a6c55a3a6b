import type { Point } from "../../model/break/geometry.ts";
import { fitEllipse } from "../../model/measure/outline.ts";
import type { EllipseGeometry } from "../canvas/types.ts";

/** The fitted ellipse, or null where no ellipse goes through the points: the canvas then asks for more points. */
export function fitEllipseGeometry(points: readonly Point[]): EllipseGeometry | null {
  const fit = fitEllipse(points);
  return fit === null ? null : fit.ellipse;
}
