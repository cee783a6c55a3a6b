import type { Point } from "../../break/geometry.ts";
import type { EllipseGeometry } from "../../measure/outline.ts";
import { gradientOf } from "../pixels/gradient.ts";
import { robustEllipse } from "../pixels/robust-ellipse.ts";
import type { ColourPlanes } from "./colour-planes.ts";
import { enlarge } from "./enlarge.ts";
import type { OuterEdge } from "./outer-edge.ts";
import { outerEdge } from "./outer-edge.ts";
import { polarEdges } from "./polar-edges.ts";
import type { Crossings, FoundRing } from "./ring-search.ts";
import { crossingsOf, outermostRing } from "./ring-search.ts";

/** The sound wire seen end-on, and what speaks for it. */
export interface FoundOutline {
  /** In px of the fine copy. */
  readonly ellipse: EllipseGeometry;
  readonly ring: FoundRing;
  readonly edge: OuterEdge;
  /** 0–1, larger = surer; what it is worth is told by the table of confidences. */
  readonly worth: number;
}

const RAYS = 180;
/** A wire is round: a flatter outline is something else, or seen too much aslant to be an end-on view. */
const FLATTEST = 0.85;

/**
 * Outermost closed edge around the strongest unrest of the picture: found as a circle first, then, from rays out of its
 * own middle, as an ellipse, then, from the ground inward, as the first edge there is.
 *
 * @param coarse – small copy that is searched. @param fine – larger copy on which the outline is placed.
 * @returns null when there is no such edge.
 */
export function findOutline(coarse: ColourPlanes, fine: ColourPlanes): FoundOutline | null {
  const start = middleOfUnrest(coarse);
  if (start === null) return null;
  let ring = outermostRing(crossingsOf(polarEdges(coarse, start[0], start[1], RAYS, 3, 1)), 500);
  if (ring === null) return null;
  const crossings = crossingsOf(polarEdges(coarse, ring.cx, ring.cy, RAYS, 3, 3));
  ring = outermostRing(crossings, 300);
  if (ring === null) return null;
  const fitted = robustEllipse(nearRing(crossings, ring), Math.max(0.6, 0.006 * ring.r), 100);
  if (fitted === null) return null;
  const edge = outerEdge(fine, enlarge(fitted.ellipse, coarse.by / fine.by));
  if (edge === null || edge.ellipse.ry < FLATTEST * edge.ellipse.rx) return null;
  return { ellipse: edge.ellipse, ring, edge, worth: worthOf(ring, edge) };
}

/** What speaks for an outline: how much of it shows, how exactly it is an ellipse, how far it stands out of the ground. */
function worthOf(ring: FoundRing, edge: OuterEdge): number {
  const exact = 1 - edge.scatter / 0.01;
  const clear = Math.min(1, edge.standsOut / 12);
  return Math.max(0, edge.onShare * exact * clear * Math.min(1, ring.covered / 0.6));
}

/** For each ray the weightiest crossing close to the ring. */
function nearRing({ byRay, rays, cx, cy }: Crossings, ring: FoundRing): Point[] {
  const points: Point[] = [];
  for (let k = 0; k < rays; k++) {
    const angle = (2 * Math.PI * k) / rays;
    let best: { r: number; worth: number } | null = null;
    for (const c of byRay[k]!) {
      const off = Math.abs(c.r - ring.r) / (0.06 * ring.r);
      if (off > 1) continue;
      const worth = c.weight * (1 - 0.5 * off);
      if (best === null || worth > best.worth) best = { r: c.r, worth };
    }
    if (best !== null) points.push([cx + best.r * Math.cos(angle), cy + best.r * Math.sin(angle)]);
  }
  return points;
}

/** Middle of the pixels with steps well above those at the margin of the picture; null when there are hardly any. */
function middleOfUnrest({ planes, widthPx, heightPx }: ColourPlanes): Point | null {
  const steps = new Float32Array(widthPx * heightPx);
  for (const plane of planes) {
    const { x, y } = gradientOf(plane);
    for (let i = 0; i < steps.length; i++) steps[i]! += Math.abs(x[i]!) + Math.abs(y[i]!);
  }
  const margin: number[] = [];
  const depth = Math.max(3, Math.round(0.04 * Math.min(widthPx, heightPx)));
  for (let y = 1; y < heightPx - 1; y++)
    for (let x = 1; x < widthPx - 1; x++)
      if (x < depth || y < depth || x >= widthPx - depth || y >= heightPx - depth) margin.push(steps[y * widthPx + x]!);
  margin.sort((a, b) => a - b);
  const level = 0.01 + 2.5 * (margin[Math.floor(0.8 * margin.length)] ?? 0);
  const [xs, ys]: [number[], number[]] = [[], []];
  for (let y = 1; y < heightPx - 1; y++)
    for (let x = 1; x < widthPx - 1; x++)
      if (steps[y * widthPx + x]! > level) {
        xs.push(x + 0.5);
        ys.push(y + 0.5);
      }
  if (xs.length < 0.002 * steps.length) return null;
  xs.sort((a, b) => a - b);
  ys.sort((a, b) => a - b);
  return [xs[xs.length >> 1]!, ys[ys.length >> 1]!];
}
