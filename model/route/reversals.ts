/** With the present draw, or against it. */
export type Direction = 1 | -1;

/**
 * Which way a burst points now, relative to the present draw, after the transfers since its birth.
 *
 * In the die the core runs ahead of the skin, so at birth the tip points with the draw; each reversal turns it round.
 *
 * @param reverses - one entry per transfer since birth: true where the wire was turned end for end
 * @returns 1 with the draw, −1 against it, 0 when a transfer is not known
 * @source this-study for the parity; cb-excerpt for the tip with the draw
 */
export function directionAfter(reverses: readonly (boolean | null)[]): Direction | 0 {
  if (reverses.includes(null)) return 0;
  return reverses.filter((r) => r === true).length % 2 === 0 ? 1 : -1;
}

/**
 * Machines in which a burst of this direction can have formed, counted back from the present one (0).
 *
 * @param reversesBack - transfers counted back: the first joins the machine before to the present one
 * @returns also those joined by a transfer that is not known
 * @source this-study
 */
export function machinesOfDirection(
  direction: Direction,
  reversesBack: readonly (boolean | null)[],
): readonly number[] {
  return [0, ...reversesBack.map((_, i) => i + 1)].filter((n) => {
    const now = directionAfter(reversesBack.slice(0, n));
    return now === 0 || now === direction;
  });
}
