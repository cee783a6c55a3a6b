import type { Geometry, Point } from "../../model/break/geometry.ts";

/** Straight pieces a mark is made of, photograph pixels. Used to draw, to pick and to place labels. */
export interface Stroke {
  readonly points: readonly Point[];
  readonly closed: boolean;
}

/** Pieces of an ellipse's outline: 72 keeps the chord error below 0.1 % of the larger radius. */
const ELLIPSE_STEPS = 72;

type Ellipse = Extract<Geometry, { type: "ellipse" }>;

/** The place of the ellipse at a parameter, degrees from its rx axis (not the polar angle). */
export function ellipsePoint(e: Ellipse, parameterDeg: number): Point {
  const turn = (e.angle_deg * Math.PI) / 180;
  const t = (parameterDeg * Math.PI) / 180;
  const x = e.rx * Math.cos(t);
  const y = e.ry * Math.sin(t);
  return [e.cx + x * Math.cos(turn) - y * Math.sin(turn), e.cy + x * Math.sin(turn) + y * Math.cos(turn)];
}

/** The strokes of a geometry; a point has one stroke of one place. */
export function strokesOf(g: Geometry): readonly Stroke[] {
  switch (g.type) {
    case "ellipse": {
      const points: Point[] = [];
      for (let i = 0; i < ELLIPSE_STEPS; i++) points.push(ellipsePoint(g, (360 * i) / ELLIPSE_STEPS));
      return [{ points, closed: true }];
    }
    case "edges": {
      const [a1, a2, b1, b2] = g.points;
      return [
        { points: [a1, a2], closed: false },
        { points: [b1, b2], closed: false },
      ];
    }
    default:
      return [{ points: g.points, closed: g.type === "polygon" }];
  }
}

/** Smallest upright box round the strokes, photograph pixels. */
export interface Bounds {
  readonly minX: number;
  readonly minY: number;
  readonly maxX: number;
  readonly maxY: number;
}

/** @returns null when there is no point at all. */
export function boundsOf(strokes: readonly Stroke[]): Bounds | null {
  let minX = Infinity;
  let minY = Infinity;
  let maxX = -Infinity;
  let maxY = -Infinity;
  for (const stroke of strokes)
    for (const [x, y] of stroke.points) {
      minX = Math.min(minX, x);
      maxX = Math.max(maxX, x);
      minY = Math.min(minY, y);
      maxY = Math.max(maxY, y);
    }
  return minX <= maxX ? { minX, minY, maxX, maxY } : null;
}

/** Distance of a place from a straight piece between two places. */
export function distanceToPiece(p: Point, a: Point, b: Point): number {
  const dx = b[0] - a[0];
  const dy = b[1] - a[1];
  const length2 = dx * dx + dy * dy;
  const along = length2 === 0 ? 0 : ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / length2;
  const t = Math.min(1, Math.max(0, along));
  return Math.hypot(p[0] - a[0] - t * dx, p[1] - a[1] - t * dy);
}

/** Distance of a place from the drawn line of a mark. */
export function distanceToStrokes(p: Point, strokes: readonly Stroke[]): number {
  let least = Infinity;
  for (const { points, closed } of strokes) {
    const first = points[0];
    if (first === undefined) continue;
    if (points.length === 1) least = Math.min(least, Math.hypot(p[0] - first[0], p[1] - first[1]));
    let from = closed ? (points[points.length - 1] ?? first) : first;
    for (let i = closed ? 0 : 1; i < points.length; i++) {
      const to = points[i] ?? first;
      least = Math.min(least, distanceToPiece(p, from, to));
      from = to;
    }
  }
  return least;
}

/** True when the place lies inside a closed stroke (even–odd). */
export function isInside(p: Point, stroke: Stroke): boolean {
  if (!stroke.closed) return false;
  let inside = false;
  let from = stroke.points[stroke.points.length - 1];
  for (const to of stroke.points) {
    if (from !== undefined && from[1] > p[1] !== to[1] > p[1]) {
      const crossing = from[0] + ((p[1] - from[1]) / (to[1] - from[1])) * (to[0] - from[0]);
      if (p[0] < crossing) inside = !inside;
    }
    from = to;
  }
  return inside;
}

/** Area of a closed stroke in square photograph pixels, never negative. */
export function areaOf(stroke: Stroke): number {
  let twice = 0;
  let from = stroke.points[stroke.points.length - 1];
  for (const to of stroke.points) {
    if (from !== undefined) twice += from[0] * to[1] - to[0] * from[1];
    from = to;
  }
  return Math.abs(twice) / 2;
}
