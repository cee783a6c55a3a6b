import type { Geometry, Point } from "../../break/geometry.ts";

/**
 * The same shape on a larger or smaller copy of the picture.
 *
 * @param by – px of the target per px of the source, the same in both directions.
 */
export function enlarge<G extends Geometry>(geometry: G, by: number): G;
export function enlarge(geometry: Geometry, by: number): Geometry {
  if (geometry.type === "ellipse") {
    const { cx, cy, rx, ry } = geometry;
    return { ...geometry, cx: cx * by, cy: cy * by, rx: rx * by, ry: ry * by };
  }
  const points = (geometry.points as readonly Point[]).map(([x, y]): Point => [x * by, y * by]);
  return { ...geometry, points } as unknown as Geometry;
}
