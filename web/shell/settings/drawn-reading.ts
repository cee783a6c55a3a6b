import type { Point } from "../../../model/break/geometry.ts";
import type { MicrometerReading } from "../../../model/measure/profile.ts";

/** A line further than this from the picture's edges belongs to no direction. @source common practice, no source */
export const SQUARE_WITHIN_DEG = 10;

/**
 * A line from graduation to graduation as a reading of the direction it runs in.
 *
 * @returns the reading, or a plain sentence why it is none.
 */
export function readingOfLine(a: Point, b: Point, lengthMm: number): MicrometerReading | string {
  const [dx, dy] = [Math.abs(b[0] - a[0]), Math.abs(b[1] - a[1])];
  const px = Math.hypot(dx, dy);
  if (!(px > 0)) return "The line has no length. Draw it from graduation to graduation.";
  const lean = (Math.atan2(Math.min(dx, dy), Math.max(dx, dy)) * 180) / Math.PI;
  if (lean > SQUARE_WITHIN_DEG)
    return `The line leans by ${lean.toFixed(0)}°. Lay the micrometer along an edge of the picture, within ${SQUARE_WITHIN_DEG}°.`;
  return { lengthMm, px, direction: dx >= dy ? "x" : "y", line: [a, b] };
}
