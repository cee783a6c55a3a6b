import type { Verdict } from "../../model/evidence/break-type-ids.ts";
import { COLUMN_NAMES } from "../../model/classifier/vector.ts";
import { comparedColumns } from "../../model/reference/nearest-columns.ts";
import { FEWEST_SHARED } from "../../model/reference/nearest-likeness.ts";
import { nearest } from "../../model/reference/nearest.ts";
import { nearestIndex } from "../../model/reference/nearest-pack.ts";
import { whyNear, type Why } from "../../model/reference/nearest-why.ts";
import type { ConfirmedBreak } from "../numbers/number-keeper.ts";

/** A confirmed break in the list of the most similar ones. */
export interface Earlier {
  readonly id: string;
  readonly number: string;
  readonly type: Verdict;
  readonly demo: boolean;
  /** 0–1. */
  readonly likeness: number;
  /** Marks and numbers of the pictures that both have. */
  readonly observed: number;
  readonly why: Why;
}

/** Why there is no list. */
export type NoList = "none-confirmed" | "nothing-marked" | "not-comparable";

/** How many are listed. */
export const LISTED = 12;

const COLUMNS = comparedColumns(COLUMN_NAMES);

/**
 * The confirmed breaks most like a break. Invented breaks of the demo mill are compared with each other only.
 *
 * @param vector – numbers of the open break.
 */
export function earlierList(
  open: { readonly id: string; readonly demo: boolean; readonly vector: Float32Array },
  confirmed: readonly ConfirmedBreak[],
): readonly Earlier[] | NoList {
  const others = confirmed.filter(({ id, demo }) => id !== open.id && demo === open.demo);
  if (others.length === 0) return "none-confirmed";
  const known = COLUMNS.filter(
    ({ group, weight }, k) => group !== "facts" && weight > 0 && !Number.isNaN(open.vector[k]),
  ).length;
  if (known === 0) return "nothing-marked";
  const index = nearestIndex(
    others.map(({ vector }) => vector),
    COLUMNS,
  );
  const found = known < FEWEST_SHARED ? [] : nearest(index, open.vector, LISTED);
  if (found.length === 0) return "not-comparable";
  return found.map(({ at, likeness, observed }) => {
    const { id, number, type, demo } = others[at]!;
    return { id, number, type, demo, likeness, observed, why: whyNear(index, open.vector, at) };
  });
}

/** How often each type stands in the list, the most frequent first. */
export function typesIn(list: readonly Earlier[]): readonly { readonly type: Verdict; readonly count: number }[] {
  const counts = new Map<Verdict, number>();
  for (const { type } of list) counts.set(type, (counts.get(type) ?? 0) + 1);
  return [...counts].map(([type, count]) => ({ type, count })).sort((a, b) => b.count - a.count);
}
