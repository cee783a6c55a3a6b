import { logRadii, soundFlowStress } from "./drawing-stress.ts";
import { dieGeometry } from "./pass-geometry.ts";
import { crossing } from "./root.ts";
import { degToRad } from "../measure/units.ts";

/** In drawing the pull adds tension to the axis; in extrusion the push takes it away. */
export type Process = "draw" | "extrude";

/**
 * Range in which the fitted formula was compared with finite elements: 205 cases, rms 0.010, largest 0.032.
 *
 * @source this-study
 */
export const FITTED_RANGE = {
  semiAngleDeg: [3, 20],
  reduction: [0.05, 0.45],
  shearFactor: [0, 0.2],
  delta: [0.8, 7],
  stressBelow: 1,
} as const;

/** Total standard uncertainty of B inside the fitted range, "about ±0.05" read as two standard deviations. */
export const CENTRELINE_SD = 0.025;

const H = [-0.4852, 0.5273, 1.072, -0.8282, 0.1774] as const;
const H_LOW = 0.85;
const H_HIGH = 7;

/** Die-geometry part of the centreline mean stress; Δ held to 0.85–7. @source this-study */
export function geometryPart(delta: number): number {
  const x = Math.log(Math.min(H_HIGH, Math.max(H_LOW, delta)));
  return H[0] + x * (H[1] + x * (H[2] + x * (H[3] + x * H[4])));
}

/**
 * Mean stress on the axis in the deformation zone over flow stress, tension positive: B.
 *
 * B depends on α, r and m: friction of the bearing pulls on the wire only after the deformation zone, so the bearing
 * is left out. Whether the inputs lie in the fitted range is for {@link outsideFittedRange} to say.
 *
 * @param alpha - die semi-angle, radians
 * @param r - area reduction
 * @param m - shear factor
 * @param back - back tension over flow stress; in drawing only
 * @source this-study; principle after reddy96
 */
export function centrelineStress(alpha: number, r: number, m: number, back = 0, process: Process = "draw"): number {
  const half = soundFlowStress(alpha, r, m) / 2;
  const h = geometryPart(dieGeometry(alpha, r));
  return process === "draw" ? h + half + back : h - half;
}

const pct = (r: number): string => `${String(Math.round(r * 1000) / 10)} %`;
const two = (x: number): string => String(Math.round(x * 100) / 100);

/**
 * Why B may not be given as a number for a pass; null when it may.
 *
 * @param alphaDeg - die semi-angle, degrees
 * @returns a clause in plain words with the offending number and the range
 */
export function outsideFittedRange(alphaDeg: number, r: number, m: number, back = 0): string | null {
  const alpha = degToRad(alphaDeg);
  const { semiAngleDeg, reduction, shearFactor, delta } = FITTED_RANGE;
  // A hair of room, so that a limit typed exactly does not fall outside by rounding.
  const beyond = (x: number, [low, high]: readonly [number, number]) => x < low - 1e-9 || x > high + 1e-9;
  if (beyond(alphaDeg, semiAngleDeg))
    return `semi-angle ${two(alphaDeg)}° lies outside the verified ${semiAngleDeg[0]}–${semiAngleDeg[1]}°`;
  if (beyond(r, reduction))
    return `reduction ${pct(r)} lies outside the verified ${pct(reduction[0])}–${pct(reduction[1])}`;
  if (beyond(m, shearFactor))
    return `shear factor ${two(m)} lies outside the verified ${shearFactor[0]}–${shearFactor[1]}`;
  if (beyond(dieGeometry(alpha, r), delta))
    return `Δ ${two(dieGeometry(alpha, r))} lies outside the verified ${delta[0]}–${delta[1]}`;
  const stress = soundFlowStress(alpha, r, m, 0, back);
  return stress >= FITTED_RANGE.stressBelow ? `drawing stress ${two(stress)} times flow stress: not drawable` : null;
}

/** Words for a centreline mean stress. Anchors are stress states; the words await calibration on a lab's own breaks. */
export type RiskClass = "no centreline tension" | "low" | "moderate" | "high" | "severe";

/** @source this-study: 1/3 is a tensile test before necking, 2/3 a developed neck, 1 a sharp notch */
export function riskClass(b: number): RiskClass {
  if (b <= 0) return "no centreline tension";
  if (b <= 1 / 3) return "low";
  if (b <= 2 / 3) return "moderate";
  return b <= 1 ? "high" : "severe";
}

/** Smallest and largest semi-angles among which a critical one is sought, degrees. Below 3° it is extrapolated. */
const SOUGHT_DEG = [0.5, FITTED_RANGE.semiAngleDeg[1]] as const;
const STEP_DEG = 0.5;

/**
 * Semi-angle at which B reaches a limit, degrees: steeper dies are in danger.
 *
 * B rises with α except where friction of a very flat die dominates, so the search comes down from 20°.
 *
 * @param m - shear factor, or how it depends on the semi-angle in radians when friction was given as μ
 * @returns the angle; "none" when B stays at or below the limit up to 20°; "all" when it exceeds it at every angle
 * @source this-study
 */
export function criticalSemiAngleDeg(
  r: number,
  m: number | ((alpha: number) => number),
  limit: number,
  back = 0,
  process: Process = "draw",
): number | "none" | "all" {
  const factor = typeof m === "number" ? () => m : m;
  const above = (deg: number) => {
    const alpha = degToRad(deg);
    return centrelineStress(alpha, r, factor(alpha), back, process) - limit;
  };
  const [least, most] = SOUGHT_DEG;
  if (above(most) <= 0) return "none";
  let high: number = most;
  while (high > least && above(high - STEP_DEG) > 0) high -= STEP_DEG;
  return high <= least ? "all" : crossing(above, high - STEP_DEG, high, 1e-10);
}

const REDUCTION_STEP = 0.01;

/**
 * Reduction at which B falls to a limit: lighter passes are in danger.
 *
 * @param alphaDeg - die semi-angle, degrees
 * @returns the reduction, within 5–45 %; "none" when B is at or below the limit from 5 % on; "all" when it never is
 * @source this-study
 */
export function criticalReduction(
  alphaDeg: number,
  shearFactorAtReduction: (r: number) => number,
  limit: number,
  back = 0,
): number | "none" | "all" {
  const alpha = degToRad(alphaDeg);
  const above = (r: number) => centrelineStress(alpha, r, shearFactorAtReduction(r), back) - limit;
  const [least, most] = FITTED_RANGE.reduction;
  if (above(least) <= 0) return "none";
  let high: number = least;
  while (above(high) > 0) {
    if (high >= most) return "all";
    high = Math.min(most, high + REDUCTION_STEP);
  }
  return crossing(above, Math.max(least, high - REDUCTION_STEP), high, 1e-12);
}

/** Strain ln(A0/A1) of an area reduction. */
export const strainOf = (r: number): number => 2 * logRadii(r);
