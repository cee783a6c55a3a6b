import type { AlongAcross, FramedOutline } from "./side-frame.ts";
import type { Rims } from "./side-rims.ts";
import { fitLine } from "./side-line-fit.ts";

/** The outline of the broken face beyond the rims, both halves from rim to tip. */
export interface FaceOutline {
  readonly upper: readonly AlongAcross[];
  readonly lower: readonly AlongAcross[];
  readonly tip: AlongAcross;
}

/** @returns null when nothing of the outline lies beyond the rims. */
export function faceOutline({ upper, lower }: FramedOutline, rims: Rims): FaceOutline | null {
  const tip = upper.at(-1);
  if (tip === undefined) return null;
  const beyond = (edge: readonly AlongAcross[], rim: AlongAcross) => edge.slice(Math.max(0, edge.indexOf(rim)));
  return { upper: beyond(upper, rims.upper), lower: beyond(lower, rims.lower), tip };
}

/** A cone standing on the end: arms along its flanks, meeting at the tip. Places in the frame. */
export interface Cone {
  readonly upperBase: AlongAcross;
  readonly lowerBase: AlongAcross;
  /** Where the flanks meet. */
  readonly meet: AlongAcross;
  /** The farthest point of the outline, near the axis. */
  readonly tip: AlongAcross;
  /** Half the angle between the flanks, degrees. */
  readonly flankDeg: number;
  /** Smaller share of a flank's outline that lies on its line. */
  readonly straight: number;
}

/** What makes a standing face a cone; lengths in wire diameters. */
const CONE = {
  leastHeight: 0.18,
  leastDeg: 14,
  mostDeg: 68,
  /** Difference of the two flanks. */
  uneven: 16,
  /** A flank's outline lies this near to its line … */
  near: 0.022,
  /** … over this share of it. */
  share: 0.72,
  /** Distance of the tip from the axis. */
  tipOff: 0.2,
  /** The flanks meet this near to the tip, as a share of the height. */
  meet: 0.2,
  leastBase: 0.3,
} as const;

/**
 * Looks for a cone: both sides of the face straight, alike, meeting at a tip near the axis.
 * The lowest part is left out (a rim of the wire may stand around the foot), and the tip, which is seldom sharp.
 */
export function findCone({ frame }: FramedOutline, rims: Rims, face: FaceOutline): Cone | null {
  const d = frame.diameter;
  const foot = Math.max(rims.upper.u, rims.lower.u);
  const base = Math.min(rims.upper.u, rims.lower.u);
  const height = face.tip.u - foot;
  if (height < CONE.leastHeight * d) return null;
  const flank = (edge: readonly AlongAcross[]) =>
    fitLine(
      edge.filter(({ u }) => u > foot + 0.12 * height && u < face.tip.u - 0.1 * height),
      CONE.near * d,
    );
  const [one, two] = [flank(face.upper), flank(face.lower)];
  if (one === null || two === null) return null;
  const straight = Math.min(one.share, two.share);
  if (straight < CONE.share) return null;
  // Directions from the foot to the tip: the upper flank comes down to the axis, the lower goes up.
  const degrees = [one.turn, -two.turn].map((turn) => (turn * 180) / Math.PI);
  if (degrees.some((deg) => deg < CONE.leastDeg || deg > CONE.mostDeg)) return null;
  const [a = 0, b = 0] = degrees;
  if (Math.abs(a - b) > CONE.uneven) return null;
  const [ta, tb] = [Math.tan(one.turn), Math.tan(two.turn)];
  const u = (two.at.w - one.at.w + ta * one.at.u - tb * two.at.u) / (ta - tb);
  const meet = { u, w: one.at.w + ta * (u - one.at.u) };
  const off = Math.abs(meet.w) > CONE.tipOff * d || Math.abs(face.tip.w) > CONE.tipOff * d;
  if (off || Math.abs(meet.u - face.tip.u) > CONE.meet * height) return null;
  const upperBase = { u: base, w: one.at.w + ta * (base - one.at.u) };
  const lowerBase = { u: base, w: two.at.w + tb * (base - two.at.u) };
  if (lowerBase.w - upperBase.w < CONE.leastBase * d) return null;
  return { upperBase, lowerBase, meet, tip: face.tip, flankDeg: (a + b) / 2, straight };
}

/** The plane of the break seen edge on. Places in the frame. */
export interface BreakPlane {
  /** A place on the plane near the outline of the wire, and the place where it crosses the axis. */
  readonly onPlane: AlongAcross;
  readonly onAxis: AlongAcross;
  /** Angle to the axis, 0–90°. */
  readonly deg: number;
  /** Share of the outline that lies on it. */
  readonly straight: number;
  /** Root mean square distance of that share, diameters. */
  readonly spread: number;
}

/** What makes a face a plane; lengths in wire diameters. */
const PLANE = {
  near: 0.02,
  share: 0.9,
  /** A plane flatter than this along the wire is a split, not a slant. */
  leastDeg: 20,
  /** The outline near the skin is rounded and torn. */
  within: 0.43,
} as const;

/** Looks for a straight slant or square end from one rim to the other. */
export function findPlane({ frame }: FramedOutline, face: FaceOutline): BreakPlane | null {
  const d = frame.diameter;
  const outline = [...face.upper, ...face.lower].filter(({ w }) => Math.abs(w) < PLANE.within * d);
  const width = Math.max(...outline.map((p) => p.w)) - Math.min(...outline.map((p) => p.w));
  const line = fitLine(outline, PLANE.near * d);
  if (line === null || width < 1.2 * PLANE.within * d || line.share < PLANE.share) return null;
  const lean = Math.abs((line.turn * 180) / Math.PI);
  const deg = lean > 90 ? 180 - lean : lean;
  if (deg < PLANE.leastDeg) return null;
  const [c, s] = [Math.cos(line.turn), Math.sin(line.turn)];
  const toAxis = -line.at.w / s;
  const onAxis = { u: line.at.u + c * toAxis, w: 0 };
  const reach = (PLANE.within * d) / Math.abs(s);
  const up = s < 0 ? 1 : -1;
  return {
    onPlane: { u: onAxis.u + up * c * reach, w: up * s * reach },
    onAxis,
    deg,
    straight: line.share,
    spread: line.spread / d,
  };
}
