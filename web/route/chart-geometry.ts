import type { Friction } from "../../model/route/friction.ts";
import { FITTED_RANGE, criticalSemiAngleDeg } from "../../model/route/centreline-stress.ts";
import { dieGeometry } from "../../model/route/pass-geometry.ts";
import { shearFactorAt } from "../../model/route/friction.ts";
import type { Band } from "../../model/route/value.ts";

/** Ranges of the chart: area reduction in parts, die semi-angle in degrees. */
export const CHART_REDUCTION = [0, 0.5] as const;
export const CHART_ANGLE = [0, 20] as const;

/** A straight scale from numbers to pixels and back. */
export interface LinearScale {
  (value: number): number;
  readonly invert: (px: number) => number;
}

export function linear([d0, d1]: readonly [number, number], [r0, r1]: readonly [number, number]): LinearScale {
  const k = (r1 - r0) / (d1 - d0);
  return Object.assign((value: number) => r0 + (value - d0) * k, { invert: (px: number) => d0 + (px - r0) / k });
}

const RAD = Math.PI / 180;

/** Semi-angle, degrees, above which Δ leaves the verified range at a reduction. */
export function verifiedAngle(r: number): number {
  return Math.min(CHART_ANGLE[1], FITTED_RANGE.delta[1] / dieGeometry(RAD, r));
}

/** A slice of a region at one reduction, from the flatter to the steeper angle, degrees. */
export interface Slice {
  readonly reduction: number;
  readonly from: number;
  readonly to: number;
}

const STEPS = 40;

/** Angle from which B exceeds the limit, at one reduction; null = nowhere up to the steepest of the chart. */
function boundary(limit: number, friction: Friction, level: keyof Band, r: number): number | null {
  const deg = criticalSemiAngleDeg(r, (alpha) => shearFactorAt(friction, level, alpha, r), limit);
  return deg === "none" ? null : deg === "all" ? 0.5 : deg;
}

/**
 * Regions of the chart towards a limit of B, over the verified reductions and up to the verified Δ.
 *
 * @returns `danger`: over the limit even with the lightest friction of the band; `decides`: over it with the heaviest
 *   friction only; `unverified`: beyond the verified Δ, where nothing is said
 */
export function regions(
  limit: number,
  friction: Friction,
): { readonly danger: readonly Slice[]; readonly decides: readonly Slice[]; readonly unverified: readonly Slice[] } {
  const [least, most] = FITTED_RANGE.reduction;
  const danger: Slice[] = [];
  const decides: Slice[] = [];
  const unverified: Slice[] = [];
  for (let i = 0; i <= STEPS; i++) {
    const reduction = least + ((most - least) * i) / STEPS;
    const top = verifiedAngle(reduction);
    if (top < CHART_ANGLE[1]) unverified.push({ reduction, from: top, to: CHART_ANGLE[1] });
    const heavy = boundary(limit, friction, "high", reduction);
    if (heavy === null) continue;
    const light = Math.min(top, boundary(limit, friction, "low", reduction) ?? top);
    if (heavy < light) decides.push({ reduction, from: heavy, to: light });
    if (light < top) danger.push({ reduction, from: light, to: top });
  }
  return { danger, decides, unverified };
}

/** Outline of a region as an SVG path; empty when there is none. */
export function outline(slices: readonly Slice[], x: LinearScale, y: LinearScale): string {
  if (slices.length === 0) return "";
  const lower = slices.map((s) => `${x(s.reduction).toFixed(1)} ${y(s.from).toFixed(1)}`);
  const upper = [...slices].reverse().map((s) => `${x(s.reduction).toFixed(1)} ${y(s.to).toFixed(1)}`);
  return `M${[...lower, ...upper].join("L")}Z`;
}

/** Points that lie on one another, under one label: "1–10". */
export function clusters(
  points: readonly { readonly x: number; readonly y: number }[],
): readonly { readonly x: number; readonly y: number; readonly members: readonly number[] }[] {
  const found: { x: number; y: number; members: number[] }[] = [];
  points.forEach((p, i) => {
    const near = found.find((c) => Math.hypot(c.x - p.x, c.y - p.y) < 6);
    if (near === undefined) found.push({ x: p.x, y: p.y, members: [i] });
    else near.members.push(i);
  });
  return found;
}

/** Numbers counted from zero as they are read: 0, 1, 2, 5 becomes "1–3, 6". */
export function ranges(members: readonly number[]): string {
  const parts: [number, number][] = [];
  for (const m of members) {
    const last = parts.at(-1);
    if (last !== undefined && last[1] === m - 1) last[1] = m;
    else parts.push([m, m]);
  }
  return parts.map(([a, b]) => (a === b ? String(a + 1) : `${a + 1}–${b + 1}`)).join(", ");
}

interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}
const meet = (a: Box, b: Box): boolean =>
  a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height;

/** Places of short labels beside points so that they do not cover points or each other, where there is room. */
export function placeLabels(
  points: readonly { readonly x: number; readonly y: number; readonly text: string }[],
): readonly { readonly x: number; readonly y: number }[] {
  const taken: Box[] = points.map((p) => ({ x: p.x - 7, y: p.y - 7, width: 14, height: 14 }));
  return points.map((p) => {
    const width = 8 * p.text.length + 2;
    const ways = [1, 1.7, 2.5].flatMap((far) =>
      [
        [1, -1],
        [1, 1],
        [-1, -1],
        [-1, 1],
        [0, -1.5],
        [0, 1.5],
      ].map(([dx, dy]) => ({ x: p.x + dx! * (5 + width / 2 + 4) * far, y: p.y + dy! * 10 * far })),
    );
    const box = (at: { x: number; y: number }): Box => ({ x: at.x - width / 2, y: at.y - 7, width, height: 14 });
    const free = ways.find((at) => !taken.some((t) => meet(t, box(at)))) ?? ways[0]!;
    taken.push(box(free));
    return free;
  });
}
