/** Name and version of the comparison and of the pairs it is held against. */
export const FACES_FINDER = "laid faces 1";

export interface PairCounts {
  /** Pairs per step of the score; the steps divide 0–1 evenly. */
  readonly counts: readonly number[];
  readonly total: number;
}

/**
 * Scores of known pairs: ten kinds of break in three metals, both ends rendered under different light at any turn, many
 * of them blurred, small, noisy or badly exposed, outlines off by up to 0.8 % of the diameter. The strangers are of the
 * same kind of break (a third of them of the very same shape, other grain) and a few of another. No real faces.
 */
export const REFERENCE: { readonly mates: PairCounts; readonly strangers: PairCounts } = {
  mates: { counts: [0, 0, 0, 0, 4, 12, 24, 13, 9, 16, 10, 4, 6, 1, 1, 0, 0, 0, 0, 0], total: 100 },
  strangers: { counts: [44, 86, 26, 2, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0], total: 158 },
};

export interface Standing {
  readonly mates: number;
  readonly matesBelow: number;
  readonly strangers: number;
  readonly strangersReach: number;
}

/** Where a score stands among the known pairs. */
export function standing(score: number): Standing {
  const { mates, strangers } = REFERENCE;
  const step = (counts: readonly number[]): number => Math.min(counts.length - 1, Math.floor(score * counts.length));
  const sum = (counts: readonly number[]): number => counts.reduce((a, b) => a + b, 0);
  return {
    mates: mates.total,
    matesBelow: sum(mates.counts.slice(0, step(mates.counts))),
    strangers: strangers.total,
    strangersReach: sum(strangers.counts.slice(step(strangers.counts))),
  };
}
