import type { Geometry, Point } from "../../model/break/geometry.ts";
import { ellipsePoint } from "./outline.ts";

/** What a handle does. "turn" turns an ellipse about its centre. */
export type HandleKind = "vertex" | "centre" | "axis-x" | "axis-y" | "turn";

export interface Handle {
  readonly kind: HandleKind;
  readonly at: Point;
  /** Spoken name, e.g. "point 2 of 4". */
  readonly name: string;
}

/** Smallest radius an ellipse can be squeezed to, photograph pixels; below it could not be grabbed again. */
const LEAST_RADIUS_PX = 0.5;

/**
 * The handles of a mark, in a fixed order.
 *
 * @param armPx – how far beyond the rim the turn handle of an ellipse stands, photograph pixels.
 */
export function handlesOf(g: Geometry, armPx: number): readonly Handle[] {
  if (g.type !== "ellipse")
    return g.points.map((at, i) => ({ kind: "vertex", at, name: vertexName(g, i) }) satisfies Handle);
  const arm: Geometry = { ...g, rx: g.rx + armPx };
  return [
    { kind: "centre", at: [g.cx, g.cy], name: "centre" },
    { kind: "axis-x", at: ellipsePoint(g, 0), name: "first axis" },
    { kind: "axis-y", at: ellipsePoint(g, 90), name: "second axis" },
    { kind: "turn", at: ellipsePoint(arm, 180), name: "turn" },
  ];
}

function vertexName(g: Exclude<Geometry, { type: "ellipse" }>, i: number): string {
  if (g.type === "angle") return i === 1 ? "corner of the angle" : `arm ${i === 0 ? 1 : 2}`;
  if (g.type === "edges") return `edge ${i < 2 ? 1 : 2}, point ${(i % 2) + 1}`;
  return g.points.length === 1 ? "the point" : `point ${i + 1} of ${g.points.length}`;
}

/** The geometry moved as a whole. */
export function movedBy(g: Geometry, dx: number, dy: number): Geometry {
  if (g.type === "ellipse") return { ...g, cx: g.cx + dx, cy: g.cy + dy };
  return { ...g, points: g.points.map(([x, y]): Point => [x + dx, y + dy]) } as Geometry;
}

/** The geometry after one handle was put at another place. An unknown handle changes nothing. */
export function reshaped(g: Geometry, handle: number, to: Point): Geometry {
  if (g.type !== "ellipse") {
    if (handle < 0 || handle >= g.points.length) return g;
    return { ...g, points: g.points.map((p, i) => (i === handle ? to : p)) } as Geometry;
  }
  const dx = to[0] - g.cx;
  const dy = to[1] - g.cy;
  const radius = Math.max(LEAST_RADIUS_PX, Math.hypot(dx, dy));
  const direction = (Math.atan2(dy, dx) * 180) / Math.PI;
  switch (handle) {
    case 0:
      return { ...g, cx: to[0], cy: to[1] };
    case 1:
      return { ...g, rx: radius, angle_deg: uprightAngle(direction) };
    case 2:
      return { ...g, ry: radius, angle_deg: uprightAngle(direction - 90) };
    case 3:
      return { ...g, angle_deg: uprightAngle(direction - 180) };
    default:
      return g;
  }
}

/** An ellipse looks the same after half a turn; angles are kept in (−90, 90]. */
export function uprightAngle(deg: number): number {
  const half = ((deg % 180) + 180) % 180;
  return half > 90 ? half - 180 : half;
}
