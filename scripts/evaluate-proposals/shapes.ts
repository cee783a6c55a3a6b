import type { Geometry, Point } from "../../model/break/geometry.ts";

/** Outline of a closed shape, px. */
export function closedOutline(geometry: Geometry): readonly Point[] {
  if (geometry.type !== "ellipse") return geometry.points;
  const { cx, cy, rx, ry, angle_deg } = geometry;
  const [cos, sin] = [Math.cos((angle_deg * Math.PI) / 180), Math.sin((angle_deg * Math.PI) / 180)];
  return Array.from({ length: 360 }, (_, i): Point => {
    const t = (i * Math.PI) / 180;
    const [u, v] = [rx * Math.cos(t), ry * Math.sin(t)];
    return [cx + u * cos - v * sin, cy + u * sin + v * cos];
  });
}

const LINES = 400;

/**
 * Intersection over union of two closed shapes, counted along 400 even lines through both: exact along the lines, so
 * good to about 0.001.
 */
export function overlap(a: Geometry, b: Geometry): number {
  const [p, q] = [closedOutline(a), closedOutline(b)];
  const ys = [...p, ...q].map(([, y]) => y);
  const [top, low] = [Math.min(...ys), Math.max(...ys)];
  let [both, either] = [0, 0];
  for (let i = 0; i < LINES; i++) {
    const y = top + ((low - top) * (i + 0.5)) / LINES;
    const [one, other] = [crossings(p, y), crossings(q, y)];
    const shared = sharedLength(one, other);
    both += shared;
    either += length(one) + length(other) - shared;
  }
  return either > 0 ? both / either : 0;
}

/** Where a level line enters and leaves a shape, in pairs. */
function crossings(points: readonly Point[], y: number): number[] {
  const xs: number[] = [];
  points.forEach(([x0, y0], i) => {
    const [x1, y1] = points[(i + 1) % points.length]!;
    if (y0 <= y !== y1 <= y) xs.push(x0 + ((y - y0) / (y1 - y0)) * (x1 - x0));
  });
  return xs.sort((a, b) => a - b);
}

const length = (xs: readonly number[]): number =>
  xs.reduce((sum, x, i) => (i % 2 === 1 ? sum + x - xs[i - 1]! : sum), 0);

function sharedLength(a: readonly number[], b: readonly number[]): number {
  let sum = 0;
  for (let i = 1; i < a.length; i += 2)
    for (let j = 1; j < b.length; j += 2) sum += Math.max(0, Math.min(a[i]!, b[j]!) - Math.max(a[i - 1]!, b[j - 1]!));
  return sum;
}

/** Mean distance of the corners of one line from another line, px. */
export function meanDistance(from: readonly Point[], to: readonly Point[]): number {
  const sum = from.reduce((s, p) => s + Math.min(...to.slice(1).map((b, i) => distanceToSegment(p, to[i]!, b))), 0);
  return sum / from.length;
}

function distanceToSegment([x, y]: Point, [x0, y0]: Point, [x1, y1]: Point): number {
  const squared = (x1 - x0) ** 2 + (y1 - y0) ** 2;
  const t = squared > 0 ? Math.max(0, Math.min(1, ((x - x0) * (x1 - x0) + (y - y0) * (y1 - y0)) / squared)) : 0;
  return Math.hypot(x - x0 - t * (x1 - x0), y - y0 - t * (y1 - y0));
}
