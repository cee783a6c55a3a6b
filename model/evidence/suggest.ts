import { BREAK_TYPE_NAMES } from "./type-names.ts";
import { missingEvidence } from "./missing.ts";
import type { Observations } from "./observations.ts";
import { originOfBurst } from "./origin.ts";
import { nextActions } from "./requests.ts";
import type { Firing } from "./rule.ts";
import { hasYielded } from "./rules/after-weighing.ts";
import { RULES_VERSION } from "./rules/index.ts";
import type { FiredRule, Suggestion } from "./suggestion.ts";
import { LEAD_UNITS } from "./thresholds.ts";
import { endsSuffice, weighBreak, type Weighing } from "./weigh.ts";
import { YIELDS } from "./yields.ts";

function publish(firing: Firing, fired: readonly Firing[]): FiredRule {
  const { rule, type, bears, strength, weight, says, reason, sources, markIds, ends } = firing;
  const given = hasYielded(firing, fired);
  const why = given ? YIELDS.find((y) => y.yields === type && y.rows.includes(rule))?.says : undefined;
  return {
    rule,
    type,
    bears,
    strength,
    weight: given ? 0 : weight,
    says: why === undefined ? says : `${says} ${why}`,
    reason,
    sources,
    markIds,
    ends,
  };
}

const units = (x: number) => `${Math.round(x * 10) / 10} unit${x === 1 ? "" : "s"}`;

/** One plain sentence: why this verdict, or why none. */
function explain(w: Weighing): string {
  const [best, next] = w.ranking.filter((r) => !w.vetoed.has(r.type));
  const gates = w.fired.filter((f) => f.bears === "gate");
  if (w.verdict !== "undetermined") {
    const lead = (best?.support ?? 0) - Math.max(0, next?.support ?? 0);
    const alone = w.sight.bothAssessed ? "" : " From one end only.";
    return `${capital(BREAK_TYPE_NAMES[w.verdict])}: ahead by ${units(lead)}, nothing decisive against it.${alone}`;
  }
  const contradiction = gates.find((g) => g.rule === "R76");
  const stopping = contradiction ?? gates.find((g) => HOLDS.has(g.rule));
  if (stopping !== undefined) return `Undecided. ${stopping.says}`;
  if (best === undefined || best.support <= 0) return "Undecided. Nothing marked so far speaks for a type.";
  const name = BREAK_TYPE_NAMES[best.type];
  if (w.held.types.has(best.type)) return `Undecided. ${capital(name)} leads, but: ${w.sight.pair.says}`;
  if (!endsSuffice(best.type, w.fired, w.sight))
    return `Undecided. ${capital(name)} leads, but the other end has not been assessed.`;
  const lead = best.support - Math.max(0, next?.support ?? 0);
  const rival = next !== undefined && next.support > 0 ? ` over ${BREAK_TYPE_NAMES[next.type]}` : "";
  return `Undecided. ${capital(name)} leads${rival} by ${units(lead)}; ${units(LEAD_UNITS)} are needed.`;
}

const HOLDS: ReadonlySet<string> = new Set(["R01", "R06", "R08", "R09", "R28", "R61", "R67", "R75", "R81", "R82"]);
const capital = (text: string) => text.charAt(0).toUpperCase() + text.slice(1);

function fromWeighing(w: Weighing): Suggestion {
  const of = (bears: FiredRule["bears"]) => w.fired.filter((f) => f.bears === bears).map((f) => publish(f, w.fired));
  return {
    verdict: w.verdict,
    ranking: w.ranking,
    says: explain(w),
    gates: of("gate"),
    for: of("for"),
    against: of("against"),
    notes: of("note"),
    requests: [],
    missing: missingEvidence(w),
    origin: w.verdict === "central_burst" ? originOfBurst(w.sight, w.fired) : null,
    rulesVersion: RULES_VERSION,
  };
}

/** Weighs one break: verdict, evidence, what is missing and the origin, without the next actions. */
export const weigh = (observations: Observations): Suggestion => fromWeighing(weighBreak(observations));

/** What the marks of one break say: a type or undetermined, with evidence, gates, what is missing and next actions. */
export function suggest(observations: Observations): Suggestion {
  const w = weighBreak(observations);
  return { ...fromWeighing(w), requests: nextActions(observations, w) };
}
