import { BREAK_TYPE_IDS, type BreakTypeId } from "./break-type-ids.ts";
import { contradictingTypes } from "./rules/after-weighing.ts";
import { openTypes } from "./open-types.ts";
import { RULES, ruleRow } from "./rules/index.ts";
import { testResult } from "./readings.ts";
import { endsSuffice, type Weighing } from "./weigh.ts";
import type { Metal } from "./wire-class.ts";

/**
 * How support in units becomes belief: odds of e to the power of this per unit, so a strong row is about 20 to 1.
 * Common practice, no source; used only to rank the next actions, never to name a type.
 */
const ODDS_PER_UNIT = 1.5;
/** Share of its evidence a type keeps while a gate holds back every type. */
const KEPT_UNDER_GATE = 0.5;
/** Share of its support a type keeps while an end in hand has not been looked at. */
const KEPT_UNREAD = 0.5;
/** Units a type without evidence has while a gate leaves it open; evidence of its own still tilts it. */
const OPEN_UNITS = 1;
/** Units of a type that the pair of ends rules out. */
const CLOSED_UNITS = -2;
const CAP_UNITS = 8;
/** Share of an exclusion that counts while the fact it rests on is only stated, not tested. */
const KEPT_UNTESTED = 0.25;

/** Facts an exclusion may rest on, and the test that makes sure of them. */
const TESTED_BY: Readonly<Record<string, string>> = { R69: "oxygen_analysis" };

const METALS = ["copper", "aluminium", "steel"] as const satisfies readonly Metal[];

/** Metals in which some row could speak for the type. */
const POSSIBLE_IN: ReadonlyMap<BreakTypeId, ReadonlySet<Metal>> = new Map(
  BREAK_TYPE_IDS.map((type) => [
    type,
    new Set(RULES.filter((r) => r.bears === "for" && r.types.includes(type)).flatMap((r) => r.metals ?? METALS)),
  ]),
);
const impossible = (type: BreakTypeId, w: Weighing): boolean =>
  w.sight.metal !== null && POSSIBLE_IN.get(type)?.has(w.sight.metal) !== true;

/** In a contradiction each side counts with its strongest single row: neither sums nor evidence against tilt it. */
const strongest = (type: BreakTypeId, w: Weighing): number =>
  Math.max(0, ...w.fired.filter((f) => f.type === type && f.bears === "for").map((f) => f.weight));

/** Belief in each type after a weighing, summing to one; gates and missing ends flatten it. */
export function beliefs(w: Weighing): ReadonlyMap<BreakTypeId, number> {
  const contradicted = new Set(contradictingTypes(w.fired));
  const open = openTypes(w);
  const untested = w.fired
    .filter((f) => f.bears === "against" && TESTED_BY[f.rule] !== undefined)
    .filter((f) => testResult(w.sight, TESTED_BY[f.rule] ?? "") === null);
  const units = (type: BreakTypeId): number => {
    if (contradicted.has(type)) return strongest(type, w);
    let score = Math.max(-CAP_UNITS, Math.min(CAP_UNITS, w.support.get(type) ?? 0));
    for (const f of untested) if (f.type === type) score += f.weight * (1 - KEPT_UNTESTED);
    if (w.held.all) score *= KEPT_UNDER_GATE;
    if (score > 0 && !w.sight.oneEnded && !endsSuffice(type, w.fired, w.sight)) score *= KEPT_UNREAD;
    if (open.has(type)) score = Math.max(score, OPEN_UNITS + score / 2);
    const closed = (type === "central_burst" || type === "casting_void") && w.sight.pair[type] === "closed";
    return closed ? Math.min(score, CLOSED_UNITS) : score;
  };
  const odds = BREAK_TYPE_IDS.map(
    (type) => [type, impossible(type, w) ? 0 : Math.exp(ODDS_PER_UNIT * units(type))] as const,
  );
  const sum = odds.reduce((total, [, x]) => total + x, 0);
  return new Map(odds.map(([type, x]) => [type, x / sum]));
}

/** Doubt about the type, in bits. */
export function typeDoubt(belief: ReadonlyMap<BreakTypeId, number>): number {
  let bits = 0;
  for (const p of belief.values()) if (p > 0) bits -= p * Math.log2(p);
  return bits;
}

/** Doubt about the place of origin of a burst, in bits: the share of the facts it needs that is still missing. */
export function originDoubt(w: Weighing, belief: ReadonlyMap<BreakTypeId, number>): number {
  if (w.verdict !== "central_burst") return 0;
  const { context, ends } = w.sight;
  const missing = [
    ends.some((e) => e.role === "unknown"),
    !context.drawDirectionKnown,
    context.reversals === null && context.transfers === null,
    context.whichEndLeads === null,
  ];
  return ((belief.get("central_burst") ?? 0) * missing.filter(Boolean).length) / missing.length;
}

/** Doubt of the gates, in bits: each one that holds types back is an open question of its own, yes or no. */
export const gateDoubt = (w: Weighing): number =>
  w.fired.filter((f) => f.bears === "gate" && (ruleRow(f.rule).stops ?? "origin") !== "origin").length;
