/** A share in whole percent; never 0 or 100 where it is not: nothing here is certain. */
export function percent(share: number): string {
  const whole = Math.round(100 * share);
  if (whole >= 100 && share < 1) return "> 99 %";
  if (whole <= 0 && share > 0) return "< 1 %";
  return `${whole} %`;
}
