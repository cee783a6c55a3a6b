import type { Leak } from "./leaks.ts";
import type { SetBreak } from "./member.ts";
import { type GroupBy, groupOf } from "./splits.ts";

/** What can be done about a leak. */
export type LeakWay =
  | { readonly kind: "group-by"; readonly groupBy: GroupBy; readonly says: string }
  | { readonly kind: "leave-out"; readonly breakId: string; readonly number: string; readonly says: string };

/**
 * Ways out of a leak, the one that loses nothing first: keep what shares a cast or a coil together, where that would
 * bring the breaks of the leak onto one side; else take one of them out of the set.
 *
 * @param fixed – breaks whose part an earlier version fixed: keeping together no longer moves them.
 */
export function waysOut(
  leak: Pick<Leak, "breakIds">,
  members: readonly SetBreak[],
  groupBy: GroupBy,
  fixed: ReadonlySet<string>,
): readonly LeakWay[] {
  const concerned = members.filter(({ id }) => leak.breakIds.includes(id));
  const ways: LeakWay[] = [];
  const movable = concerned.filter(({ id }) => fixed.has(id)).length < 2;
  for (const by of ["cast", "coil"] as const) {
    const together = concerned.length > 1 && new Set(concerned.map((member) => groupOf(member, by))).size === 1;
    if (by !== groupBy && movable && together)
      ways.push({
        kind: "group-by",
        groupBy: by,
        says: `Keep all breaks of one ${by} together: they are of one ${by}.`,
      });
  }
  for (const { id, number } of concerned)
    ways.push({ kind: "leave-out", breakId: id, number, says: `Take ${number} out of the set, and say why.` });
  return ways;
}
