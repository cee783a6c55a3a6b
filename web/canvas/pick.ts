import type { Geometry, Point } from "../../model/break/geometry.ts";
import { areaOf, boundsOf, distanceToStrokes, isInside, strokesOf, type Bounds, type Stroke } from "./outline.ts";

/** A mark prepared for picking: outline and box are worked out once, not at each movement of the pointer. */
export interface Pickable {
  readonly id: string;
  readonly strokes: readonly Stroke[];
  readonly bounds: Bounds | null;
}

export function pickable(id: string, geometry: Geometry): Pickable {
  const strokes = strokesOf(geometry);
  return { id, strokes, bounds: boundsOf(strokes) };
}

/**
 * The mark under a place. A line within reach wins over an area around the place, the nearest line over others,
 * and the smallest area over larger ones; of equals the one drawn last, because it lies on top.
 *
 * @param reachPx – how near a line must be, photograph pixels.
 * @returns null when none is there.
 */
export function pick(marks: readonly Pickable[], p: Point, reachPx: number): string | null {
  let line: { id: string; distance: number } | null = null;
  let area: { id: string; size: number } | null = null;
  for (const mark of marks) {
    const box = mark.bounds;
    if (box === null || p[0] < box.minX - reachPx || p[0] > box.maxX + reachPx) continue;
    if (p[1] < box.minY - reachPx || p[1] > box.maxY + reachPx) continue;
    const distance = distanceToStrokes(p, mark.strokes);
    if (distance <= reachPx && (line === null || distance <= line.distance)) line = { id: mark.id, distance };
    for (const stroke of mark.strokes) {
      if (!isInside(p, stroke)) continue;
      const size = areaOf(stroke);
      if (area === null || size <= area.size) area = { id: mark.id, size };
    }
  }
  return line?.id ?? area?.id ?? null;
}
