/**
 * Damage of one pass on the axis, normalised: strain times the largest principal stress over flow stress.
 *
 * On the axis the strain is exactly that of the pass and the largest stress is the mean stress plus two thirds.
 *
 * @param strain - true strain of the pass
 * @param b - centreline mean stress over flow stress
 * @source cockcroft-latham, applied with B
 */
export const tensionDamage = (strain: number, b: number): number => strain * Math.max(0, b + 2 / 3);

/** Growth ln(R/R0) of a small void on the axis in one pass. @source rice-tracey, applied with B */
export const voidGrowth = (strain: number, b: number): number => 0.283 * strain * Math.exp(1.5 * b);

/**
 * Damage at which the metal parts, from a tensile test.
 *
 * @param uniform - true strain at largest load
 * @param fracture - true strain at fracture, ln(A0/Af)
 * @source bridgman, neck shape after Le Roy et al.; from memory
 */
export function criticalDamage(uniform: number, fracture: number): number {
  const b = 0.55;
  const u = fracture - uniform;
  return fracture + ((1 + b * u) * Math.log(1 + b * u)) / b - u;
}

/** Mean stress over flow stress at the centre of a neck. @param a - neck radius; `R` radius of its profile @source bridgman */
export const neckTriaxiality = (a: number, R: number): number => 1 / 3 + Math.log(1 + a / (2 * R));

/** True fracture strain of a reduction of area in percent. @source iso-6892-1 for Z; definition */
export const fractureStrain = (reductionOfAreaPct: number): number => -Math.log(1 - reductionOfAreaPct / 100);
