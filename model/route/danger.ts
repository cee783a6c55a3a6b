import { degToRad } from "../measure/units.ts";
import {
  centrelineStress,
  criticalReduction,
  criticalSemiAngleDeg,
  FITTED_RANGE,
  outsideFittedRange,
} from "./centreline-stress.ts";
import { shearFactorAt, type Friction } from "./friction.ts";
import { areaReduction, dieGeometry } from "./pass-geometry.ts";
import type { PassInput } from "./pass.ts";
import type { Band } from "./value.ts";

/** Limits of B that the chart draws. @source this-study: stress states named in the words for B */
export const CHART_LIMITS = [0, 1 / 3, 2 / 3, 1] as const;

export interface BoundaryPoint {
  readonly reduction: number;
  readonly semiAngleDeg: number;
  /** Below the verified 3°. */
  readonly extrapolated: boolean;
}

/** A curve B = limit in the plane of die angle and reduction; steeper or lighter than it is in danger. */
export interface BoundaryCurve {
  readonly limit: number;
  readonly level: keyof Band;
  readonly units: { readonly reduction: "1"; readonly semiAngleDeg: "deg" };
  readonly interpolation: "linear between points; each point solves B = limit to 1e-9 degrees";
  readonly points: readonly BoundaryPoint[];
}

const LEVELS = ["low", "value", "high"] as const;
const INTERPOLATION = "linear between points; each point solves B = limit to 1e-9 degrees";

/**
 * One boundary curve for one level of the friction band.
 *
 * Points lie at equal steps of reduction over the verified range; those where the boundary leaves the verified range of
 * angle or Δ are left out, so a curve may be shorter than the range, or empty.
 *
 * @param steps - points − 1 over 5–45 %
 * @source this-study; after the idea of Avitzur (1968) that angle, reduction and friction decide, not his formula
 */
export function boundaryCurve(limit: number, friction: Friction, level: keyof Band, steps = 80): BoundaryCurve {
  const [least, most] = FITTED_RANGE.reduction;
  const points = Array.from({ length: steps + 1 }, (_, i): BoundaryPoint | null => {
    const reduction = least + ((most - least) * i) / steps;
    const deg = criticalSemiAngleDeg(reduction, (alpha) => shearFactorAt(friction, level, alpha, reduction), limit);
    if (typeof deg !== "number") return null;
    const delta = dieGeometry(degToRad(deg), reduction);
    if (delta > FITTED_RANGE.delta[1] || delta < FITTED_RANGE.delta[0]) return null;
    return { reduction, semiAngleDeg: deg, extrapolated: deg < FITTED_RANGE.semiAngleDeg[0] };
  });
  return {
    limit,
    level,
    units: { reduction: "1", semiAngleDeg: "deg" },
    interpolation: INTERPOLATION,
    points: points.filter((p) => p !== null),
  };
}

/** The curves of the chart: each limit at the light, middle and heavy end of the friction band. */
export const boundaryCurves = (
  friction: Friction,
  limits: readonly number[] = CHART_LIMITS,
): readonly BoundaryCurve[] => limits.flatMap((limit) => LEVELS.map((level) => boundaryCurve(limit, friction, level)));

/** Where a pass stands. "between": the friction or wear band decides. "not known": outside the verified range. */
export type Standing = "outside" | "between" | "inside" | "not known";

/** Where a pass stands towards the danger region B > limit. */
export function standingOf(p: PassInput, limit: number): Standing {
  const r = areaReduction(p.inMm, p.outMm);
  const centre = degToRad(p.semiAngleDeg.value);
  const m = shearFactorAt(p.friction, "value", centre, r);
  if (outsideFittedRange(p.semiAngleDeg.value, r, m, p.backTension) !== null) return "not known";
  const all = LEVELS.flatMap((angle) =>
    LEVELS.map((level) => {
      const alpha = degToRad(p.semiAngleDeg[angle]);
      return centrelineStress(alpha, r, shearFactorAt(p.friction, level, alpha, r), p.backTension) > limit;
    }),
  );
  if (all.every((over) => over)) return "inside";
  return all.some((over) => over) ? "between" : "outside";
}

/** How far a pass lies outside the danger region; negative = inside it. */
export interface Margin {
  /** Degrees of semi-angle the die could be steeper; null = the boundary lies beyond the verified range. */
  readonly degrees: number | null;
  /** Reduction, parts, the pass could be lighter; null as above. */
  readonly reduction: number | null;
}

/** Semi-angle, degrees, at which a pass of this reduction meets the limit; self-consistent in friction. */
export function boundaryAngle(
  p: PassInput,
  r: number,
  limit: number,
  level: keyof Band,
): ReturnType<typeof criticalSemiAngleDeg> {
  return criticalSemiAngleDeg(r, (alpha) => shearFactorAt(p.friction, level, alpha, r), limit, p.backTension);
}

/** Reduction at which a die of this angle meets the limit; self-consistent in friction. */
export function boundaryReduction(
  p: PassInput,
  alphaDeg: number,
  limit: number,
  level: keyof Band,
): ReturnType<typeof criticalReduction> {
  const alpha = degToRad(alphaDeg);
  return criticalReduction(alphaDeg, (r) => shearFactorAt(p.friction, level, alpha, r), limit, p.backTension);
}

/**
 * Margin of a pass, taken at the steepest angle of its wear band.
 *
 * @param level - end of the friction band; the heavy end is the cautious one
 */
export function marginOf(p: PassInput, limit: number, level: keyof Band = "high"): Margin {
  const r = areaReduction(p.inMm, p.outMm);
  const deg = boundaryAngle(p, r, limit, level);
  const light = boundaryReduction(p, p.semiAngleDeg.high, limit, level);
  return {
    degrees: typeof deg === "number" ? deg - p.semiAngleDeg.high : null,
    reduction: typeof light === "number" ? r - light : null,
  };
}
