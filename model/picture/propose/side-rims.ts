import type { AlongAcross, FramedOutline } from "./side-frame.ts";
import { SPACING } from "./side-contour.ts";

/** Where the skin of the wire ends and the broken face begins, on either edge: places in the frame. */
export interface Rims {
  readonly upper: AlongAcross;
  readonly lower: AlongAcross;
}

/** A necked wire leans less than this against its axis, a broken face more. */
const LEAN_DEG = 22;
/** Lean is read over this length, diameters. */
const OVER = 0.05;
/** Least height of a step, diameters. */
const STEP = 0.035;
/** A stretch of skin is at least this long, diameters; shorter level stretches are steps of the face. */
const SKIN = 0.2;

/** Walks both edges from the tip back until they run along the wire and keep doing so. */
export function findRims({ frame, upper, lower }: FramedOutline): Rims | null {
  const one = rimOf(upper, frame.diameter);
  const two = rimOf(lower, frame.diameter);
  return one === null || two === null ? null : { upper: one, lower: two };
}

function rimOf(edge: readonly AlongAcross[], diameter: number): AlongAcross | null {
  const reach = Math.max(2, Math.round((OVER * diameter) / SPACING / 2));
  const needed = (SKIN * diameter) / SPACING;
  const steep = Math.tan((LEAN_DEG * Math.PI) / 180);
  let level = 0;
  for (let i = edge.length - 1 - reach; i >= reach; i--) {
    const [a, b] = [edge[i - reach]!, edge[i + reach]!];
    level = b.u > a.u && Math.abs(b.w - a.w) <= steep * (b.u - a.u) ? level + 1 : 0;
    if (level < needed) continue;
    const first = i + level - 1;
    const step = firstStep(edge, reach, diameter);
    return edge[cornerNear(edge, Math.min(first, step), Math.round(diameter / SPACING))]!;
  }
  return null;
}

/**
 * First place, coming along the wire, where the edge drops in a step: beyond it stands a tongue of a split wire, whose
 * level sides are no skin all round.
 */
function firstStep(edge: readonly AlongAcross[], reach: number, diameter: number): number {
  for (let i = reach; i < edge.length - 2 * reach; i++) {
    const [a, b] = [edge[i - reach]!, edge[i + reach]!];
    const drop = Math.abs(a.w) - Math.abs(b.w);
    if (drop >= STEP * diameter && drop > Math.abs(b.u - a.u)) return i;
  }
  return Infinity;
}

/** The outline turns within these bounds of the place where its lean was read, and the chord ends here, diameters. */
const CORNER = { back: 0.12, forth: 0.05, chordBack: 0.22, chordForth: 0.12 } as const;

/** The lean is read across the corner, so the corner itself is looked for: the point farthest from a chord over it. */
function cornerNear(edge: readonly AlongAcross[], at: number, perDiameter: number): number {
  const place = (by: number): number => Math.max(0, Math.min(edge.length - 1, at + Math.round(by * perDiameter)));
  const [a, b] = [edge[place(-CORNER.chordBack)]!, edge[place(CORNER.chordForth)]!];
  const length = Math.hypot(b.u - a.u, b.w - a.w) || 1;
  let best = at;
  let far = -1;
  for (let i = place(-CORNER.back); i <= place(CORNER.forth); i++) {
    const p = edge[i]!;
    const d = Math.abs((b.u - a.u) * (p.w - a.w) - (b.w - a.w) * (p.u - a.u)) / length;
    if (d > far) {
      far = d;
      best = i;
    }
  }
  return best;
}
