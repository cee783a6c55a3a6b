import type { Scored } from "./scored.ts";
import { toProbabilities } from "./softmax.ts";
import { ln } from "./steady-math.ts";
import type { TemperatureByKnown } from "./temperature-by-known.ts";

const LEAST = 1 / 8;
const MOST = 4;
const STEPS = 40;
/** Breaks with fewer or more known columns than this share of all are answered as those at its edge. @source our own trials */
const EDGE = 0.1;

/**
 * The two boldnesses with the least log loss on rows that were not learnt from. The loss is convex in them, so Newton's
 * steps, kept within bounds, find the only valley.
 *
 * @returns null when all rows know about as much: then one temperature says it all.
 * @source D. P. Bertsekas, "Projected Newton methods for optimization problems with simple constraints", SIAM J. Control
 *   Optim. 20 (1982) 221–246; from memory
 */
export function bestByKnown(scored: Scored, counted: Uint8Array): TemperatureByKnown | null {
  const sorted = scored.known.slice().sort();
  const at = (share: number) => sorted[Math.round(share * (sorted.length - 1))] ?? 0;
  const [few, many] = [at(EDGE), at(1 - EDGE)];
  if (many <= few) return null;
  const part = Float64Array.from(scored.known, (n) => Math.min(1, Math.max(0, (n - few) / (many - few))));
  let b: Pair = [1, 1];
  let here = valleyAt(scored, part, b);
  for (let step = 0; step < STEPS; step++) {
    const to = newtonStep(b, here);
    if (Math.abs(to[0]) + Math.abs(to[1]) < 1e-9) break;
    let share = 1;
    let next: Pair = b;
    let there = here;
    for (let k = 0; k < 30; k++, share /= 2) {
      next = [within(b[0] + share * to[0]), within(b[1] + share * to[1])];
      there = valleyAt(scored, part, next);
      if (there.loss <= here.loss) break;
    }
    if (!(there.loss < here.loss)) break;
    [b, here] = [next, there];
  }
  return { counted, few, many, boldAtFew: b[0], boldAtMany: b[1] };
}

type Pair = readonly [number, number];
const within = (b: number): number => Math.min(MOST, Math.max(LEAST, b));

interface Valley {
  readonly loss: number;
  readonly slope: Pair;
  /** Second derivatives: first twice, both, second twice. */
  readonly bend: readonly [number, number, number];
}

/** Log loss of all rows and its derivatives in the two boldnesses. */
function valleyAt({ classes, scores, truth }: Scored, part: Float64Array, b: Pair): Valley {
  let [loss, s0, s1, b00, b01, b11] = [0, 0, 0, 0, 0, 0];
  const p = new Float64Array(classes);
  for (let i = 0; i < truth.length; i++) {
    const u = part[i]!;
    const bold = b[0] + u * (b[1] - b[0]);
    for (let c = 0; c < classes; c++) p[c] = bold * scores[i * classes + c]!;
    toProbabilities(p);
    let [mean, square] = [0, 0];
    for (let c = 0; c < classes; c++) {
      const s = scores[i * classes + c]!;
      mean += p[c]! * s;
      square += p[c]! * s * s;
    }
    const right = truth[i]!;
    loss -= ln(Math.max(1e-300, p[right]!));
    const slope = mean - scores[i * classes + right]!;
    const bend = Math.max(0, square - mean * mean);
    s0 += slope * (1 - u);
    s1 += slope * u;
    b00 += bend * (1 - u) * (1 - u);
    b01 += bend * u * (1 - u);
    b11 += bend * u * u;
  }
  return { loss, slope: [s0, s1], bend: [b00, b01, b11] };
}

/** A boldness at a bound that pulls outward stays; the others take Newton's step. */
function newtonStep(b: Pair, { slope, bend }: Valley): Pair {
  const held = (k: 0 | 1) => (b[k] <= LEAST && slope[k] > 0) || (b[k] >= MOST && slope[k] < 0);
  const [h0, h1] = [held(0), held(1)];
  const alone = (k: 0 | 1, curve: number) => -slope[k] / Math.max(1e-9, curve);
  if (h0) return [0, h1 ? 0 : alone(1, bend[2])];
  if (h1) return [alone(0, bend[0]), 0];
  const [a, m, d] = [bend[0] + 1e-9, bend[1], bend[2] + 1e-9];
  const det = a * d - m * m;
  if (!(det > 0)) return [alone(0, a), alone(1, d)];
  return [-(d * slope[0] - m * slope[1]) / det, -(a * slope[1] - m * slope[0]) / det];
}
