import type { BreakTypeId } from "./break-type-ids.ts";
import type { RuleId } from "./suggestion.ts";

/** Two readings that fit one break: once the first is proved, the rows of the second no longer contradict it. */
export interface Yield {
  readonly named: BreakTypeId;
  /** Rows that prove it; any one of them, at full weight. */
  readonly provedBy: readonly RuleId[];
  readonly yields: BreakTypeId;
  /** The rows that then describe the shape, the by-product or the last ligament. */
  readonly rows: readonly RuleId[];
  readonly says: string;
}

/**
 * Compatible pairs. Every other pair of types with strong evidence is a contradiction.
 *
 * @source mukho for split and hydrogen, scc-cu for lengthwise season cracks; the rest: common practice, no source
 */
export const YIELDS: readonly Yield[] = [
  {
    named: "hydrogen_damage",
    provedBy: ["R71"],
    yields: "longitudinal_split",
    rows: ["R65", "R100"],
    says: "The split is the shape; hydrogen, proved by test, is the cause.",
  },
  {
    named: "corrosion_scc",
    provedBy: ["R73"],
    yields: "longitudinal_split",
    rows: ["R65"],
    says: "The split is the shape; the attack is the cause.",
  },
  {
    named: "inclusion",
    provedBy: ["R05"],
    yields: "tensile_overload",
    rows: ["R04", "R24", "R27", "R33", "R78", "R98"],
    says: "Lip and neck are the final overload of the ligament beside the particle.",
  },
];
