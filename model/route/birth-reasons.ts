import { ASSUMPTIONS, partsAfter, type Birthplace, type BurstEvidence } from "./birth-evidence.ts";
import { boundaryAngle } from "./danger.ts";
import type { FittedLimit } from "./limit-fit.ts";
import type { Direction } from "./reversals.ts";
import type { RoutePassComputed } from "./route-passes.ts";
import { birthDiameterOfFlank, birthDiameterOfPitch } from "./volume-clock.ts";

interface Known {
  readonly limit: FittedLimit;
  readonly breakMm: number;
  readonly seen: Direction | null;
  readonly doubtful: boolean;
  readonly recorded: number | null;
}

const two = (x: number): string => String(Math.round(x * 100) / 100);
const one = (x: number): string => String(Math.round(x * 10) / 10);

function geometryReason(p: RoutePassComputed, limit: FittedLimit): string {
  const { centrelineStress, damageIncrement } = p.computed;
  if (centrelineStress.value === null)
    return `${centrelineStress.outside ?? ""} Its centreline stress is only guessed, so it weighs little either way.`;
  const boundary = boundaryAngle(p.input, p.computed.reduction.value ?? 0, limit.mean, "high");
  const degrees = typeof boundary === "number" ? boundary - p.input.semiAngleDeg.high : null;
  const stands =
    degrees === null
      ? ""
      : degrees < 0
        ? `, ${one(-degrees)}° inside the danger region`
        : `, ${one(degrees)}° outside the danger region`;
  const band = `${two(centrelineStress.low ?? 0)} to ${two(centrelineStress.high ?? 0)}`;
  return `Centreline stress ${two(centrelineStress.value)} (${band}) against a limit of ${two(limit.mean)}${stands}; damage of the pass ${two(damageIncrement.value ?? 0)}.`;
}

function wearReason(p: RoutePassComputed): readonly string[] {
  const { low, high } = p.input.semiAngleDeg;
  if (high > low) return [`The die is worn: the wire meets ${one(low)}° to ${one(high)}°, so its band is wide.`];
  return p.die.wear === null && (p.die.tonnes ?? 0) > 0
    ? [`The die has drawn ${two(p.die.tonnes ?? 0)} t and its wear was not measured: it may be steeper than it should.`]
    : [];
}

function directionReason(at: Birthplace, e: BurstEvidence, k: Known): readonly string[] {
  if (k.seen === null)
    return e.chevrons === "both" ? ["Chevrons point both ways, so the direction excludes no pass."] : [];
  if (at.direction === 0) return ["A transfer since this pass is not known, so the direction decides nothing here."];
  const which = k.seen === 1 ? "with today's draw" : "against today's draw";
  const fits = at.direction === k.seen ? "fits" : "does not fit";
  const doubt = k.doubtful
    ? ` The counted reversals (${e.reversals ?? "none"}) and the recorded transfers (${k.recorded ?? "unknown"}) disagree.`
    : "";
  return [`The cone points ${which}; that ${fits} a birth here.${doubt}`];
}

function clockReasons(p: RoutePassComputed, e: BurstEvidence, k: Known): readonly string[] {
  const { flankAtBirthDeg, pitchRatioAtBirth, leastSpacings } = ASSUMPTIONS;
  const here = `this die leaves ${two(p.input.outMm)} mm`;
  const flank =
    e.flankDeg === null
      ? []
      : [
          `The flank of ${one(e.flankDeg.value)}° points to a birth near ${two(birthDiameterOfFlank(e.flankDeg.value, k.breakMm, flankAtBirthDeg))} mm; ${here}.`,
        ];
  if (e.pitchMm === null) return flank;
  const { value, spacings } = e.pitchMm;
  if (spacings < leastSpacings)
    return [...flank, `The pitch rests on fewer than ${leastSpacings} spacings and was not used.`];
  const born = birthDiameterOfPitch(value, k.breakMm, pitchRatioAtBirth);
  return [...flank, `The pitch of ${two(value)} mm points to a birth near ${two(born)} mm; ${here}.`];
}

function ductilityReason(at: Birthplace, e: BurstEvidence): readonly string[] {
  if (at.diesLater === 0) return ["The wire broke at this die."];
  const dies = `${at.diesLater} more ${at.diesLater === 1 ? "die" : "dies"}`;
  if (e.ductility === "unknown") return [`It would have run ${dies} before it broke.`];
  const usual = e.ductility === "ductile" ? "about twelve" : "two to four";
  const odd = partsAfter(at.diesLater, e.ductility) < 0.3 ? "more than usual" : "usual";
  return [`It would have run ${dies}; a ${e.ductility} metal carries a burst through ${usual}: ${odd}.`];
}

/** Why a pass has the probability it has, in plain sentences. */
export const reasonsFor = (p: RoutePassComputed, at: Birthplace, e: BurstEvidence, known: Known): readonly string[] => [
  geometryReason(p, known.limit),
  ...wearReason(p),
  ...directionReason(at, e, known),
  ...clockReasons(p, e, known),
  ...ductilityReason(at, e),
];
