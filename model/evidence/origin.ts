import { flankAngles } from "./readings.ts";
import { say } from "./rule.ts";
import { rankPasses } from "./rules/burst-direction.ts";
import { seen, type Sight } from "./sight.ts";
import type { FiredRule, OriginStatement, RuleId } from "./suggestion.ts";
import { LIMITS } from "./thresholds.ts";

/** What each direction of the cone says about where the burst was born. */
const PLACE = {
  even: "Born in this machine, or an even number of reversals ago",
  odd: "Born an odd number of reversals ago: look at the previous machine",
  both: "Chevrons point both ways: at least two machines or directions contributed",
} as const;
type Direction = keyof typeof PLACE;

/** Transfers that turned the wire end for end; in-line transfers and flipped coils do not (R20). */
const turningTransfers = (s: Sight): number | null =>
  s.context.transfers === null ? null : s.context.transfers.filter((t) => t === "spool" || t === "coil").length;

/** Direction told by chevrons when no cone tells it: tips follow the running direction of the pass that made them. */
function chevronDirection(s: Sight): Direction | null {
  const tips = new Set(seen(s, "chevron").map((c) => c.f.measures["tips"]));
  if (tips.has("both") || (tips.has("all_toward_spool") && tips.has("all_toward_machine"))) return "both";
  if (tips.has("all_toward_spool")) return "even";
  return tips.has("all_toward_machine") ? "odd" : null;
}

function againstRoute(s: Sight, direction: Direction): string {
  const counted = s.context.reversals ?? turningTransfers(s);
  if (counted === null || direction === "both") return "";
  const record = `${counted} reversal${counted === 1 ? "" : "s"} recorded`;
  const fits = direction === "odd" ? counted > 0 : true;
  return fits ? ` (${record})` : ` (${record}: check which end led at pay-off, and the labels)`;
}

function clock(s: Sight): { readonly says: string; readonly rule: RuleId | null } {
  const deg = flankAngles(s)[0]?.deg ?? null;
  if (deg === null) return { says: "", rule: null };
  if (deg < LIMITS.flankOld.value)
    return { says: `, several passes before the break (flank ${say(deg)}°)`, rule: "R19" };
  const young = deg >= LIMITS.flankYoungFrom.value && deg <= LIMITS.flankYoungTo.value;
  return young
    ? { says: `, in the breaking pass or the one before (flank ${say(deg)}°)`, rule: "R18" }
    : { says: "", rule: null };
}

const notStated = (says: string, rules: readonly RuleId[]): OriginStatement => ({
  says: `Place of origin not stated: ${says}`,
  stated: false,
  reversals: null,
  rules,
});

/**
 * Where a central burst was born, in plain words, from the direction of its cone, the flank angle and the route.
 *
 * In the die the core runs ahead of the skin, so a cone on the machine end points with today's draw. Every end-for-end
 * pay-off since its birth turns it round once.
 *
 * @param fired - rules that fired in this break
 * @returns not stated when roles or draw direction are unknown, or when the labels contradict each other
 * @source cb-excerpt for the tip with the draw; the count of reversals and the flank clock are derived
 */
export function originOfBurst(s: Sight, fired: readonly FiredRule[]): OriginStatement {
  const has = (rule: RuleId) => fired.some((f) => f.rule === rule);
  const unknownRole = s.ends.some((e) => e.status !== "not-recovered" && e.role === "unknown");
  if (unknownRole || !s.context.drawDirectionKnown) {
    const what = [
      ...(unknownRole ? ["which end stayed in the machine"] : []),
      ...(s.context.drawDirectionKnown ? [] : ["the draw direction"]),
    ];
    return notStated(`${what.join(" and ")} is not recorded.`, ["R12"]);
  }
  const cone: Direction | null = has("R15") ? "even" : has("R16") ? "odd" : null;
  const chevron = chevronDirection(s);
  if (cone === null && seen(s, "cone_apex").length > 0)
    return notStated("the stated direction of the tip contradicts the label of its end; check which end is which.", [
      "R12",
    ]);
  const direction: Direction | null =
    chevron === "both" || (chevron !== null && cone !== null && chevron !== cone) ? "both" : (cone ?? chevron);
  if (direction === null) return notStated("no cone tip or chevron gives a direction.", []);
  const age = clock(s);
  const suspect = has("R21") ? rankPasses(s).filter((p) => p.delta > LIMITS.deltaHigh.value) : [];
  const passes = suspect.length === 0 ? "" : ` Suspect: ${suspect.map((p) => p.says).join("; ")}.`;
  const core = has("R22") ? " Every pass has a low Δ: look for a weak core in the rod." : "";
  const rules: RuleId[] = [
    ...(direction === "both" ? (["R17"] as const) : direction === "even" ? (["R15"] as const) : (["R16"] as const)),
    ...(age.rule === null ? [] : [age.rule]),
    ...(has("R20") ? (["R20"] as const) : []),
    ...(has("R21") ? (["R21"] as const) : []),
    ...(has("R22") ? (["R22"] as const) : []),
  ];
  return {
    says: `${PLACE[direction]}${againstRoute(s, direction)}${age.says}.${passes}${core}`,
    stated: true,
    reversals: direction,
    rules,
  };
}
