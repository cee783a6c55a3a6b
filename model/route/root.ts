const MOST_STEPS = 60;

/**
 * Where a continuous function crosses zero between two places of unlike sign, by false position with halving of the
 * end that stays (Illinois variant): some eight evaluations where halving alone takes forty.
 *
 * @param low - f has one sign here; `high` f has the other here
 * @param within - width of the last step at which the search ends
 */
export function crossing(f: (x: number) => number, low: number, high: number, within: number): number {
  let [a, b] = [low, high];
  let [fa, fb] = [f(a), f(b)];
  for (let i = 0; i < MOST_STEPS && fb !== 0; i++) {
    const x = b - (fb * (b - a)) / (fb - fa);
    const fx = f(x);
    const step = Math.abs(x - b);
    if (fx > 0 === fb > 0) fa /= 2;
    else [a, fa] = [b, fb];
    [b, fb] = [x, fx];
    if (step < within) break;
  }
  return b;
}
