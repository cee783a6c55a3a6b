import type { Laying, Neighbourhood } from "./agreement.ts";
import { agreement, squaredAgreement, neighbourhoods } from "./agreement.ts";
import type { Ripples } from "./ripples.ts";
import { DIRECTIONS } from "./ripples.ts";

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

export interface Laid {
  readonly laying: Laying;
  /**
   * Per wavelength how well the faces agree in the directions that agree least, less what they do at wrong turns. Two
   * faces that share an edge agree along it; only one tear agrees in all directions. Mean squared coherence, about 0
   * for strangers.
   */
  readonly broad: readonly number[];
}

const mean = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0) / values.length;

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
  onPart(0.75);
  return settle(first, second, best!.laying);
}

/** As `layFaces`, from a place near which it lies. */
export function layFrom(first: Ripples, second: Ripples, start: Laying): Laid {
  return settle(first, second, climb(first.slice(0, 3), second.slice(0, 3), start, sparse, 1, 0.5).laying);
}

function settle(first: Ripples, second: Ripples, start: Laying): Laid {
  const fine = climb(first.slice(1), second.slice(1), start, middling, 0.5, 0.25);
  const { laying } = climb(first.slice(2), second.slice(2), fine.laying, middling, 0.25, 0.06);
  const chance: number[][] = first.map(() => []);
  for (let off = WRONG_FROM_DEG; off <= 360 - WRONG_FROM_DEG; off += WRONG_FROM_DEG) {
    const there = squaredAgreement(first, second, { ...laying, turnDeg: laying.turnDeg + off }, middling);
    there.forEach((cells, s) => chance[s]!.push(inWeakDirections(cells)));
  }
  const here = squaredAgreement(first, second, laying, middling);
  return {
    laying: { ...laying, turnDeg: ((laying.turnDeg % 360) + 360) % 360 },
    broad: here.map((cells, s) => inWeakDirections(cells) - mean(chance[s]!)),
  };
}

/** Mean over the neighbourhoods of the second and third weakest of their directions. */
function inWeakDirections(cells: Float64Array): number {
  let sum = 0;
  for (let from = 0; from < cells.length; from += DIRECTIONS) {
    const sorted = cells.slice(from, from + DIRECTIONS).sort();
    sum += (sorted[1]! + sorted[2]!) / 2;
  }
  return (sum * DIRECTIONS) / cells.length;
}
