/** What is known of the limit of B at which this lab's wire bursts: a normal distribution, before or after fitting. */
export interface LimitBelief {
  readonly mean: number;
  readonly sd: number;
}

/**
 * The limit before any confirmed break: an assumption, shown as such.
 *
 * No published table of bursts with angle and reduction could be read in full, so the limit is not known. 2/3 is the
 * stress state of a developed neck, and the published points, all second-hand, lie on the right sides of it; the
 * standard deviation leaves room from 1/6 to 7/6.
 *
 * @source this-study, assumption
 */
export const ASSUMED_LIMIT: LimitBelief = { mean: 2 / 3, sd: 0.25 };
