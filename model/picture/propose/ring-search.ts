import type { PolarEdges } from "./polar-edges.ts";

/** One edge crossed by one ray. */
export interface Crossing {
  readonly r: number;
  /** 0–1: how far it stands out of what the ground alone shows. */
  readonly weight: number;
}

/** Edges crossed by each ray, from the outside in. */
export interface Crossings {
  readonly rays: number;
  readonly cx: number;
  readonly cy: number;
  readonly reach: Float32Array;
  readonly byRay: readonly (readonly Crossing[])[];
  /** Step that the ground alone shows, colour per px. */
  readonly ground: number;
}

export interface Circle {
  readonly cx: number;
  readonly cy: number;
  readonly r: number;
}

export interface FoundRing extends Circle {
  /** Share of the rays inside the picture with an edge on the ring, each counted by its weight. */
  readonly covered: number;
  /** Share of the rays that cross a further edge outside, each counted by its weight. */
  readonly beyond: number;
}

const MOST_PER_RAY = 10;
/** Smallest step that can be an edge, colour per px: less is not seen by eye either. */
const LEAST_STEP = 0.0008;

/**
 * Steepest places along each ray, as far as they stand out of the ground. The ground's own unrest is read from the
 * outermost part of the rays: the middle value over all rays, so that lettering and a wire at the margin don't count.
 */
export function crossingsOf(edges: PolarEdges): Crossings {
  const { rays, radii, strength, reach } = edges;
  const outer: number[] = [];
  for (let k = 0; k < rays; k++) {
    const end = Math.floor(reach[k]!);
    let most = 0;
    for (let r = Math.floor(0.85 * end); r < end; r++) most = Math.max(most, strength[k * radii + r]!);
    outer.push(most);
  }
  outer.sort((a, b) => a - b);
  const ground = Math.max(LEAST_STEP, outer[Math.floor(rays * 0.4)]!);
  const byRay = Array.from({ length: rays }, (_, k) => {
    const found: Crossing[] = [];
    for (let r = Math.min(radii, Math.floor(reach[k]!)) - 2; r > 2 && found.length < MOST_PER_RAY; r--) {
      const s = strength[k * radii + r]!;
      const before = strength[k * radii + r - 1]!;
      const after = strength[k * radii + r + 1]!;
      if (s < 1.6 * ground || s < before || s <= after) continue;
      const bend = before - 2 * s + after;
      const shift = bend < 0 ? (0.5 * (before - after)) / bend : 0;
      found.push({ r: r + shift, weight: s / (s + 3 * ground) });
    }
    return found;
  });
  return { rays, cx: edges.cx, cy: edges.cy, reach, byRay, ground };
}

/** What an edge outside the ring counts against it, compared with one on it. */
const BEYOND_COUNTS = 2.5;

/** How well a circle is the outermost edge all around. @returns null when too much of it lies outside the picture. */
export function ringScore(crossings: Crossings, circle: Circle): FoundRing | null {
  const { rays, reach, byRay } = crossings;
  const near = Math.max(1.5, 0.025 * circle.r);
  let [on, out, inside] = [0, 0, 0];
  for (let k = 0; k < rays; k++) {
    const r = radiusAlong(crossings, circle, (2 * Math.PI * k) / rays);
    if (r === null || r > reach[k]! - 1) continue;
    inside++;
    let [best, beyond] = [0, 0];
    for (const c of byRay[k]!) {
      if (c.r > r + 2 * near) beyond = Math.max(beyond, c.weight);
      else if (Math.abs(c.r - r) < near) best = Math.max(best, c.weight);
      else if (c.r < r - near) break;
    }
    on += best;
    out += beyond;
  }
  if (inside < 0.6 * rays) return null;
  return { ...circle, covered: on / inside, beyond: out / inside };
}

export const ringWorth = (ring: FoundRing): number => ring.covered - BEYOND_COUNTS * ring.beyond;

/** Radius at which a ray from the crossings' middle meets a circle around it; null when the middle lies outside. */
function radiusAlong({ cx, cy }: Crossings, circle: Circle, angle: number): number | null {
  const [dx, dy] = [circle.cx - cx, circle.cy - cy];
  const along = dx * Math.cos(angle) + dy * Math.sin(angle);
  const left = circle.r * circle.r - (dx * dx + dy * dy) + along * along;
  return dx * dx + dy * dy >= circle.r * circle.r || left < 0 ? null : along + Math.sqrt(left);
}

/**
 * The circle that is best supported as the outermost edge. Circles through three crossings far apart are tried, picked
 * by a fixed sequence, so the same picture gives the same circle.
 *
 * @returns null when no circle has any support.
 */
export function outermostRing(crossings: Crossings, tries: number): FoundRing | null {
  const { rays, byRay, cx, cy, reach } = crossings;
  const largest = 0.75 * Math.max(...reach);
  let state = 77003;
  const below = (n: number): number => {
    state = (state * 48271) % 2147483647;
    return state % n;
  };
  const point = (ray: number): readonly [number, number] | null => {
    const found = byRay[ray]!;
    if (found.length === 0) return null;
    const c = found[below(2) === 0 ? 0 : below(found.length)]!;
    const angle = (2 * Math.PI * ray) / rays;
    return [cx + c.r * Math.cos(angle), cy + c.r * Math.sin(angle)];
  };
  let best: FoundRing | null = null;
  for (let t = 0; t < tries; t++) {
    const first = below(rays);
    const gap = Math.floor(rays / 5) + below(Math.floor(rays / 4));
    const p = point(first);
    const q = point((first + gap) % rays);
    const s = point((first + gap + Math.floor(rays / 5) + below(Math.floor(rays / 4))) % rays);
    if (p === null || q === null || s === null) continue;
    const circle = circleThrough(p, q, s);
    if (circle === null || circle.r > largest || circle.r < 8) continue;
    const ring = ringScore(crossings, circle);
    if (ring !== null && (best === null || ringWorth(ring) > ringWorth(best))) best = ring;
  }
  return best;
}

function circleThrough(
  [ax, ay]: readonly [number, number],
  [bx, by]: readonly [number, number],
  [qx, qy]: readonly [number, number],
): Circle | null {
  const d = 2 * (ax * (by - qy) + bx * (qy - ay) + qx * (ay - by));
  if (Math.abs(d) < 1e-6) return null;
  const [a, b, q] = [ax * ax + ay * ay, bx * bx + by * by, qx * qx + qy * qy];
  const cx = (a * (by - qy) + b * (qy - ay) + q * (ay - by)) / d;
  const cy = (a * (qx - bx) + b * (ax - qx) + q * (bx - ax)) / d;
  return { cx, cy, r: Math.hypot(ax - cx, ay - cy) };
}
