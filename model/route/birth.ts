import { ASSUMED_LIMIT } from "./assumed-limit.ts";
import {
  ASSUMPTIONS,
  directionFit,
  flankFit,
  pitchFit,
  seenDirection,
  partsAfter,
  type Birthplace,
  type BurstEvidence,
} from "./birth-evidence.ts";
import { reasonsFor } from "./birth-reasons.ts";
import { burstChance, fitLimit, type FittedLimit } from "./limit-fit.ts";
import { reversesWire, type DieAt, type Route } from "./route.ts";
import { computeRoute, directionsAtBreak, isAt, type RoutePassComputed } from "./route-passes.ts";
import type { Direction } from "./reversals.ts";

export interface BirthPass {
  readonly at: DieAt;
  readonly machineName: string;
  readonly dieName: string;
  /** 0–1; all passes and "cannot be said" add up to 1. */
  readonly probability: number;
  /** Why, in plain sentences, the weightiest kind first. */
  readonly reasons: readonly string[];
}

/** Where a burst was born, as far as the evidence goes. */
export interface Birth {
  /** False while the ends or the draw direction are unknown: then there are no passes and no probabilities. */
  readonly stated: boolean;
  readonly says: string;
  /** In drawing order up to the break. */
  readonly passes: readonly BirthPass[];
  /** Probability that it was born at none of them, or that the record misleads. */
  readonly cannotBeSaid: number;
  readonly machines: readonly { readonly machine: number; readonly name: string; readonly probability: number }[];
  /** Machines that must have contributed when tips point both ways; empty otherwise. */
  readonly several: readonly { readonly direction: Direction; readonly machines: readonly string[] }[];
  /** What makes it worse without being its cause. */
  readonly aggravating: readonly string[];
  /** What to find out next. */
  readonly requests: readonly string[];
  /** The limit of B that was used, in words. */
  readonly limitSays: string;
}

const nothing = (says: string, limitSays: string, requests: readonly string[]): Birth => ({
  stated: false,
  says,
  passes: [],
  cannotBeSaid: 1,
  machines: [],
  several: [],
  aggravating: [],
  requests,
  limitSays,
});

/** Reversals from the rod to the break by the recorded transfers; null when one is not known. */
export function recordedReversals(route: Route, breakMachine: number): number | null {
  const turns = route.transfers.slice(0, breakMachine).map((t) => {
    const turned = reversesWire(t);
    if (turned === null) return null;
    return (t.kind === "spool" || t.kind === "coil" ? 1 : 0) + t.rewinds;
  });
  return turns.reduce<number | null>((sum, t) => (sum === null || t === null ? null : sum + t), 0);
}

/** Mean chance of a burst at a pass over all limits that are still possible. */
function geometryWeight(pass: RoutePassComputed, limit: FittedLimit): number {
  const { estimate } = pass.computed;
  const chance = limit.grid.reduce((sum, g) => sum + g.probability * burstChance(estimate, g.limit), 0);
  return ASSUMPTIONS.weakCore + (1 - ASSUMPTIONS.weakCore) * chance;
}

/** Up to the pass of the break; all of them when that is not known. */
function passesUntilBreak(route: Route, limit: FittedLimit): readonly RoutePassComputed[] {
  const all = computeRoute(route, limit.mean);
  const last = all.findIndex((p) => isAt(route.brokeAt, p.at));
  return last < 0 ? all : all.slice(0, last + 1);
}

const percent = (x: number): string => `${Math.round(x * 100)} %`;
const place = (p: BirthPass): string => `die ${p.dieName} of ${p.machineName}`;

/** Below this a single pass is not put forward. A stated choice of wording, common practice, no source. */
const WORTH_NAMING = 0.25;

function sentence(passes: readonly BirthPass[], cannotBeSaid: number): string {
  const [first, second] = [...passes].sort((a, b) => b.probability - a.probability);
  if (first === undefined || cannotBeSaid >= first.probability || first.probability < WORTH_NAMING) {
    const best = first === undefined ? "" : ` The likeliest pass, ${place(first)}, has ${percent(first.probability)}.`;
    return `Where it was born cannot be said (${percent(cannotBeSaid)} for none of the passes).${best}`;
  }
  const next =
    second === undefined || second.probability < 0.05 ? "" : `, next ${place(second)} (${percent(second.probability)})`;
  return `Most likely born at ${place(first)} (${percent(first.probability)})${next}; cannot be said ${percent(cannotBeSaid)}.`;
}

function requestsOf(route: Route, e: BurstEvidence, passes: readonly RoutePassComputed[]): readonly string[] {
  const unknown = route.transfers.filter((t) => reversesWire(t) === null).length;
  return [
    ...(route.brokeAt === null ? ["Record the die at which the wire broke; the last one was taken."] : []),
    ...(unknown > 0 ? ["Find out how the wire went from machine to machine: which end led at pay-off."] : []),
    ...(seenDirection(e) === null ? ["Section one end: the tips of the chevrons give the direction."] : []),
    ...(e.flankDeg === null ? ["Measure the flank angle of the cone in a side view or a section."] : []),
    ...(e.pitchMm === null || e.pitchMm.spacings < ASSUMPTIONS.leastSpacings
      ? ["Measure at least three spacings of bursts along the wire, in a long section."]
      : []),
    ...(passes.some((p) => p.die.wear === null && (p.die.tonnes ?? 0) > 0)
      ? ["Measure the wear of the dies that have drawn most: a worn die is steeper where the wire enters."]
      : []),
  ];
}

const aggravatingOf = (e: BurstEvidence): readonly string[] => [
  ...(e.porosity ? ["Porosity in the rod lets a burst start more easily; it makes a dangerous pass worse."] : []),
  ...(e.highOxygen
    ? ["High oxygen raises the share of breaks that look this way. It is never the cause of a burst."]
    : []),
];

/**
 * Where a central burst was born: a probability for each pass of the route and for "cannot be said".
 *
 * Each pass starts with its chance of a burst over all limits of B still possible, is weighed by whether a wire of this
 * ductility would have run as many dies further, by the direction of the cone through the recorded transfers, and by
 * the volume clock of flank angle and pitch. "Cannot be said" takes what fits none of them.
 *
 * @param limit - fitted, or the assumption
 * @throws RouteError when a pass of the route cannot be; check the route first
 * @source this-study for weighing, clock and parity; cb-excerpt for the tip with the draw
 */
export function traceBirth(route: Route, e: BurstEvidence, limit: FittedLimit = fitLimit([], ASSUMED_LIMIT)): Birth {
  if (!e.endsKnown || !e.drawDirectionKnown) {
    const missing = [
      ...(e.endsKnown ? [] : ["which end stayed in the machine"]),
      ...(e.drawDirectionKnown ? [] : ["the draw direction"]),
    ].join(" and ");
    return nothing(`Place of birth not stated: ${missing} is not known.`, limit.says, [`Find out ${missing}.`]);
  }
  const passes = passesUntilBreak(route, limit);
  const last = passes.at(-1);
  if (last === undefined) return nothing("Place of birth not stated: the route has no pass.", limit.says, []);
  const breakMm = last.input.outMm;
  const directions = directionsAtBreak(route, last.at.machine);
  const seen = seenDirection(e);
  const recorded = recordedReversals(route, last.at.machine);
  const doubtful = e.reversals !== null && recorded !== null && e.reversals !== recorded;
  const wrong = doubtful ? ASSUMPTIONS.directionDoubtful : ASSUMPTIONS.directionWrong;

  const places = passes.map((p, i): Birthplace => ({
    outMm: p.input.outMm,
    diesLater: passes.length - 1 - i,
    direction: directions[p.at.machine] ?? 0,
  }));
  const weights = passes.map((p, i) => {
    const at = places[i]!;
    return (
      geometryWeight(p, limit) *
      partsAfter(at.diesLater, e.ductility) *
      (seen === null ? 1 : directionFit(seen, at, wrong)) *
      (e.flankDeg === null ? 1 : flankFit(e.flankDeg, at, breakMm)) *
      (e.pitchMm === null ? 1 : pitchFit(e.pitchMm, at, breakMm))
    );
  });
  const total = weights.reduce((sum, w) => sum + w, ASSUMPTIONS.elsewhere);
  const told = passes.map((p, i) => ({
    at: p.at,
    machineName: p.machineName,
    dieName: p.die.name,
    probability: weights[i]! / total,
    reasons: reasonsFor(p, places[i]!, e, { limit, breakMm, seen, doubtful, recorded }),
  }));
  const cannotBeSaid = ASSUMPTIONS.elsewhere / total;
  const machines = route.machines.slice(0, last.at.machine + 1).map((m, machine) => ({
    machine,
    name: m.name,
    probability: told.reduce((sum, t) => sum + (t.at.machine === machine ? t.probability : 0), 0),
  }));
  const both = e.chevrons === "both" || (e.coneOn !== null && chevronSign(e) === -(seen ?? 0));
  const several = both
    ? ([1, -1] as const).map((direction) => ({
        direction,
        machines: machines.filter((m) => [0, direction].includes(directions[m.machine] ?? 0)).map((m) => m.name),
      }))
    : [];
  const mixed = both ? " Tips point both ways: at least two machines contributed." : "";
  return {
    stated: true,
    says: `${sentence(told, cannotBeSaid)}${mixed}`,
    passes: told,
    cannotBeSaid,
    machines,
    several,
    aggravating: aggravatingOf(e),
    requests: requestsOf(route, e, passes),
    limitSays: limit.says,
  };
}

const chevronSign = (e: BurstEvidence): Direction | 0 =>
  e.chevrons === "with" ? 1 : e.chevrons === "against" ? -1 : 0;
