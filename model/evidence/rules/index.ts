import type { RuleRow } from "../rule.ts";
import type { RuleId } from "../suggestion.ts";
import { AFTER_WEIGHING_RULES } from "./after-weighing.ts";
import { BURST_DIRECTION_RULES } from "./burst-direction.ts";
import { CONFIRMING_TEST_RULES } from "./confirming-tests.ts";
import { DUCTILE_OR_BURST_RULES } from "./ductile-or-burst.ts";
import { JOINT_TWIST_BEND_CYCLIC_RULES } from "./joint-twist-bend-cyclic.ts";
import { SKIN_START_RULES } from "./skin-starts.ts";
import { SLANT_SPLIT_GRAIN_HEAT_RULES } from "./slant-split-grain-heat.ts";
import { TWO_END_RULES } from "./two-ends.ts";
import { VOID_AND_PARTICLE_RULES } from "./voids-and-particles.ts";

/** Version of the rule tables and their weights, kept with every suggestion. */
export const RULES_VERSION = "1.1.0";

const tables = [
  TWO_END_RULES,
  DUCTILE_OR_BURST_RULES,
  BURST_DIRECTION_RULES,
  VOID_AND_PARTICLE_RULES,
  SKIN_START_RULES,
  JOINT_TWIST_BEND_CYCLIC_RULES,
  SLANT_SPLIT_GRAIN_HEAT_RULES,
  CONFIRMING_TEST_RULES,
].flat();

/** All rows, in the order they are read: those that rest on other rows come after them. */
export const RULES: readonly RuleRow[] = [
  ...tables.filter((row) => row.restsOnOthers !== true),
  ...tables.filter((row) => row.restsOnOthers === true),
  ...AFTER_WEIGHING_RULES,
];

const byId = new Map<RuleId, RuleRow>(RULES.map((row) => [row.id, row]));

/** The row of a rule. @throws RangeError when there is none of that name. */
export function ruleRow(id: RuleId): RuleRow {
  const row = byId.get(id);
  if (row === undefined) throw new RangeError(`No rule is called ${id}.`);
  return row;
}
