import type { Direction } from "./reversals.ts";
import { normalDensity } from "./normal.ts";

/** A measured number with its standard uncertainty; null = not known. */
export interface Measured {
  readonly value: number;
  readonly sd: number | null;
}

/** Ductility decides through how many more dies a wire carries a burst before it parts. */
export type Ductility = "ductile" | "hard" | "unknown";

/** What was seen of the burst at the break. */
export interface BurstEvidence {
  /** On which end the cone stands; null = no cone, or the end is not known. */
  readonly coneOn: "machine" | "take-up" | null;
  /** Whether it is known which end stayed in the machine. */
  readonly endsKnown: boolean;
  readonly drawDirectionKnown: boolean;
  /** Where the tips of chevrons in a section point; null = no section, or none seen. */
  readonly chevrons: "with" | "against" | "both" | null;
  /** Reversals from the rod to the break as the reader counted them; null = not counted. */
  readonly reversals: number | null;
  /** Flank angle of the cone to the axis, degrees. */
  readonly flankDeg: Measured | null;
  /** Spacing of bursts along the wire, mm, with the number of spacings it is the mean of. */
  readonly pitchMm: (Measured & { readonly spacings: number }) | null;
  readonly ductility: Ductility;
  /** Oxygen above the usual, or porosity found: makes it worse, is never the cause for oxygen. */
  readonly highOxygen: boolean;
  readonly porosity: boolean;
}

/**
 * Assumptions of the tracing, each with what it stands for. They are shown, and await calibration on a lab's breaks.
 */
export const ASSUMPTIONS = {
  /** Chance that an end was labelled the wrong way round, or a pay-off was recorded wrongly. Common practice, no source. */
  directionWrong: 0.03,
  /** The same when the reader's count of reversals disagrees with the recorded transfers. */
  directionDoubtful: 0.25,
  /**
   * Flank at birth, degrees to the axis, and the spread of the logarithm of its tangent: seven in eight lie at 45–60°.
   *
   * @source this-study: 45° and 50–60° were both taken for a young cone
   */
  flankAtBirthDeg: 52.8,
  flankSpread: 0.18,
  /** Further spread for each later die: bursts open and tear as they go. @source this-study, assumption */
  flankSpreadPerDie: 0.06,
  /** Pitch over diameter at birth and the spread of its logarithm: 0.5–2. @source this-study, assumption */
  pitchRatioAtBirth: 1,
  pitchSpread: 0.4,
  pitchSpreadPerDie: 0.03,
  /** Spacings needed before a pitch is used. @source this-study */
  leastSpacings: 3,
  /** Share of flanks and pitches that follow no clock: merged, torn open, not periodic. @source this-study, assumption */
  noClock: 0.1,
  /** Dies up to which a wire may carry a burst, and how gradually it becomes rare beyond. Common practice, no source. */
  carriesDies: { ductile: [12, 2], hard: [3, 1], unknown: [12, 4] },
  /** Chance of a burst that a pass keeps however low its B: the core may be weak. @source this-study, assumption */
  weakCore: 0.01,
  /** Weight of "not at a pass of this route", in the same units. @source this-study, assumption */
  elsewhere: 0.06,
} as const;

/** Flat densities of what is seen when no clock governs it: ln tan of 3–70° and ln of pitch/diameter 0.3–100. */
const FLAT_FLANK = 0.25;
const FLAT_PITCH = 0.17;

const lnTan = (deg: number): number => Math.log(Math.tan((deg * Math.PI) / 180));

const clockDensity = (x: number, mean: number, sd: number, flat: number): number =>
  (1 - ASSUMPTIONS.noClock) * normalDensity(x, mean, sd) + ASSUMPTIONS.noClock * flat;

/** A pass as a birthplace: exit diameter, dies drawn after it until the break, and the way its bursts point now. */
export interface Birthplace {
  readonly outMm: number;
  readonly diesLater: number;
  /** 0 = a transfer since is not known. */
  readonly direction: Direction | 0;
}

/** How well a flank angle fits a birth at a pass, over how well it would fit anything. */
export function flankFit(flank: Measured, at: Birthplace, breakMm: number): number {
  const { flankAtBirthDeg, flankSpread, flankSpreadPerDie } = ASSUMPTIONS;
  const rad = (flank.value * Math.PI) / 180;
  // d(ln tan ψ) = dψ / (sin ψ cos ψ)
  const measured = ((flank.sd ?? 3) * Math.PI) / 180 / (Math.sin(rad) * Math.cos(rad));
  const sd = Math.hypot(flankSpread, measured, flankSpreadPerDie * Math.sqrt(at.diesLater));
  const expected = lnTan(flankAtBirthDeg) + 3 * Math.log(breakMm / at.outMm);
  return clockDensity(lnTan(flank.value), expected, sd, FLAT_FLANK) / FLAT_FLANK;
}

/** How well a pitch fits a birth at a pass, over how well it would fit anything; 1 with fewer than three spacings. */
export function pitchFit(pitch: NonNullable<BurstEvidence["pitchMm"]>, at: Birthplace, breakMm: number): number {
  const { pitchRatioAtBirth, pitchSpread, pitchSpreadPerDie, leastSpacings } = ASSUMPTIONS;
  if (pitch.spacings < leastSpacings) return 1;
  const sd = Math.hypot(
    pitchSpread,
    (pitch.sd ?? 0.2 * pitch.value) / pitch.value,
    pitchSpreadPerDie * Math.sqrt(at.diesLater),
  );
  const expected = Math.log(pitchRatioAtBirth * at.outMm) + 2 * Math.log(at.outMm / breakMm);
  return clockDensity(Math.log(pitch.value), expected, sd, FLAT_PITCH) / FLAT_PITCH;
}

/**
 * How often a wire parts this many dies after its burst was born, relative to the commonest: alike up to the usual
 * number, rare beyond it.
 */
export function partsAfter(diesLater: number, ductility: Ductility): number {
  const [half, width] = ASSUMPTIONS.carriesDies[ductility];
  return 1 / (1 + Math.exp((diesLater - half) / width));
}

/** How well a direction fits, over not knowing: twice the chance of seeing it. */
export function directionFit(seen: Direction, at: Birthplace, wrong: number): number {
  if (at.direction === 0) return 1;
  return 2 * (at.direction === seen ? 1 - wrong : wrong);
}

/** Direction in which the burst that parted the wire points, relative to today's draw; null when nothing tells it. */
export function seenDirection(e: BurstEvidence): Direction | null {
  if (e.coneOn !== null) return e.coneOn === "machine" ? 1 : -1;
  if (e.chevrons === "with") return 1;
  return e.chevrons === "against" ? -1 : null;
}
