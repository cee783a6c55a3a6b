import type { Point } from "../../model/break/geometry.ts";
import { MeasureError } from "../../model/measure/measure-error.ts";
import { fitEllipse } from "../../model/measure/outline.ts";
import type { EllipseGeometry } from "../canvas/types.ts";

/** The fitted ellipse, or null where no ellipse goes through the points: the canvas then asks for more points. */
export function fitEllipseGeometry(points: readonly Point[]): EllipseGeometry | null {
  try {
    // The placing uncertainty only sets the stated uncertainty, which the measure room works out again from the mark.
    return fitEllipse(points, 1).ellipse;
  } catch (error) {
    if (error instanceof MeasureError) return null;
    throw error;
  }
}
