import { dieGeometry, redundantWork } from "./pass-geometry.ts";

const SQRT3 = Math.sqrt(3);
const K = 11 / 12;

/** ln(R0/Rf) of an area reduction. */
export const logRadii = (r: number): number => -0.5 * Math.log(1 - r);

/**
 * Factor f(α) of the internal work in a spherical sound-flow field: 1 + α²/48 + …, 1.1666 at 90°.
 *
 * @param alpha - die semi-angle, radians, above 0
 * @source avitzur63
 */
export function internalWorkFactor(alpha: number): number {
  const s2 = Math.sin(alpha) ** 2;
  const c = Math.cos(alpha);
  const q = Math.sqrt(1 - K * s2);
  const log = Math.log((1 + Math.sqrt(K)) / (Math.sqrt(K) * c + q));
  return (1 - c * q + log / Math.sqrt(11 * 12)) / s2;
}

/** Shear work at the two boundaries of the field, α/sin²α − cot α; near 2α/3. @source avitzur63 */
export const boundaryShear = (alpha: number): number => alpha / Math.sin(alpha) ** 2 - 1 / Math.tan(alpha);

/**
 * Drawing stress over flow stress by the sound-flow upper bound with a shear factor.
 *
 * 3–14 % above the finite-element load in the useful range, never below it.
 *
 * @param alpha - die semi-angle, radians
 * @param r - area reduction
 * @param m - shear friction factor, 0–1
 * @param landOverRadius - bearing length over exit radius
 * @param back - back tension over flow stress
 * @source avitzur63
 */
export function soundFlowStress(alpha: number, r: number, m: number, landOverRadius = 0, back = 0): number {
  const log = logRadii(r);
  const friction = m * (log / Math.tan(alpha) + landOverRadius);
  return back + 2 * internalWorkFactor(alpha) * log + (2 / SQRT3) * (boundaryShear(alpha) + friction);
}

/** The same bound with a Coulomb coefficient on the wall pressure σ0 − σx. @source avitzur63 */
export function soundFlowStressCoulomb(alpha: number, r: number, mu: number, landOverRadius = 0, back = 0): number {
  const log = logRadii(r);
  const wall = 2 * mu * ((1 / Math.tan(alpha)) * (1 - back - log) * log + landOverRadius);
  const sum = back + 2 * internalWorkFactor(alpha) * log + (2 / SQRT3) * boundaryShear(alpha) + wall;
  return sum / (1 + 2 * mu * landOverRadius);
}

/** Drawing stress over mean flow stress, short form (3.2/Δ + 0.9)(α + μ). @source wright */
export const shortFormStress = (alpha: number, r: number, mu: number): number =>
  (3.2 / dieGeometry(alpha, r) + 0.9) * (alpha + mu);

/** Drawing stress over mean flow stress, Φ ε (1 + μ cot α) with the straight line for Φ. @source wright */
export const workFormStress = (alpha: number, r: number, mu: number): number =>
  redundantWork(dieGeometry(alpha, r)) * 2 * logRadii(r) * (1 + mu / Math.tan(alpha));

/** Drawing stress over flow stress by the slab analysis, without redundant work; μ above 0. @source sachs */
export function slabStress(alpha: number, r: number, mu: number): number {
  const b = mu / Math.tan(alpha);
  return ((1 + b) / b) * (1 - (1 - r) ** b);
}

/** Drawing stress over mean flow stress, ε(1 + μ/α) + 2α/3. @source siebel */
export const shearTermStress = (alpha: number, r: number, mu: number): number =>
  2 * logRadii(r) * (1 + mu / alpha) + (2 * alpha) / 3;

/** Drawing stress in MPa with strain hardening, Ȳf (1 + μ/tan α) φ ε. @source groover */
export const hardeningStress = (meanFlowMPa: number, alpha: number, mu: number, phi: number, strain: number): number =>
  meanFlowMPa * (1 + mu / Math.tan(alpha)) * phi * strain;

/** Mean flow stress Kεⁿ/(1 + n) of a power law from zero strain. @source groover */
export const meanFlowStress = (kMPa: number, n: number, strain: number): number => (kMPa * strain ** n) / (1 + n);

/** Largest reduction of one pass in ideal work, 1 − e^−(n+1). @source hosford-caddell */
export const idealLargestReduction = (n: number): number => 1 - Math.exp(-(n + 1));

/** Die-geometry number of least drawing stress, √(14.08 μ/ε) by the straight line for Φ. @source this-study */
export const optimumDieGeometry = (mu: number, strain: number): number => Math.sqrt((14.08 * mu) / strain);

/** The printed short form of the same, 4.9 √(μ/ε). @source wright */
export const optimumDieGeometryShort = (mu: number, strain: number): number => 4.9 * Math.sqrt(mu / strain);

/** Semi-angle of least drawing stress, near √(1.5 m ln(R0/Rf)), radians. @source avitzur63 */
export const optimumSemiAngleNear = (r: number, m: number): number => Math.sqrt(1.5 * m * logRadii(r));

/**
 * Semi-angle of least drawing stress by the bound itself, radians; 0 without friction.
 *
 * @source avitzur63
 */
export function optimumSemiAngle(r: number, m: number): number {
  if (m === 0) return 0;
  const near = optimumSemiAngleNear(r, m);
  let low = near / 2;
  let high = Math.min(near * 1.5, Math.PI / 2 - 1e-6);
  // The stress has one minimum in α, so the sign of a central difference brackets it.
  for (let i = 0; i < 28; i++) {
    const mid = (low + high) / 2;
    const step = mid * 1e-5;
    if (soundFlowStress(mid + step, r, m) > soundFlowStress(mid - step, r, m)) high = mid;
    else low = mid;
  }
  return (low + high) / 2;
}

/**
 * Reduction at which the drawing stress of a non-hardening wire reaches its flow stress; no bearing, no back tension.
 *
 * @source avitzur63
 */
export function limitReduction(alpha: number, m: number): number {
  const log =
    (1 - (2 / SQRT3) * boundaryShear(alpha)) / (2 * internalWorkFactor(alpha) + ((2 / SQRT3) * m) / Math.tan(alpha));
  return 1 - Math.exp(-2 * log);
}
