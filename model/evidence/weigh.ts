import { BREAK_TYPE_IDS, type BreakTypeId, type Verdict } from "./break-type-ids.ts";
import type { CentralType } from "./end-pairs.ts";
import type { Observations } from "./observations.ts";
import type { Firing, Found, RuleRow } from "./rule.ts";
import { hasYielded } from "./rules/after-weighing.ts";
import { RULES, ruleRow } from "./rules/index.ts";
import { readBreak, type Sight } from "./sight.ts";
import type { Strength } from "./suggestion.ts";
import { LEAD_UNITS, UNITS } from "./thresholds.ts";

const LADDER = ["decisive", "strong", "moderate", "weak"] as const satisfies readonly Strength[];

/** A strength some steps down; it never falls below weak. */
function stepDown(strength: Strength, steps: number): Strength {
  const at = LADDER.findIndex((s) => s === strength);
  return at < 0 ? strength : (LADDER[Math.min(at + steps, LADDER.length - 1)] ?? strength);
}

function fire(row: RuleRow, hit: Found, s: Sight): Firing[] {
  const shared = {
    rule: row.id,
    reason: row.reason,
    sources: row.sources,
    says: hit.says,
    markIds: hit.markIds,
    ends: hit.ends,
    sufficesAlone: row.oneEndSuffices === true,
  };
  if (row.bears === "gate" || row.bears === "note") {
    const type = row.bears === "note" ? (row.types[0] ?? null) : null;
    return [{ ...shared, type, bears: row.bears, strength: row.strength, base: row.strength, weight: 0 }];
  }
  const loss = (bears: "for" | "against") =>
    (hit.weaker ?? 0) + (bears === "for" && s.oneEnded && hit.ends.length > 0 ? 1 : 0);
  const effects = [
    ...row.types.map((type) => ({ type, bears: row.bears as "for" | "against", strength: row.strength })),
    ...(row.also ?? []),
  ];
  return effects
    .filter((e) => hit.only === undefined || hit.only.includes(e.type))
    .map((e) => {
      const strength = stepDown(e.strength, loss(e.bears));
      return {
        ...shared,
        type: e.type,
        bears: e.bears,
        strength,
        base: stepDown(e.strength, hit.weaker ?? 0),
        weight: UNITS[strength],
      };
    });
}

/** What holds the types back in one break. */
export interface Held {
  /** Every type is held back. */
  readonly all: boolean;
  readonly types: ReadonlySet<BreakTypeId>;
}

/** The whole weighing of one break: what fired, what each type has, what is held back, and the verdict. */
export interface Weighing {
  readonly sight: Sight;
  readonly fired: readonly Firing[];
  readonly support: ReadonlyMap<BreakTypeId, number>;
  readonly vetoed: ReadonlySet<BreakTypeId>;
  readonly held: Held;
  /** Best first: all types with any evidence. */
  readonly ranking: readonly { readonly type: BreakTypeId; readonly support: number }[];
  readonly verdict: Verdict;
}

const isCentral = (type: BreakTypeId): type is CentralType => type === "central_burst" || type === "casting_void";

function heldBack(fired: readonly Firing[], s: Sight): Held {
  const types = new Set<BreakTypeId>();
  let all = false;
  for (const f of fired) {
    if (f.bears !== "gate") continue;
    const row = ruleRow(f.rule);
    if (row.stops === "every type") all = true;
    if (row.stops === "types") for (const type of row.types) types.add(type);
  }
  for (const type of BREAK_TYPE_IDS) if (isCentral(type) && s.pair[type] !== "may") types.add(type);
  return { all, types };
}

/** Whether the ends that can be read are enough to name a type: both, or one with a row that suffices alone (R14). */
export function endsSuffice(type: BreakTypeId, fired: readonly Firing[], s: Sight): boolean {
  if (s.bothAssessed) return true;
  const alone = s.oneEnded && s.ends.some((e) => e.status === "assessed");
  return alone && fired.some((f) => f.type === type && f.bears === "for" && f.sufficesAlone);
}

/**
 * Weighs the observations of one break.
 *
 * Gates come first: they take marks out of the count or hold types back. A type is named only with a lead of two units
 * over the next one, nothing decisive against it, both ends read (or a row that suffices alone), and no contradiction;
 * contradictions are tested on the evidence for each type before anything is subtracted.
 *
 * @source common practice, no source, for units and lead; each row carries its own source
 */
export function weighBreak(o: Observations): Weighing {
  const s = readBreak(o);
  const fired: Firing[] = [];
  for (const row of RULES) {
    if (row.metals !== undefined && (s.metal === null || !row.metals.includes(s.metal))) continue;
    const hit = row.condition(s, fired);
    if (hit !== null) fired.push(...fire(row, hit, s));
  }
  const support = new Map<BreakTypeId, number>();
  const vetoed = new Set<BreakTypeId>();
  for (const f of fired) {
    if (f.type === null || (f.bears !== "for" && f.bears !== "against")) continue;
    const weight = f.bears === "against" ? -f.weight : hasYielded(f, fired) ? 0 : f.weight;
    support.set(f.type, (support.get(f.type) ?? 0) + weight);
    if (f.bears === "against" && f.strength === "decisive") vetoed.add(f.type);
  }
  const ranking = [...support]
    .map(([type, units]) => ({ type, support: units }))
    .sort(
      (a, b) =>
        Number(vetoed.has(a.type)) - Number(vetoed.has(b.type)) ||
        b.support - a.support ||
        a.type.localeCompare(b.type),
    );
  const held = heldBack(fired, s);
  const rivals = ranking.filter((r) => !vetoed.has(r.type));
  const [best, next] = rivals;
  const lead = (best?.support ?? 0) - Math.max(0, next?.support ?? 0);
  const named =
    best !== undefined &&
    lead >= LEAD_UNITS &&
    !held.all &&
    !held.types.has(best.type) &&
    endsSuffice(best.type, fired, s);
  return { sight: s, fired, support, vetoed, held, ranking, verdict: named ? best.type : "undetermined" };
}
