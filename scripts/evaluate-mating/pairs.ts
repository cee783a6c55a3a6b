import { hash01 } from "../render/noise.ts";
import type { TwoFaces } from "./faces.ts";

/** How the two faces of a pair are related. Strangers of one type and metal are the hard ones. */
export const KINDS = ["mates", "same type and metal", "same type", "same metal", "other"] as const;
export type PairKind = (typeof KINDS)[number];

export interface Pair {
  readonly kind: PairKind;
  readonly machine: TwoFaces;
  readonly takeUp: TwoFaces;
}

function kindOf(a: TwoFaces, b: TwoFaces): PairKind {
  if (a.id === b.id) return "mates";
  if (a.type === b.type) return a.metal === b.metal ? "same type and metal" : "same type";
  return a.metal === b.metal ? "same metal" : "other";
}

/**
 * Every break against itself, and its machine end against take-up ends of other breaks: as many of its own type and
 * metal as there are up to `perKind`, and one of each other kind. Picked by number, so that each run takes the same.
 */
export function pairsOf(breaks: readonly TwoFaces[], perKind: number): readonly Pair[] {
  return breaks.flatMap((machine, i) =>
    KINDS.flatMap((kind) => {
      const fitting = breaks
        .map((takeUp, j) => ({ takeUp, rank: hash01(i, j, 91) }))
        .filter(({ takeUp }) => kindOf(machine, takeUp) === kind)
        .sort((a, b) => a.rank - b.rank);
      const most = kind === "same type and metal" || kind === "same type" ? perKind : 1;
      return fitting.slice(0, most).map(({ takeUp }) => ({ kind, machine, takeUp }));
    }),
  );
}
