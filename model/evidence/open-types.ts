import type { BreakTypeId } from "./break-type-ids.ts";
import type { FeatureId } from "./features.ts";
import { RULES, ruleRow } from "./rules/index.ts";
import type { Weighing } from "./weigh.ts";

/** Types each feature can speak for, by the rule tables. */
const SPEAKS_FOR: ReadonlyMap<FeatureId, readonly BreakTypeId[]> = (() => {
  const map = new Map<FeatureId, BreakTypeId[]>();
  for (const row of RULES)
    if (row.bears === "for") for (const f of row.reads) map.set(f, [...(map.get(f) ?? []), ...row.types]);
  return map;
})();

/** Types a gate leaves open: those it names, and those that a disputed feature would speak for. */
export function openTypes(w: Weighing): ReadonlySet<BreakTypeId> {
  const open = new Set<BreakTypeId>();
  for (const f of w.fired) if (f.bears === "gate") for (const type of ruleRow(f.rule).types) open.add(type);
  for (const d of w.sight.disputed) for (const type of SPEAKS_FOR.get(d.feature) ?? []) open.add(type);
  for (const type of w.vetoed) open.delete(type);
  return open;
}
