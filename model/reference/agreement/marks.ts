import type { Mark } from "../../break/wire-break.ts";
import type { FeatureId } from "../../evidence/features.ts";
import { bestMatch } from "./best-match.ts";
import { lineDistance } from "./line-distance.ts";
import { isArea, overlapOf } from "./overlap.ts";

/** When two marks count as the same. */
export interface SameMark {
  /** Least overlap of two areas, 0–1. */
  readonly iou: number;
  /** Largest distance of two points or lines, px of the photograph. */
  readonly distancePx: number;
}

export interface MarkPair {
  readonly feature: FeatureId;
  readonly photographId: string;
  readonly first: Mark;
  readonly second: Mark;
  /** For two areas; null for points and lines. */
  readonly iou: number | null;
  /** For two points or lines, px; null for areas. */
  readonly distancePx: number | null;
}

export interface MarkAgreement {
  readonly pairs: readonly MarkPair[];
  /** Drawn by one reader only, or too far from anything of the other. */
  readonly firstOnly: readonly Mark[];
  readonly secondOnly: readonly Mark[];
  /** 2·pairs / (marks of both); null when neither drew any. */
  readonly share: number | null;
  /** Mean over the pairs; null without such pairs. */
  readonly meanIou: number | null;
  readonly meanDistancePx: number | null;
}

/**
 * Compares the drawn marks of two readings of the same photographs. Only marks of the same feature on the same
 * photograph can be a pair; each mark has one partner at most, chosen so that all pairs together fit best. An area and
 * a line never make a pair.
 */
export function markAgreement(first: readonly Mark[], second: readonly Mark[], same: SameMark): MarkAgreement {
  const [mine, theirs] = [first.filter(isDrawn), second.filter(isDrawn)];
  const pairs: MarkPair[] = [];
  for (const key of new Set(mine.map(groupOf))) {
    const a = mine.filter((mark) => groupOf(mark) === key);
    const b = theirs.filter((mark) => groupOf(mark) === key);
    const compared = a.map((one) => b.map((other) => compare(one, other)));
    const partner = bestMatch(compared.map((row) => row.map((pair) => worth(pair, same))));
    partner.forEach((j, i) => {
      const pair = compared[i]?.[j];
      if (pair) pairs.push(pair);
    });
  }
  const paired = new Set(pairs.flatMap((pair) => [pair.first, pair.second]));
  const drawn = mine.length + theirs.length;
  return {
    pairs,
    firstOnly: mine.filter((mark) => !paired.has(mark)),
    secondOnly: theirs.filter((mark) => !paired.has(mark)),
    share: drawn === 0 ? null : (2 * pairs.length) / drawn,
    meanIou: mean(pairs.flatMap((pair) => pair.iou ?? [])),
    meanDistancePx: mean(pairs.flatMap((pair) => pair.distancePx ?? [])),
  };
}

type Drawn = Mark & { readonly photographId: string; readonly geometry: NonNullable<Mark["geometry"]> };
const isDrawn = (mark: Mark): mark is Drawn =>
  mark.state === "present" && mark.photographId !== null && mark.geometry !== null;
const groupOf = (mark: Drawn): string => `${mark.photographId}\n${mark.feature}`;

/** null when the two cannot be compared. */
function compare(first: Drawn, second: Drawn): MarkPair | null {
  const both = { feature: first.feature, photographId: first.photographId, first, second };
  const [a, b] = [first.geometry, second.geometry];
  if (isArea(a)) return isArea(b) ? { ...both, iou: overlapOf(a, b).iou, distancePx: null } : null;
  return isArea(b) ? null : { ...both, iou: null, distancePx: lineDistance(a, b) };
}

/** 0 = no pair; a pair just at the limit is worth more than none. */
function worth(pair: MarkPair | null, same: SameMark): number {
  if (pair === null) return 0;
  if (pair.iou !== null) return pair.iou >= same.iou && pair.iou > 0 ? pair.iou : 0;
  const distance = pair.distancePx ?? Infinity;
  return distance <= same.distancePx ? 1e-6 + 1 - distance / Math.max(same.distancePx, 1e-12) : 0;
}

const mean = (list: readonly number[]): number | null =>
  list.length === 0 ? null : list.reduce((sum, n) => sum + n, 0) / list.length;
