import { BREAK_TYPE_IDS, type BreakTypeId } from "../../model/evidence/break-type-ids.ts";
import type { RuleRow } from "../../model/evidence/rule.ts";
import { RULES } from "../../model/evidence/rules/index.ts";
import { isSourceKey, type SourceKey } from "../../model/evidence/sources.ts";
import type { FiredRule, RuleId, Strength } from "../../model/evidence/suggestion.ts";

export const isBreakType = (id: string | null): id is BreakTypeId =>
  id !== null && (BREAK_TYPE_IDS as readonly string[]).includes(id);

/** A type further along the list, which ends at its ends. */
export function neighbour(id: BreakTypeId, by: number): BreakTypeId {
  const at = BREAK_TYPE_IDS.indexOf(id) + by;
  return BREAK_TYPE_IDS[Math.max(0, Math.min(BREAK_TYPE_IDS.length - 1, at))] ?? id;
}

/** What one rule says about one type. */
export interface RuleLine {
  readonly id: RuleId;
  readonly bears: FiredRule["bears"];
  readonly strength: Strength;
  readonly text: string;
  readonly reason: string;
  readonly sources: readonly SourceKey[];
  readonly needsBothEnds: boolean;
}

const ORDER: readonly Strength[] = ["gate", "decisive", "strong", "moderate", "weak", "note"];

/** All rules that speak about a type, strongest first; "also" effects of a row count as lines of their own. */
export function rulesAbout(type: BreakTypeId, rules: readonly RuleRow[] = RULES): readonly RuleLine[] {
  return rules
    .flatMap((row) => {
      const line = (bears: FiredRule["bears"], strength: Strength): RuleLine => ({
        id: row.id,
        bears,
        strength,
        text: row.says,
        reason: row.reason,
        sources: row.sources.filter(isSourceKey),
        needsBothEnds: row.needsBothEnds === true,
      });
      return [
        ...(row.types.includes(type) ? [line(row.bears, row.strength)] : []),
        ...(row.also ?? []).filter((a) => a.type === type).map((a) => line(a.bears, a.strength)),
      ];
    })
    .sort((a, b) => ORDER.indexOf(a.strength) - ORDER.indexOf(b.strength));
}
