import type { Laying, Neighbourhood } from "./agreement.ts";
import { agreement, neighbourhoods } from "./agreement.ts";
import type { Ripples } from "./ripples.ts";

/** Wavelengths of the ripples compared, px of the flat face, from coarse to fine. */
export const WAVELENGTHS = [20, 12, 8, 5] as const;
const SWEEP_STEP_DEG = 3;
/** Turns taken further, and how far apart they must lie. */
const CANDIDATES = 3;
const APART_DEG = 9;
/** A turn this far from the best one is a wrong one. */
const WRONG_FROM_DEG = 24;

const sparse = neighbourhoods(40, 36, 8);
const middling = neighbourhoods(40, 30, 5);
const dense = neighbourhoods(40, 20, 4);

export interface Laid {
  readonly laying: Laying;
  /** Agreement per wavelength there. */
  readonly agreement: readonly number[];
  /** Agreement per wavelength at wrong turns: what rims and even texture give any two faces. */
  readonly byChance: readonly number[];
}

const mean = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0) / values.length;
const median = (values: readonly number[]): number => [...values].sort((a, b) => a - b)[values.length >> 1] ?? 0;

/** Best turns of a coarse round, best first. */
function bestTurns(coarse: readonly Ripples[number][], second: Ripples): number[] {
  const turns = Array.from({ length: 360 / SWEEP_STEP_DEG }, (_, i) => i * SWEEP_STEP_DEG);
  const values = turns.map((turnDeg) => mean(agreement(coarse, second, { turnDeg, scale: 1, dx: 0, dy: 0 }, sparse)));
  const order = turns.map((_, i) => i).sort((a, b) => values[b]! - values[a]!);
  const taken: number[] = [];
  for (const i of order) {
    const far = taken.every((t) => Math.abs(((turns[i]! - t + 540) % 360) - 180) >= APART_DEG);
    if (far) taken.push(turns[i]!);
    if (taken.length === CANDIDATES) break;
  }
  return taken;
}

const STEPS = { turnDeg: 1.5, dx: 2, dy: 2, scale: 0.01 } as const;
const KEYS = ["turnDeg", "dx", "dy", "scale"] as const;
/** Farther off, one face would no longer lie on the other. */
const FARTHEST = { shift: 14, scale: 0.06 } as const;

/** Walks to the best laying near a start, in ever smaller steps. */
function climb(
  first: Ripples,
  second: Ripples,
  start: Laying,
  places: readonly Neighbourhood[],
  from: number,
  to: number,
): { readonly laying: Laying; readonly value: number } {
  const worth = (l: Laying): number => mean(agreement(first, second, l, places));
  let laying = start;
  let value = worth(start);
  for (let size = from; size >= to; size /= 2)
    for (let round = 0, moved = true; moved && round < 6; round++) {
      moved = false;
      for (const key of KEYS)
        for (const sign of [1, -1]) {
          const next = { ...laying, [key]: laying[key] + sign * size * STEPS[key] };
          if (Math.hypot(next.dx, next.dy) > FARTHEST.shift || Math.abs(next.scale - 1) > FARTHEST.scale) continue;
          const there = worth(next);
          if (there <= value) continue;
          value = there;
          laying = next;
          moved = true;
          break;
        }
    }
  return { laying, value };
}

/**
 * Finds how the second face lies on the first: all turns are tried with coarse ripples, the best ones are walked to the
 * place where fine ripples agree best.
 *
 * @param onPart – share done, 0–1.
 */
export function layFaces(first: Ripples, second: Ripples, onPart: (part: number) => void = () => undefined): Laid {
  const turns = bestTurns(first.slice(0, 2), second.slice(0, 2));
  onPart(0.3);
  let best: { laying: Laying; value: number } | null = null;
  for (const [i, turnDeg] of turns.entries()) {
    const start = { turnDeg, scale: 1, dx: 0, dy: 0 };
    const rough = climb(first.slice(0, 3), second.slice(0, 3), start, sparse, 1, 0.5);
    if (!best || rough.value > best.value) best = rough;
    onPart(0.3 + (0.4 * (i + 1)) / turns.length);
  }
  const fine = climb(first.slice(1), second.slice(1), best!.laying, middling, 0.5, 0.25);
  onPart(0.8);
  const { laying } = climb(first.slice(2), second.slice(2), fine.laying, middling, 0.25, 0.06);
  const wrong: number[][] = first.map(() => []);
  for (let off = WRONG_FROM_DEG; off <= 360 - WRONG_FROM_DEG; off += WRONG_FROM_DEG)
    agreement(first, second, { ...laying, turnDeg: laying.turnDeg + off }, middling).forEach((v, s) =>
      wrong[s]!.push(v),
    );
  onPart(0.95);
  return {
    laying: { ...laying, turnDeg: ((laying.turnDeg % 360) + 360) % 360 },
    agreement: agreement(first, second, laying, dense),
    byChance: wrong.map(median),
  };
}
