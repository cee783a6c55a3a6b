import type { AlongAcross, FramedOutline } from "./side-frame.ts";
import type { Rims } from "./side-rims.ts";

/** The smallest section left between the sound wire and the broken face. */
export interface Neck {
  /** Place along the wire. */
  readonly u: number;
  /** Places of its two ends across the wire. */
  readonly upper: number;
  readonly lower: number;
}

/** The section is taken this far behind the deeper rim, diameters: at the rim itself the corner is rounded off. */
const BEHIND = 0.0075;
/** The edges are read over this stretch behind the rim, diameters. */
const NEAR = 0.02;
const FAR = 0.14;
/** Steepest slope of an edge that is believed. */
const STEEPEST = 0.45;
/** A waist farther back counts when it is this much thinner than the rim and than the wire. */
const THINNER = 0.97;

/** Smallest section, read from straight lines through both edges just behind it. */
export function findNeck(outline: FramedOutline, rims: Rims, soundFrom: number): Neck | null {
  const d = outline.frame.diameter;
  const rim = Math.min(rims.upper.u, rims.lower.u);
  const atRim = sectionAt(outline, rim - BEHIND * d, rim - FAR * d, rim - NEAR * d);
  if (atRim === null) return null;
  let best = atRim;
  const thin = THINNER * Math.min(width(atRim), d);
  for (let u = rim - 0.15 * d; u > Math.max(soundFrom, rim - 2.5 * d); u -= 0.05 * d) {
    const here = sectionAt(outline, u, u - 0.05 * d, u + 0.05 * d);
    if (here && width(here) < width(best) && width(here) < thin) best = here;
  }
  return best;
}

const width = (n: Neck): number => n.lower - n.upper;

function sectionAt({ upper, lower }: FramedOutline, u: number, from: number, to: number): Neck | null {
  const one = lineAt(upper, u, from, to);
  const two = lineAt(lower, u, from, to);
  return one === null || two === null || two <= one ? null : { u, upper: one, lower: two };
}

function lineAt(edge: readonly AlongAcross[], u: number, from: number, to: number): number | null {
  const near = outermost(edge.filter((p) => p.u >= from && p.u <= to));
  if (near.length < 3) return null;
  const mu = near.reduce((a, p) => a + p.u, 0) / near.length;
  const mw = near.reduce((a, p) => a + p.w, 0) / near.length;
  let [top, bottom] = [0, 0];
  for (const p of near) {
    top += (p.u - mu) * (p.w - mw);
    bottom += (p.u - mu) ** 2;
  }
  const slope = bottom > 0 ? top / bottom : 0;
  return mw + Math.max(-STEEPEST, Math.min(STEEPEST, slope)) * (u - mu);
}

/** One point per pixel along the wire: the one farthest from the axis. */
function outermost(points: readonly AlongAcross[]): AlongAcross[] {
  const best = new Map<number, AlongAcross>();
  for (const p of points) {
    const kept = best.get(Math.round(p.u));
    if (kept === undefined || Math.abs(p.w) > Math.abs(kept.w)) best.set(Math.round(p.u), p);
  }
  return [...best.values()];
}
