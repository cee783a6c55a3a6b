import type { Share } from "../../model/classifier/metrics.ts";

const whole = (x: number): number => Math.round(100 * x);

/** "92 % (88–95 %)": a share with the bounds of its 95 % interval; "none" where nothing was counted. */
export const shareWords = ({ n, value, low, high }: Share): string =>
  n === 0 ? "none" : `${whole(value)} % (${whole(low)}–${whole(high)} %)`;

/** "23 of 25". */
export const countWords = ({ of, n }: Share): string => `${of} of ${n}`;
