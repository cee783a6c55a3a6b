/**
 * Area reduction of a pass, r = 1 − (d1/d0)².
 *
 * @param dIn - diameter before the die; `dOut` after it, same unit
 * @source definition
 */
export const areaReduction = (dIn: number, dOut: number): number => 1 - (dOut / dIn) ** 2;

/** True strain of a pass, ε = ln(A0/A1) = 2 ln(d0/d1). @source definition */
export const trueStrain = (dIn: number, dOut: number): number => 2 * Math.log(dIn / dOut);

/** Elongation ratio, length out over length in, by volume constancy. @source definition */
export const elongationRatio = (dIn: number, dOut: number): number => (dIn / dOut) ** 2;

/** Diameter after a reduction. @param r - area reduction, 0–1 @source definition */
export const exitDiameter = (dIn: number, r: number): number => dIn * Math.sqrt(1 - r);

/**
 * Die-geometry number Δ of a pass, (α/r)(1 + √(1 − r))².
 *
 * @param alpha - die semi-angle, radians, above 0
 * @param r - area reduction, above 0, below 1
 * @source backofen
 */
export const dieGeometry = (alpha: number, r: number): number => (alpha / r) * (1 + Math.sqrt(1 - r)) ** 2;

/** Δ as mean diameter over contact length; the sine form, 0.3 % below Δ at 8°. @source backofen */
export const dieGeometryOfDiameters = (alpha: number, dIn: number, dOut: number): number =>
  meanDiameter(dIn, dOut) / contactLength(alpha, dIn, dOut);

/** Mean of the diameters before and after the die. @source groover */
export const meanDiameter = (dIn: number, dOut: number): number => (dIn + dOut) / 2;

/** Length over which the wire touches the cone, along the cone. @param alpha - radians @source groover */
export const contactLength = (alpha: number, dIn: number, dOut: number): number => (dIn - dOut) / (2 * Math.sin(alpha));

/** Reduction that gives Δ with a semi-angle in radians; exact inverse. @source this-study */
export const reductionOfDieGeometry = (alpha: number, delta: number): number =>
  (4 * alpha * delta) / (alpha + delta) ** 2;

/** Semi-angle in radians that gives Δ with a reduction; exact inverse. @source this-study */
export function semiAngleOfDieGeometry(delta: number, r: number): number {
  const s = Math.sqrt(1 - r);
  return (delta * (1 - s)) / (1 + s);
}

/** Redundant-work factor by the straight line in Δ, within 7 % of finite elements up to Δ = 5. @source wright */
export const redundantWork = (delta: number): number => 0.8 + delta / 4.4;

/** Inhomogeneity factor 0.88 + 0.12 D/Lc; finite elements lie 8–17 % above it. @source groover */
export const inhomogeneityFactor = (delta: number): number => 0.88 + 0.12 * delta;
