/** A probability in whole percent; never 0 or 100: nothing that is said of a break is certain. */
export function percent(probability: number): string {
  const whole = Math.round(100 * probability);
  if (whole >= 100) return "> 99 %";
  return whole <= 0 ? "< 1 %" : `${whole} %`;
}
