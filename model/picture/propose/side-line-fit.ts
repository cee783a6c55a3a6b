import type { AlongAcross } from "./side-frame.ts";

/** A straight line through points of the outline. */
export interface FittedLine {
  /** A point of it. */
  readonly at: AlongAcross;
  /** Direction, radians from the wire's axis. */
  readonly turn: number;
  /** Root mean square distance of the points that count, px. */
  readonly spread: number;
  /** Share of the points that lie within `near` of it. */
  readonly share: number;
}

/**
 * Line with the least squared distances across it, reweighted by Tukey's biweight, so that steps and teeth count for little.
 *
 * @param near – distance within which a point counts as on the line, px.
 * @returns null with fewer than five points.
 * @source from memory: Huber, Robust Statistics (reweighted least squares with the biweight)
 */
export function fitLine(points: readonly AlongAcross[], near: number): FittedLine | null {
  if (points.length < 5) return null;
  const weights = new Float64Array(points.length).fill(1);
  let line = { at: { u: 0, w: 0 }, turn: 0 };
  let distances: number[] = [];
  for (let round = 0; round < 8; round++) {
    let [sum, mu, mw] = [0, 0, 0];
    points.forEach((p, i) => {
      sum += weights[i]!;
      mu += weights[i]! * p.u;
      mw += weights[i]! * p.w;
    });
    if (sum < 1e-9) return null;
    mu /= sum;
    mw /= sum;
    let [uu, uw, ww] = [0, 0, 0];
    points.forEach((p, i) => {
      uu += weights[i]! * (p.u - mu) ** 2;
      uw += weights[i]! * (p.u - mu) * (p.w - mw);
      ww += weights[i]! * (p.w - mw) ** 2;
    });
    const turn = Math.atan2(2 * uw, uu - ww) / 2;
    line = { at: { u: mu, w: mw }, turn };
    const [c, s] = [Math.cos(turn), Math.sin(turn)];
    distances = points.map((p) => Math.abs(c * (p.w - mw) - s * (p.u - mu)));
    const limit = Math.max(near, 3 * median(distances));
    distances.forEach((d, i) => (weights[i] = d < limit ? (1 - (d / limit) ** 2) ** 2 : 0));
  }
  const on = distances.filter((d) => d <= near);
  const spread = Math.sqrt(on.reduce((a, d) => a + d * d, 0) / Math.max(1, on.length));
  return { ...line, spread, share: on.length / points.length };
}

const median = (values: readonly number[]): number =>
  [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? 0;
