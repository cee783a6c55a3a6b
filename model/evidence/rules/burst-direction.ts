import { deltaOf } from "../../route/delta.ts";
import { centreInPlay, flankAngles } from "../readings.ts";
import { found, say, type Firing, type Found, type RuleRow } from "../rule.ts";
import { seen, type Seen, type Sight } from "../sight.ts";
import { LIMITS } from "../thresholds.ts";

const burstShown = (fired: readonly Firing[]) =>
  fired.some((f) => f.type === "central_burst" && f.bears === "for" && (f.base === "decisive" || f.base === "strong"));

/** Cones on the end of a role, when exactly one end carries a cone and its stated direction does not contradict. */
function coneOn(s: Sight, role: "machine" | "spool", pointsTo: string, fired: readonly Firing[]): readonly Seen[] {
  if (!burstShown(fired)) return [];
  const cones = seen(s, "cone_apex");
  const [first] = cones;
  if (first === undefined || cones.some((c) => c.end !== first.end)) return [];
  if (s.ends[first.end === 0 ? 0 : 1].role !== role) return [];
  const contradicts = cones.some((c) => {
    const stated = c.f.measures["apex_direction"];
    return typeof stated === "string" && stated !== "unknown" && stated !== pointsTo;
  });
  return contradicts ? [] : cones;
}

/** Passes with their die-geometry number, largest first; empty when the passes are not known. */
export function rankPasses(
  s: Sight,
): readonly { readonly die: string; readonly delta: number; readonly says: string }[] {
  return (s.context.passes ?? [])
    .map((p) => ({
      die: p.die,
      delta: deltaOf(p.semiAngleDeg, p.reductionPct),
      says: `die ${p.die}: Δ ${say(Math.round(deltaOf(p.semiAngleDeg, p.reductionPct) * 10) / 10)} (${say(p.semiAngleDeg)}°, ${say(p.reductionPct)} %)`,
    }))
    .filter((p) => Number.isFinite(p.delta))
    .sort((a, b) => b.delta - a.delta);
}

function riskyPass(s: Sight): Found | null {
  const risky = centreInPlay(s) ? rankPasses(s).filter((p) => p.delta > LIMITS.deltaHigh.value) : [];
  return risky.length === 0
    ? null
    : found(`Passes with Δ above 3, largest first: ${risky.map((p) => p.says).join("; ")}.`);
}

function safePasses(s: Sight): Found | null {
  const passes = centreInPlay(s) ? rankPasses(s) : [];
  const [largest] = passes;
  if (largest === undefined || largest.delta >= LIMITS.deltaLow.value) return null;
  return found(`Every pass has Δ below 2 (largest: ${largest.says}): look for a weak core.`);
}

function flankIn(s: Sight, fired: readonly Firing[], from: number, to: number, reading: string): Found | null {
  const inside = burstShown(fired) ? flankAngles(s).filter(({ deg }) => deg >= from && deg <= to) : [];
  const [first] = inside;
  return first === undefined
    ? null
    : found(
        `Flank ${say(first.deg)}° to the axis: ${reading}.`,
        inside.map((x) => x.at),
      );
}

function notReversals(s: Sight): Found | null {
  const kept = centreInPlay(s)
    ? (s.context.transfers ?? []).filter((t) => t === "in_line" || t === "coil_flipped")
    : [];
  if (kept.length === 0) return null;
  return found(
    `${kept.length} transfer${kept.length === 1 ? "" : "s"} (in-line or flipped coil) kept the running direction.`,
  );
}

/**
 * Rules about the direction of the cone and the place of origin of a burst (section "Cone direction").
 *
 * Corrections to the table as first written:
 * - R15, R16, R18, R19 and R17 speak of the place, not of the type: they add no units to any type.
 * - R15 and R16 are silent when the stated direction of the tip contradicts the role of its end: a cone on the machine
 *   end can only point to the take-up side, so one of the labels is wrong.
 * - R21 and R22 are raised only when a cone, a hole or a chevron was seen: a high Δ alone is no evidence of a burst.
 */
export const BURST_DIRECTION_RULES: readonly RuleRow[] = [
  {
    id: "R15",
    group: "cone direction and origin",
    bears: "note",
    types: ["central_burst"],
    restsOnOthers: true,
    strength: "strong",
    reads: ["cone_apex"],
    condition: (s, fired) => {
      const cones = coneOn(s, "machine", "toward_spool", fired);
      return cones.length === 0 ? null : found("The cone is on the machine end, its tip points with the draw.", cones);
    },
    says: "A burst cone on the machine end: born in this machine, or an even number of reversals ago.",
    reason: "In the die the core of the wire runs ahead of the skin, so the tip points the way the wire ran.",
    sources: ["cb-excerpt"],
    standing: "published",
  },
  {
    id: "R16",
    group: "cone direction and origin",
    bears: "note",
    types: ["central_burst"],
    restsOnOthers: true,
    strength: "strong",
    reads: ["cone_apex"],
    condition: (s, fired) => {
      const cones = coneOn(s, "spool", "toward_machine", fired);
      return cones.length === 0
        ? null
        : found("The cone is on the take-up end, its tip points against the draw.", cones);
    },
    says: "A burst cone on the take-up end: born an odd number of reversals ago; look at the previous machine.",
    reason: "The wire was turned end for end since the burst formed.",
    sources: [],
    standing: "derived",
  },
  {
    id: "R17",
    group: "cone direction and origin",
    bears: "note",
    types: ["central_burst"],
    strength: "strong",
    reads: ["chevron"],
    condition: (s) => {
      const both = seen(s, "chevron", (f) => f.measures["tips"] === "both");
      return both.length === 0 ? null : found("The chevrons in the section point both ways.", both);
    },
    says: "Chevrons with tips both ways: two machines or directions contributed.",
    reason: "Each pass direction draws its own V.",
    sources: [],
    standing: "derived",
  },
  {
    id: "R18",
    group: "cone direction and origin",
    bears: "note",
    types: ["central_burst"],
    restsOnOthers: true,
    strength: "weak",
    reads: ["cone_flank"],
    condition: (s, fired) =>
      flankIn(
        s,
        fired,
        LIMITS.flankYoungFrom.value,
        LIMITS.flankYoungTo.value,
        "born in the breaking pass or the one before",
      ),
    says: "A flank of 35–55°: born in the breaking pass or the one before.",
    reason: "The cone grows slimmer with each pass.",
    sources: [],
    standing: "derived",
  },
  {
    id: "R19",
    group: "cone direction and origin",
    bears: "note",
    types: ["central_burst"],
    restsOnOthers: true,
    strength: "weak",
    reads: ["cone_flank"],
    condition: (s, fired) => flankIn(s, fired, 0, LIMITS.flankOld.value - 1e-9, "born several passes before the break"),
    says: "A flank below 25°: born several passes earlier.",
    reason: "The cone grows slimmer with each pass.",
    sources: [],
    standing: "derived",
  },
  {
    id: "R20",
    group: "cone direction and origin",
    bears: "gate",
    types: [],
    strength: "gate",
    reads: [],
    condition: notReversals,
    says: "An in-line transfer or a flipped coil is not counted as a reversal.",
    reason: "A reversal comes only with end-for-end pay-off.",
    sources: [],
    standing: "common-practice",
  },
  {
    id: "R21",
    group: "cone direction and origin",
    bears: "for",
    types: ["central_burst"],
    strength: "moderate",
    reads: [],
    condition: riskyPass,
    says: "A pass with Δ above 3 speaks for a central burst born there.",
    reason: "A large die angle with a small reduction puts the centre of the wire in tension.",
    sources: ["coffin", "wright", "delta-note"],
    standing: "published",
  },
  {
    id: "R22",
    group: "cone direction and origin",
    bears: "against",
    types: ["central_burst"],
    strength: "weak",
    reads: [],
    condition: safePasses,
    says: "All passes with Δ below 2 speak against a central burst from die geometry; look for a weak core.",
    reason: "Weak only: worn dies change the real angle.",
    sources: [],
    standing: "common-practice",
  },
  {
    id: "R23",
    group: "cone direction and origin",
    bears: "note",
    types: [],
    strength: "note",
    metals: ["copper"],
    reads: [],
    condition: (s) =>
      centreInPlay(s) && (s.context.oxygenPpm ?? 0) >= LIMITS.oxygenHighPpm.value
        ? found(`Oxygen ${say(s.context.oxygenPpm)} ppm adds nothing: it is never listed as a cause of a burst.`)
        : null,
    says: "High oxygen in copper adds nothing: it is never listed as a cause of a burst.",
    reason: "It raises the share of breaks that look this way, it does not cause them.",
    sources: ["remmers"],
    standing: "common-practice",
  },
];
