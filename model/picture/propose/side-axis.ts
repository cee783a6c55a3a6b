import type { BusyPixels } from "./side-wire.ts";

/** The wire as a strip: places are along · (cos, sin) + across · (−sin, cos). */
export interface Strip {
  /** Direction of the wire toward the break, radians from +x toward +y. */
  readonly turn: number;
  /** Places of the two outermost straight edges across the strip, px. */
  readonly low: number;
  readonly high: number;
}

/** Pixels looked at while searching the direction. */
const SAMPLE = 9000;
/** Width of a bin across the wire, px. */
const BIN = 2;
/** Edges lie in the outer part of the strip, as a share of its width. */
const OUTER = 0.14;
const DEG = Math.PI / 180;

/** The outermost line with this share of the votes of the strongest one nearby is the edge. */
const OUTERMOST = 0.6;
/** Directions this far apart are different answers, degrees; so many answers are kept. */
const APART_DEG = 20;
const ANSWERS = 4;

/**
 * Direction of the wire and its two edges, from the busy pixels alone: seen along the right direction the edges become
 * two sharp peaks at the outside, whatever the skin between them looks like (draw lines of a twisted wire run askew).
 * The broken face and the rim of the picture make such peaks too, so the next best directions are given as well.
 *
 * @returns strips with `turn` in 0–π, best first: which way the break lies is not known yet; none with too few pixels.
 */
export function findStrips({ x, y }: BusyPixels): readonly Strip[] {
  const every = Math.max(1, Math.floor(x.length / SAMPLE));
  const count = Math.floor(x.length / every);
  if (count < 200) return [];
  const [px, py] = [new Float32Array(count), new Float32Array(count)];
  for (let i = 0; i < count; i++) {
    px[i] = x[i * every]!;
    py[i] = y[i * every]!;
  }
  const coarse = Array.from({ length: 90 }, (_, k) => edgesAlong(px, py, 2 * k * DEG)).sort(
    (a, b) => b.score - a.score,
  );
  const kept: (typeof coarse)[number][] = [];
  for (const tried of coarse) {
    const apart = (other: Strip): number => Math.abs((((tried.turn - other.turn) / DEG + 270) % 180) - 90);
    if (kept.length < ANSWERS && kept.every((other) => apart(other) >= APART_DEG)) kept.push(tried);
  }
  return kept.map((first) => {
    let best = first;
    for (const step of [0.5, 0.25]) {
      const middle = best.turn / DEG;
      for (let k = step === 0.5 ? -3 : -1; k <= (step === 0.5 ? 3 : 1); k++) {
        const tried = edgesAlong(px, py, (middle + k * step) * DEG);
        if (tried.score > best.score) best = tried;
      }
    }
    return best;
  });
}

function edgesAlong(px: Float32Array, py: Float32Array, turn: number): Strip & { readonly score: number } {
  const [c, s] = [Math.cos(turn), Math.sin(turn)];
  let least = Infinity;
  let most = -Infinity;
  const across = new Float32Array(px.length);
  for (let i = 0; i < px.length; i++) {
    const v = c * py[i]! - s * px[i]!;
    across[i] = v;
    if (v < least) least = v;
    if (v > most) most = v;
  }
  const bins = new Uint32Array(Math.ceil((most - least) / BIN) + 2);
  for (const v of across) bins[Math.floor((v - least) / BIN)]! += 1;
  const outer = Math.max(2, Math.ceil(bins.length * OUTER));
  const pair = (k: number): number => bins[k]! + bins[k + 1]!;
  const peak = (from: number, to: number, step: 1 | -1): { at: number; votes: number } => {
    let votes = 0;
    for (let k = from; k !== to; k += step) votes = Math.max(votes, pair(k));
    let at = from;
    // The outermost of several strong lines: draw lines are as straight as the edge itself.
    while (pair(at) < OUTERMOST * votes) at += step;
    if (pair(at + step) > pair(at) && at + step !== to) at += step;
    return { at, votes: pair(at) };
  };
  const one = peak(0, outer, 1);
  const two = peak(bins.length - 2, Math.max(0, bins.length - 2 - outer), -1);
  const place = (k: number): number => least + (k + 1) * BIN;
  return {
    turn,
    low: place(one.at),
    high: place(two.at),
    // Both edges must be there: a product, so that one strong line does not stand in for two.
    score: Math.sqrt(one.votes * two.votes),
  };
}
