import { type Stream } from "../../classifier/seeded.ts";
import { AgreementError } from "./agreement-error.ts";

/** What the labels are: names; names in an order; numbers on a scale with equal steps. */
export type LabelKind = "names" | "ordered" | "numbers";

/** One break: what each reader gave, null where a reader did not read it. Ordered labels come as 0, 1, 2, … */
export type ReadUnit = readonly (number | null)[];

export interface Alpha {
  /** 1 = always agreed, 0 = as if by chance, below 0 = systematic disagreement. */
  readonly alpha: number;
  /** Breaks with two readings or more; the others say nothing about agreement. */
  readonly breaks: number;
  /** Readings of those breaks. */
  readonly readings: number;
}

export interface AlphaInterval extends Alpha {
  /** 95 % interval: 2.5 and 97.5 percentiles of alpha over breaks drawn anew with replacement. */
  readonly low: number;
  readonly high: number;
  /** Draws that gave an alpha; a draw in which all labels are the same gives none. */
  readonly draws: number;
}

/**
 * Agreement of two or more readers, any of whom may have skipped breaks.
 *
 * @param units – one per break. Names: any numbers that stand for them.
 * @throws AgreementError too-few (no break with two readings), no-variation (one label only).
 * @source Krippendorff 2011, Computing Krippendorff's Alpha-Reliability (Univ. of Pennsylvania, ASC departmental paper 43).
 */
export function krippendorffAlpha(units: readonly ReadUnit[], kind: LabelKind): Alpha {
  const read = units.map((unit) => unit.filter((v) => v !== null)).filter((unit) => unit.length >= 2);
  if (read.length === 0)
    throw new AgreementError(
      "too-few",
      "No break was read by two readers.",
      "Let a second reader read some of the breaks.",
    );
  const patterns = new Patterns(read);
  const alpha = patterns.alpha(patterns.counts(), kind);
  if (alpha === null)
    throw new AgreementError(
      "no-variation",
      "Every reading gave one and the same label, so there is nothing to agree about.",
      "Let the readers read breaks of more than one type.",
    );
  return { alpha, breaks: read.length, readings: read.reduce((n, unit) => n + unit.length, 0) };
}

/**
 * Alpha with an interval by drawing the breaks anew (bootstrap over breaks, percentiles).
 *
 * @param next – numbers in [0, 1); a seeded stream gives the same interval on every machine.
 * @throws AgreementError as `krippendorffAlpha`.
 */
export function alphaWithInterval(
  units: readonly ReadUnit[],
  kind: LabelKind,
  next: Stream,
  draws = 1000,
): AlphaInterval {
  const whole = krippendorffAlpha(units, kind);
  const read = units.map((unit) => unit.filter((v) => v !== null)).filter((unit) => unit.length >= 2);
  const patterns = new Patterns(read);
  const drawn: number[] = [];
  for (let i = 0; i < draws; i++) {
    const alpha = patterns.alpha(patterns.drawn(next), kind);
    if (alpha !== null) drawn.push(alpha);
  }
  drawn.sort((a, b) => a - b);
  const at = (share: number): number => {
    const place = share * (drawn.length - 1);
    const below = drawn[Math.floor(place)] ?? whole.alpha;
    return below + (place % 1) * ((drawn[Math.ceil(place)] ?? below) - below);
  };
  return { ...whole, low: at(0.025), high: at(0.975), draws: drawn.length };
}

/** Breaks that were read alike are counted together: drawing thousands of them anew a thousand times stays quick. */
class Patterns {
  readonly #labels: readonly number[];
  /** Pattern of each break. */
  readonly #of: Int32Array;
  /** What one break of each pattern adds to the pairs of labels: place in the table of pairs, and how much. */
  readonly #adds: readonly (readonly (readonly [place: number, much: number])[])[];

  constructor(read: readonly (readonly number[])[]) {
    this.#labels = [...new Set(read.flat())].sort((a, b) => a - b);
    const known = new Map<string, number>();
    const adds: (readonly (readonly [number, number])[])[] = [];
    this.#of = Int32Array.from(read, (unit) => {
      const key = [...unit].sort((a, b) => a - b).join();
      const pattern = known.get(key) ?? adds.push(this.#pairsOf(unit)) - 1;
      known.set(key, pattern);
      return pattern;
    });
    this.#adds = adds;
  }

  /** How many breaks there are of each pattern. */
  counts(): Int32Array {
    const counts = new Int32Array(this.#adds.length);
    for (const pattern of this.#of) counts[pattern]!++;
    return counts;
  }

  /** The same of as many breaks drawn anew with replacement. */
  drawn(next: Stream): Int32Array {
    const counts = new Int32Array(this.#adds.length);
    const n = this.#of.length;
    for (let i = 0; i < n; i++) counts[this.#of[Math.floor(next() * n)]!]!++;
    return counts;
  }

  /** null when one label only was given. */
  alpha(counts: Int32Array, kind: LabelKind): number | null {
    const n = this.#labels.length;
    const together = new Float64Array(n * n);
    this.#adds.forEach((adds, pattern) => {
      for (const [place, much] of adds) together[place]! += counts[pattern]! * much;
    });
    const given = this.#labels.map((_, c) => together.subarray(c * n, (c + 1) * n).reduce((sum, m) => sum + m, 0));
    if (given.filter((m) => m > 0).length < 2) return null;
    const all = given.reduce((sum, m) => sum + m, 0);
    const apart = distances(this.#labels, given, kind);
    let seen = 0;
    let chance = 0;
    for (let c = 0; c < n; c++)
      for (let k = c + 1; k < n; k++) {
        seen += together[c * n + k]! * apart(c, k);
        chance += given[c]! * given[k]! * apart(c, k);
      }
    return 1 - ((all - 1) * seen) / chance;
  }

  #pairsOf(unit: readonly number[]): readonly (readonly [number, number])[] {
    const n = this.#labels.length;
    const counts = this.#labels.map((label) => unit.filter((value) => value === label).length);
    return counts.flatMap((a, c) =>
      counts.flatMap((b, k): (readonly [number, number])[] => {
        const much = (a * (b - (c === k ? 1 : 0))) / (unit.length - 1);
        return much === 0 ? [] : [[c * n + k, much]];
      }),
    );
  }
}

/** Squared difference of the labels with places c < k. */
function distances(
  labels: readonly number[],
  given: readonly number[],
  kind: LabelKind,
): (c: number, k: number) => number {
  if (kind === "names") return () => 1;
  if (kind === "numbers") return (c, k) => (labels[c]! - labels[k]!) ** 2;
  const below: number[] = [];
  given.forEach((n, i) => below.push((below[i - 1] ?? 0) + n));
  // All readings from c to k, the two outer ones by half.
  return (c, k) => (below[k]! - (below[c - 1] ?? 0) - (given[c]! + given[k]!) / 2) ** 2;
}
