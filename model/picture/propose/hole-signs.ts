import type { Point } from "../../break/geometry.ts";
import type { EllipseGeometry } from "../../measure/outline.ts";
import { sampleGrey } from "../pixels/grey.ts";
import type { ColourPlanes } from "./colour-planes.ts";

/** What speaks for and against a dark area being a hole that is open to the eye. */
export interface HoleSigns {
  /** Diameter of the circle of equal area / wire diameter. */
  readonly overD: number;
  /** Middle grey inside / in a ring outside it. */
  readonly inOverOut: number;
  /** Darkest tenth inside / middle grey outside. */
  readonly darkest: number;
  /** Mean grey of the inner two fifths / of the outer third: below 1 = darker toward its middle. */
  readonly towardMiddle: number;
  /** Share of the edge that gets clearly brighter outward. */
  readonly edged: number;
  /** Mean step across the edge / grey outside. */
  readonly step: number;
  /** Distance between the colours inside and outside without their brightness, 0–1. */
  readonly hue: number;
  /** How far the colour outside is from grey, 0–1. */
  readonly chroma: number;
  /** Distance of its middle from the middle of the wire / wire radius. */
  readonly offset: number;
  /** 4π area / outline², 1 = a circle. */
  readonly roundness: number;
}

/** 1 on the ellipse, 0 in its middle. */
export function insideShare(e: EllipseGeometry, x: number, y: number): number {
  const a = (e.angle_deg * Math.PI) / 180;
  const [dx, dy] = [x - e.cx, y - e.cy];
  const u = (dx * Math.cos(a) + dy * Math.sin(a)) / e.rx;
  const v = (dy * Math.cos(a) - dx * Math.sin(a)) / e.ry;
  return Math.hypot(u, v);
}

/** Looks along the rays from the middle of a closed line, inside and just outside it. */
export function holeSigns(
  fine: ColourPlanes,
  outline: EllipseGeometry,
  polygon: readonly Point[],
  area: number,
): HoleSigns {
  const size = Math.sqrt(outline.rx * outline.ry);
  const [cx, cy] = middleOf(polygon);
  const greyAt = (p: Point): number => lumaAt(fine, p);
  const rings = new Map<string, number[]>();
  const colour = { inside: [0, 0, 0], outside: [0, 0, 0] };
  let edged = 0;
  let stepSum = 0;
  const take = (name: string, v: number): void => {
    const list = rings.get(name) ?? [];
    list.push(v);
    rings.set(name, list);
  };
  for (const [px, py] of polygon) {
    const at = (share: number): Point => [cx + (px - cx) * share, cy + (py - cy) * share];
    for (let share = 0.05; share < 0.9; share += 0.05) {
      const p = at(share);
      const v = greyAt(p);
      take("inside", v);
      if (share < 0.4) take("middle", v);
      if (share > 0.62) take("border", v);
      fine.planes.forEach((plane, c) => (colour.inside[c]! += sampleGrey(plane, ...p)));
    }
    const length = Math.hypot(px - cx, py - cy);
    const [before, after]: [number[], number[]] = [[], []];
    for (let d = 0.03; d < 0.12; d += 0.02) {
      const p = at(1 + (d * size) / length);
      before.push(greyAt(at(1 - Math.min(0.5, (d * size) / length))));
      if (insideShare(outline, ...p) > 0.97) continue;
      const v = greyAt(p);
      after.push(v);
      take("outside", v);
      fine.planes.forEach((plane, c) => (colour.outside[c]! += sampleGrey(plane, ...p)));
    }
    const [a, b] = [mean(before), after.length > 0 ? mean(after) : 0];
    if (after.length > 0 && b > 1.12 * a + 0.01) edged++;
    stepSum += b - a;
  }
  const outside = middleValue(rings.get("outside") ?? [1]);
  const inside = rings.get("inside") ?? [1];
  inside.sort((a, b) => a - b);
  const around = polygon.reduce((s, p, i) => {
    const q = polygon[(i + 1) % polygon.length]!;
    return s + Math.hypot(q[0] - p[0], q[1] - p[1]);
  }, 0);
  return {
    overD: Math.sqrt(area / Math.PI) / size,
    inOverOut: middleValue(inside) / Math.max(0.01, outside),
    darkest: inside[Math.floor(inside.length / 10)]! / Math.max(0.01, outside),
    towardMiddle: mean(rings.get("middle") ?? [1]) / Math.max(0.01, mean(rings.get("border") ?? [1])),
    edged: edged / polygon.length,
    step: stepSum / polygon.length / Math.max(0.01, outside),
    hue: hueApart(colour.inside, colour.outside),
    chroma: hueApart(colour.outside, [1, 1, 1]),
    offset: Math.hypot(cx - outline.cx, cy - outline.cy) / size,
    roundness: (4 * Math.PI * area) / (around * around),
  };
}

function hueApart(a: readonly number[], b: readonly number[]): number {
  const sum = (v: readonly number[]): number => v.reduce((s, x) => s + x, 1e-6);
  return Math.hypot(...a.map((v, c) => v / sum(a) - b[c]! / sum(b)));
}

function middleOf(polygon: readonly Point[]): Point {
  return [mean(polygon.map((p) => p[0])), mean(polygon.map((p) => p[1]))];
}

const mean = (values: readonly number[]): number => values.reduce((s, v) => s + v, 0) / values.length;

function middleValue(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[sorted.length >> 1] ?? 0;
}

/** @source ITU-R BT.709-6, 3.2 (coefficients of luma) */
const lumaAt = ({ planes: [red, green, blue] }: ColourPlanes, [x, y]: Point): number =>
  0.2126 * sampleGrey(red, x, y) + 0.7152 * sampleGrey(green, x, y) + 0.0722 * sampleGrey(blue, x, y);
