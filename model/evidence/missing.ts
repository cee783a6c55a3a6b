import type { BreakTypeId } from "./break-type-ids.ts";
import { featureSpec, type FeatureId } from "./features.ts";
import { openTypes } from "./open-types.ts";
import { RULES } from "./rules/index.ts";
import type { MissingEvidence } from "./suggestion.ts";
import { UNITS } from "./thresholds.ts";
import type { Weighing } from "./weigh.ts";

/** How far behind the best type, in units, a type still counts as leading. */
const WITHIN_UNITS = 3;
const MOST_TYPES = 4;

/** Types in question: those with support near the best, those a gate leaves open, and those the marks could speak for. */
export function leadingTypes(w: Weighing): readonly BreakTypeId[] {
  const rivals = w.ranking.filter((r) => !w.vetoed.has(r.type) && r.support > 0);
  const best = rivals[0]?.support ?? 0;
  const near = rivals.filter((r) => best - r.support <= WITHIN_UNITS).map((r) => r.type);
  return [...new Set([...near, ...openTypes(w), ...spokenFor(w)])].filter((t) => !w.vetoed.has(t)).slice(0, MOST_TYPES);
}

/** Marks that nearly every break carries; they point to no type by themselves. */
const COMMON: ReadonlySet<FeatureId> = new Set([
  "wire_outline",
  "neck",
  "origin",
  "fracture_plane",
  "shear_lip",
  "face_damage",
]);

/** Types that what was seen could speak for, though no rule is complete yet; most units first. */
function spokenFor(w: Weighing): readonly BreakTypeId[] {
  const hope = new Map<BreakTypeId, number>();
  for (const end of w.sight.live)
    for (const feature of end.present.keys()) {
      if (COMMON.has(feature)) continue;
      for (const row of RULES)
        if (row.bears === "for" && row.reads.includes(feature))
          for (const type of row.types) hope.set(type, (hope.get(type) ?? 0) + UNITS[row.strength]);
    }
  return [...hope].sort((a, b) => b[1] - a[1] || a[0].localeCompare(b[0])).map(([type]) => type);
}

/**
 * Features that would speak for or against the leading types and that nobody looked for, end by end.
 *
 * "Not looked for" is neither present, absent nor not assessable: only then is there something left to do at the bench.
 *
 * @returns most telling first: the sum of the units the rules reading the feature could add or take
 */
export function missingEvidence(w: Weighing): readonly MissingEvidence[] {
  const types = new Set(leadingTypes(w));
  if (types.size === 0) return [];
  const bearing = new Map<
    FeatureId,
    { weight: number; would: Map<string, { type: BreakTypeId; bears: "for" | "against" }> }
  >();
  for (const row of RULES) {
    if (row.bears === "gate" || row.bears === "note") continue;
    if (row.metals !== undefined && (w.sight.metal === null || !row.metals.includes(w.sight.metal))) continue;
    const effects = [
      ...row.types.map((type) => ({ type, bears: row.bears as "for" | "against", strength: row.strength })),
      ...(row.also ?? []),
    ].filter((e) => types.has(e.type));
    if (effects.length === 0) continue;
    for (const feature of row.reads) {
      const entry = bearing.get(feature) ?? { weight: 0, would: new Map() };
      for (const { type, bears, strength } of effects) {
        entry.weight += UNITS[strength];
        entry.would.set(`${type} ${bears}`, { type, bears });
      }
      bearing.set(feature, entry);
    }
  }
  const rows = [...bearing].sort((a, b) => b[1].weight - a[1].weight || a[0].localeCompare(b[0]));
  return w.sight.live.flatMap((end) =>
    rows
      .filter(([feature]) => !end.marked.has(feature))
      .map(([feature, { would }]) => ({
        feature,
        end: end.index,
        view: featureSpec(feature).views[0] ?? "S",
        wouldBear: [...would.values()],
      })),
  );
}
