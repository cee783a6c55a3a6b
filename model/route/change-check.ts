import { degToRad } from "../measure/units.ts";
import { centrelineStress, FITTED_RANGE } from "./centreline-stress.ts";
import { boundaryAngle } from "./danger.ts";
import { soundFlowStress } from "./drawing-stress.ts";
import { shearFactorAt } from "./friction.ts";
import { areaReduction } from "./pass-geometry.ts";
import type { PassInput } from "./pass.ts";

/** What a changed series must keep to. */
export interface ChangeGoal {
  /** Limit of B. */
  readonly limit: number;
  /** How many degrees steeper every die could still be, at the heavy end of its friction band. */
  readonly marginDeg: number;
  /** Largest drawing stress over flow stress, at the heavy end of the friction band. */
  readonly mostStress: number;
  /** Semi-angles the die shop has, degrees. */
  readonly semiAnglesDeg: readonly number[];
  /** Lubrication may bring friction down to this share of what it is, not further. */
  readonly leastFrictionShare: number;
  /** Bring only this pass out, and leave every pass outside that is outside now; left out = all. */
  readonly only?: number | undefined;
}

/** Goal when nothing else is set. The stress limit of 0.7 is common practice, no source. */
export const USUAL_GOAL: Omit<ChangeGoal, "limit"> = {
  marginDeg: 1,
  mostStress: 0.7,
  semiAnglesDeg: [4, 5, 6, 7, 8, 9, 10, 12],
  leastFrictionShare: 0.5,
};

/** A pass that may be changed. */
export interface SeriesPass {
  readonly input: PassInput;
  /** What a new or recut die would be; null when it would be no different. */
  readonly renewed: { readonly semiAngleDeg: number; readonly outMm: number } | null;
}

const LEVELS = ["low", "value", "high"] as const;

/** Largest drawing stress of a pass over its bands of angle, at the heavy end of the friction band. */
export function heaviestStress(p: PassInput): number {
  const r = areaReduction(p.inMm, p.outMm);
  return Math.max(
    ...LEVELS.map((level) => {
      const alpha = degToRad(p.semiAngleDeg[level]);
      const m = shearFactorAt(p.friction, "high", alpha, r);
      return soundFlowStress(alpha, r, m, p.bearingMm / (p.outMm / 2), p.backTension);
    }),
  );
}

/**
 * Whether a pass lies outside the danger region with the margin, and can be pulled.
 *
 * Read at the steepest angle of the wear band plus the margin, and at the heavy end of the friction band. A pass that
 * cannot be judged, below 5 or above 45 % or beyond 20°, does not pass.
 */
export function isOutside(p: PassInput, goal: ChangeGoal): boolean {
  const r = areaReduction(p.inMm, p.outMm);
  const [least, most] = FITTED_RANGE.reduction;
  const steep = p.semiAngleDeg.high + goal.marginDeg;
  if (!(r >= least && r <= most) || steep > FITTED_RANGE.semiAngleDeg[1]) return false;
  const b = (deg: number) => {
    const alpha = degToRad(deg);
    return centrelineStress(alpha, r, shearFactorAt(p.friction, "high", alpha, r), p.backTension);
  };
  if (b(steep) > goal.limit || b(p.semiAngleDeg.high) > goal.limit || b(p.semiAngleDeg.low) > goal.limit) return false;
  return heaviestStress(p) <= goal.mostStress;
}

/** Passes that a change must bring or keep outside. */
export function mustBeOutside(series: readonly SeriesPass[], goal: ChangeGoal): readonly boolean[] {
  return series.map(({ input }, i) => goal.only === undefined || goal.only === i || isOutside(input, goal));
}

/** Each pass fed by the one before, after diameters changed. */
export function chained(passes: readonly PassInput[]): readonly PassInput[] {
  let before: number | null = null;
  return passes.map((p) => {
    const next = before === null || before === p.inMm ? p : { ...p, inMm: before };
    before = p.outMm;
    return next;
  });
}

/** Whether a whole series fulfils the goal. */
export function fulfils(passes: readonly PassInput[], must: readonly boolean[], goal: ChangeGoal): boolean {
  return passes.every((p, i) => p.inMm > p.outMm && (must[i] !== true || isOutside(p, goal)));
}

/** Numbers of a pass before and after a change. */
export interface Effect {
  readonly semiAngleDeg: number;
  readonly reduction: number;
  /** B at the middle of the bands, whether or not inside the fitted range. */
  readonly centrelineStress: number;
  readonly heaviestStress: number;
  /** Degrees outside the danger region, negative inside; null = the boundary lies beyond the verified range. */
  readonly marginDeg: number | null;
}

export function effectOf(p: PassInput, limit: number): Effect {
  const r = areaReduction(p.inMm, p.outMm);
  const alpha = degToRad(p.semiAngleDeg.value);
  const boundary = boundaryAngle(p, r, limit, "high");
  return {
    semiAngleDeg: p.semiAngleDeg.value,
    reduction: r,
    centrelineStress: centrelineStress(alpha, r, shearFactorAt(p.friction, "value", alpha, r), p.backTension),
    heaviestStress: heaviestStress(p),
    marginDeg: typeof boundary === "number" ? boundary - p.semiAngleDeg.high : null,
  };
}
