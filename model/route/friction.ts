import { soundFlowStress } from "./drawing-stress.ts";
import type { Band } from "./value.ts";

/** Friction as it was given: a Coulomb coefficient μ or a shear factor m, with its band. */
export interface Friction extends Band {
  readonly kind: "mu" | "m";
}

/** Largest meaningful Coulomb coefficient: beyond it the wire sticks where p = σ0. @source definition */
export const MU_STICKING = 1 / Math.sqrt(3);

/** Shear factor of a Coulomb coefficient where the die pressure equals the flow stress, at most 1. @source definition */
export const shearFactorAtFlowStress = (mu: number): number => Math.min(1, Math.sqrt(3) * mu);

/**
 * Mean die pressure over flow stress from the axial balance, without bearing.
 *
 * @param stress - drawing stress over flow stress
 * @source this-study
 */
export const meanDiePressure = (alpha: number, r: number, mu: number, stress: number): number =>
  (stress * (1 - r)) / (r * (1 + mu / Math.tan(alpha)));

/**
 * Shear factor of a Coulomb coefficient at the mean die pressure of the pass, at most 1.
 *
 * The bound is linear in m, so the fixed point m = √3 μ p(m) has a closed form; iterating gives the same number.
 *
 * @param alpha - die semi-angle, radians; `r` area reduction
 * @source this-study
 */
export function shearFactorOf(mu: number, alpha: number, r: number): number {
  const without = soundFlowStress(alpha, r, 0);
  const perM = soundFlowStress(alpha, r, 1) - without;
  const gain = Math.sqrt(3) * mu * meanDiePressure(alpha, r, mu, 1);
  return Math.min(1, (gain * without) / (1 - gain * perM));
}

/**
 * Coulomb coefficient that gives a shear factor at the mean die pressure of the pass.
 *
 * @returns null when no coefficient gives it
 * @source this-study
 */
export function coulombOf(m: number, alpha: number, r: number): number | null {
  const stress = soundFlowStress(alpha, r, m);
  const below = Math.sqrt(3) * stress * (1 - r) - (m * r) / Math.tan(alpha);
  return below > 0 ? (m * r) / below : null;
}

/** Shear factor of friction given either way, for one of its three levels. */
export function shearFactorAt(friction: Friction, level: keyof Band, alpha: number, r: number): number {
  return friction.kind === "m" ? friction[level] : shearFactorOf(friction[level], alpha, r);
}
