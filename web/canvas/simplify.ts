import type { Point } from "../../model/break/geometry.ts";
import { distanceToPiece } from "./outline.ts";

/**
 * A traced line with the points left out that do not bend it.
 *
 * @param tolerancePx – largest distance a left-out point may have from the new line, photograph pixels.
 * @returns the first and last point and those needed between them.
 * @source D. H. Douglas and T. K. Peucker, Algorithms for the reduction of the number of points required to
 * represent a digitized line or its caricature, Cartographica 10 (1973) 112–122; from memory.
 */
export function simplified(points: readonly Point[], tolerancePx: number): readonly Point[] {
  const kept = new Set<number>([0, points.length - 1]);
  // An explicit stack: a slow trace may hold thousands of points, and recursion could run that deep.
  const open: [number, number][] = [[0, points.length - 1]];
  for (let span = open.pop(); span !== undefined; span = open.pop()) {
    const [from, to] = span;
    const a = points[from];
    const b = points[to];
    if (a === undefined || b === undefined) continue;
    let farthest = -1;
    let distance = tolerancePx;
    for (let i = from + 1; i < to; i++) {
      const p = points[i];
      const d = p === undefined ? 0 : distanceToPiece(p, a, b);
      if (d > distance) {
        distance = d;
        farthest = i;
      }
    }
    if (farthest < 0) continue;
    kept.add(farthest);
    open.push([from, farthest], [farthest, to]);
  }
  return points.filter((_, i) => kept.has(i));
}
