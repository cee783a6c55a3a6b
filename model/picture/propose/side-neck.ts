import type { AlongAcross, FramedOutline } from "./side-frame.ts";
import { SPACING } from "./side-contour.ts";
import type { Rims } from "./side-rims.ts";

/** The smallest section left between the sound wire and the broken face. */
export interface Neck {
  /** Its two ends. */
  readonly upper: AlongAcross;
  readonly lower: AlongAcross;
  /** Its length, px. */
  readonly diameter: number;
  /** How far other readings of the same section differ, as a share of it. */
  readonly doubt: number;
}

/** The section is taken this far behind the deeper rim, diameters: at the rim itself the corner is rounded off. */
const BEHIND = 0.0075;
/** The edges are read over this stretch behind the rim, diameters. */
const NEAR = 0.02;
const FAR = 0.14;
/** Steepest slope of an edge that is believed. */
const STEEPEST = 0.45;
/** Other readings of the same section: how far behind the rim it is taken, and from how long a stretch it is read, diameters. */
const OTHER_READINGS = [
  { behind: 0.03, near: 0.02, far: 0.1 },
  { behind: 0.05, near: 0.04, far: 0.2 },
  { behind: 0.03, near: 0.0, far: 0.08 },
] as const;
/**
 * The skin's line is read over this length; the outline turns off it at least so far within this length; and from so far
 * beyond the rim on it stays clear of the line. Lengths in diameters.
 */
const CORNER = { skin: 0.16, ahead: 0.1, leastDeg: 25, back: 0.1, clear: 0.02 } as const;
/** A waist is looked for this far back from the rim, diameters. */
const WAIST = { from: 0.12, to: 2, every: 0.04, read: 0.04 } as const;

/**
 * Smallest section, read from straight lines through both edges just behind the deeper rim. `doubt` says how far other
 * readings of the same section differ: taken a little farther back, over a longer stretch, square to the sound wire
 * instead of to its end, and at a waist farther back.
 */
export function findNeck(outline: FramedOutline, rims: Rims, soundFrom: number): Neck | null {
  const d = outline.frame.diameter;
  const rim = Math.min(rims.upper.u, rims.lower.u);
  const here = sectionAt(outline, rim - BEHIND * d, rim - FAR * d, rim - NEAR * d);
  if (here === null) return null;
  const readings = OTHER_READINGS.map(
    ({ behind, near, far }) =>
      sectionAt(outline, rim - behind * d, rim - far * d, rim - near * d)?.diameter ?? Infinity,
  );
  readings.push(here.across);
  // The skin ends at a corner. Where the deeper edge runs on, or comes back to its line, the section may not be the last.
  const deeper = rims.upper.u <= rims.lower.u;
  if (!endsAt(deeper ? outline.upper : outline.lower, deeper ? rims.upper : rims.lower, d))
    return { ...here, doubt: 1 };
  let doubt = Math.max(...readings.map((r) => Math.abs(r / here.diameter - 1)));
  for (let u = rim - WAIST.from * d; u > Math.max(soundFrom, rim - WAIST.to * d); u -= WAIST.every * d) {
    const back = sectionAt(outline, u, u - WAIST.read * d, u + WAIST.read * d);
    if (back) doubt = Math.max(doubt, 1 - back.diameter / here.diameter);
  }
  return { ...here, doubt };
}

/** Whether an edge turns off its line at a rim for good. */
function endsAt(edge: readonly AlongAcross[], rim: AlongAcross, d: number): boolean {
  const at = edge.indexOf(rim);
  const skin = lineAt(edge, rim.u, rim.u - CORNER.skin * d, rim.u - 0.01 * d);
  const ahead = edge[Math.min(edge.length - 1, at + Math.round((CORNER.ahead * d) / SPACING))];
  if (at < 0 || skin === null || ahead === undefined) return false;
  const inward = Math.sign(rim.w) * -1;
  const turn = Math.atan2(inward * (ahead.w - rim.w), ahead.u - rim.u) - Math.atan(inward * skin.slope);
  if (turn < (CORNER.leastDeg * Math.PI) / 180) return false;
  return edge
    .slice(at)
    .every(
      ({ u, w }) => u < rim.u + CORNER.back * d || inward * (w - skin.w - skin.slope * (u - rim.u)) > CORNER.clear * d,
    );
}

/** The section is taken square to the middle of the wire there, which a bend turns off the axis of the sound part. */
function sectionAt(
  { upper, lower }: FramedOutline,
  u: number,
  from: number,
  to: number,
): (Omit<Neck, "doubt"> & { readonly across: number }) | null {
  const one = lineAt(upper, u, from, to);
  const two = lineAt(lower, u, from, to);
  if (one === null || two === null || two.w <= one.w) return null;
  const turn = Math.atan((one.slope + two.slope) / 2);
  const middle = (one.w + two.w) / 2;
  const half = ((two.w - one.w) / 2) * Math.cos(turn);
  const [du, dw] = [-Math.sin(turn) * half, Math.cos(turn) * half];
  return {
    upper: { u: u - du, w: middle - dw },
    lower: { u: u + du, w: middle + dw },
    diameter: 2 * half,
    across: two.w - one.w,
  };
}

function lineAt(
  edge: readonly AlongAcross[],
  u: number,
  from: number,
  to: number,
): { readonly w: number; readonly slope: number } | null {
  const near = outermost(edge.filter((p) => p.u >= from && p.u <= to));
  if (near.length < 3) return null;
  const mu = near.reduce((a, p) => a + p.u, 0) / near.length;
  const mw = near.reduce((a, p) => a + p.w, 0) / near.length;
  let [top, bottom] = [0, 0];
  for (const p of near) {
    top += (p.u - mu) * (p.w - mw);
    bottom += (p.u - mu) ** 2;
  }
  const slope = Math.max(-STEEPEST, Math.min(STEEPEST, bottom > 0 ? top / bottom : 0));
  return { w: mw + slope * (u - mu), slope };
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
