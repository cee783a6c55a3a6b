/** Elongation after fracture in percent of the gauge length. @param before - gauge length, mm; `after` @source iso-6892-1 */
export const elongationAfterFracturePct = (before: number, after: number): number => (100 * (after - before)) / before;

/** Proportional gauge length of a round wire, 5.65 √S0, mm. @param dMm - diameter, mm @source iso-6892-1 */
export const proportionalGaugeLength = (dMm: number): number => 5.65 * Math.sqrt((Math.PI * dMm ** 2) / 4);

/** Reduction of area in percent from the axes of the broken end; equal axes for a round one. @source iso-6892-1 */
export const reductionOfAreaPct = (dMm: number, axisMm: number, otherAxisMm = axisMm): number =>
  100 * (1 - (axisMm * otherAxisMm) / dMm ** 2);
