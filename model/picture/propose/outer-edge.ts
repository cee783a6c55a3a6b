import type { Point } from "../../break/geometry.ts";
import type { EllipseGeometry } from "../../measure/outline.ts";
import { robustEllipse } from "../pixels/robust-ellipse.ts";
import type { Band } from "./band-edges.ts";
import { radiusAt, stepsAcross, unrollBand } from "./band-edges.ts";
import type { ColourPlanes } from "./colour-planes.ts";

export interface OuterEdge {
  readonly ellipse: EllipseGeometry;
  /** Share of all rays whose outermost edge lies on the ellipse. */
  readonly onShare: number;
  /** Root mean square distance of those from it / mean radius. */
  readonly scatter: number;
  /** Middle value over the rays: colour step there / unrest of the ground. */
  readonly standsOut: number;
}

const RAYS = 240;
const ALONG_DEG = 2.5;
const INNER = 0.8;
const OUTER = 1.4;
/** An edge must be this many times the unrest of the ground beside it. */
const OUT_OF_GROUND = 4;
/** Smallest colour step that counts as an edge. */
const LEAST_STEP = 0.006;

/**
 * Looks, from the ground inward, for the first edge around a ring: the sound wire behind a neck is often dim and out of
 * focus, and the rim of the break in front of it much the stronger edge.
 *
 * @param ring – in px of `copy`.
 * @returns null when the first edges lie on no ellipse.
 */
export function outerEdge(copy: ColourPlanes, ring: EllipseGeometry): OuterEdge | null {
  const band = unrollBand(copy, ring, INNER, OUTER, RAYS, ALONG_DEG);
  const span = Math.max(2, Math.round(0.012 * Math.max(ring.rx, ring.ry)));
  const strength = stepsAcross(band, span);
  const ground = groundUnrest(band, strength);
  const points: Point[] = [];
  const heights: number[] = [];
  for (let k = 0; k < RAYS; k++) {
    const found = firstFromOutside(band, strength, k, Math.max(LEAST_STEP, OUT_OF_GROUND * ground[k]!));
    if (found === null) continue;
    points.push(found.point);
    heights.push(found.step / Math.max(ground[k]!, LEAST_STEP / OUT_OF_GROUND));
  }
  const size = Math.sqrt(ring.rx * ring.ry);
  const fitted = robustEllipse(points, 0.004 * size, 150);
  if (fitted === null) return null;
  heights.sort((a, b) => a - b);
  return {
    ellipse: fitted.ellipse,
    onShare: (fitted.inlierShare * points.length) / RAYS,
    scatter: fitted.residualPx / size,
    standsOut: heights[heights.length >> 1] ?? 0,
  };
}

/** Unrest of the ground near each ray: the larger steps of the outer third of the band, over some neighbouring rays. */
function groundUnrest({ rays, steps, from, perStep }: Band, strength: Float32Array): Float32Array {
  const first = Math.round((1.15 - from) / perStep);
  const most = new Float32Array(rays);
  for (let k = 0; k < rays; k++) {
    const values: number[] = [];
    for (let s = first; s < steps; s++) if (strength[k * steps + s]! > 0) values.push(strength[k * steps + s]!);
    values.sort((a, b) => a - b);
    most[k] = values.length < 4 ? NaN : values[Math.floor(0.9 * values.length)]!;
  }
  const known = Array.from(most.filter((v) => !Number.isNaN(v))).sort((a, b) => a - b);
  const usual = known[known.length >> 1] ?? 0;
  return most.map((_, k) => {
    const near: number[] = [];
    for (let d = -10; d <= 10; d++) {
      const v = most[(k + d + rays) % rays]!;
      if (!Number.isNaN(v)) near.push(v);
    }
    near.sort((a, b) => a - b);
    return near[near.length >> 1] ?? usual;
  });
}

function firstFromOutside(
  { steps, from, perStep, ellipse, rays }: Band,
  strength: Float32Array,
  ray: number,
  level: number,
): { point: Point; step: number } | null {
  const row = ray * steps;
  for (let s = steps - 2; s > 0; s--) {
    const here = strength[row + s]!;
    const [before, after] = [strength[row + s - 1]!, strength[row + s + 1]!];
    if (here < level || here < before || here <= after) continue;
    const bend = before - 2 * here + after;
    const shift = bend < 0 ? (0.5 * (before - after)) / bend : 0;
    const angle = (2 * Math.PI * ray) / rays;
    // A step between s − 1 and s lies half a step before s.
    const r = radiusAt(ellipse, angle) * (from + (s - 0.5 + shift) * perStep);
    return { point: [ellipse.cx + r * Math.cos(angle), ellipse.cy + r * Math.sin(angle)], step: here };
  }
  return null;
}
