import type { AlongAcross, FramedOutline } from "./side-frame.ts";
import type { Rims } from "./side-rims.ts";

/** The smallest section left between the sound wire and the broken face. */
export interface Neck {
  /** Its two ends. */
  readonly upper: AlongAcross;
  readonly lower: AlongAcross;
  /** Its length, px. */
  readonly diameter: number;
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
  const thin = THINNER * Math.min(atRim.diameter, d);
  for (let u = rim - 0.15 * d; u > Math.max(soundFrom, rim - 2.5 * d); u -= 0.05 * d) {
    const here = sectionAt(outline, u, u - 0.05 * d, u + 0.05 * d);
    if (here && here.diameter < best.diameter && here.diameter < thin) best = here;
  }
  return best;
}

/** The section is taken square to the middle of the wire there, which a bend turns off the axis of the sound part. */
function sectionAt({ upper, lower }: FramedOutline, u: number, from: number, to: number): Neck | null {
  const one = lineAt(upper, u, from, to);
  const two = lineAt(lower, u, from, to);
  if (one === null || two === null || two.w <= one.w) return null;
  const turn = Math.atan((one.slope + two.slope) / 2);
  const middle = (one.w + two.w) / 2;
  const half = ((two.w - one.w) / 2) * Math.cos(turn);
  const [du, dw] = [-Math.sin(turn) * half, Math.cos(turn) * half];
  return { upper: { u: u - du, w: middle - dw }, lower: { u: u + du, w: middle + dw }, diameter: 2 * half };
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
