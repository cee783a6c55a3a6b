/**
 * Die-geometry number Δ of one pass: mean wire diameter over contact length.
 *
 * A large die angle with a small reduction puts the centre of the wire in tension and favours central bursts.
 * Δ = (α / r) · (1 + √(1 − r))².
 *
 * @param semiAngleDeg - die semi-angle α, degrees, above 0
 * @param reductionPct - reduction of area of the pass, percent, above 0 and below 100
 * @returns Δ, dimensionless; NaN when an input is outside its range
 * @source delta-note, wright
 * @example 6° and 20 % → 1.88
 */
export function deltaOf(semiAngleDeg: number, reductionPct: number): number {
  const r = reductionPct / 100;
  if (!(semiAngleDeg > 0) || !(r > 0 && r < 1)) return Number.NaN;
  return ((semiAngleDeg * Math.PI) / 180 / r) * (1 + Math.sqrt(1 - r)) ** 2;
}
