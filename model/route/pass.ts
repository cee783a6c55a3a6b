import { degToRad } from "../measure/units.ts";
import {
  CENTRELINE_SD,
  centrelineStress,
  criticalSemiAngleDeg,
  FITTED_RANGE,
  outsideFittedRange,
  riskClass,
  type RiskClass,
} from "./centreline-stress.ts";
import { tensionDamage, voidGrowth } from "./damage.ts";
import { optimumSemiAngle, soundFlowStress } from "./drawing-stress.ts";
import { shearFactorAt, type Friction } from "./friction.ts";
import { areaReduction, dieGeometry, elongationRatio, redundantWork, trueStrain } from "./pass-geometry.ts";
import { RouteError } from "./route-error.ts";
import { computed, exactly, notGiven, type Band, type RouteValue } from "./value.ts";

/** One pass as the mechanics see it. */
export interface PassInput {
  /** Die semi-angle, degrees, with the band that wear gives it. */
  readonly semiAngleDeg: Band;
  readonly inMm: number;
  readonly outMm: number;
  readonly friction: Friction;
  /** Length of the parallel part of the die, mm; 0 when not known. */
  readonly bearingMm: number;
  /** Back tension over flow stress. */
  readonly backTension: number;
}

/** A pass with everything the mechanics say of it. */
export interface ComputedPass {
  readonly reduction: RouteValue;
  readonly trueStrain: RouteValue;
  readonly elongationRatio: RouteValue;
  readonly delta: RouteValue;
  readonly redundantWork: RouteValue;
  readonly shearFactor: RouteValue;
  readonly drawingStressRatio: RouteValue;
  readonly centrelineStress: RouteValue;
  readonly damageIncrement: RouteValue;
  readonly voidGrowth: RouteValue;
  readonly criticalSemiAngle: RouteValue;
  readonly inFittedRange: boolean;
  /** Null outside the fitted range. */
  readonly risk: RiskClass | null;
  /** False when the drawing stress reaches the flow stress: the wire would break in the pull. */
  readonly drawable: boolean;
  /** B by the same formula with the standard uncertainty it has here: wide outside the fitted range, never shown as B. */
  readonly estimate: { readonly value: number; readonly sd: number };
}

const LEVELS = ["low", "value", "high"] as const;

/** B beyond the fitted range: the formula is only a guide there. */
const BEYOND_SD = 0.3;
/** Up to this shear factor finite elements met the formula within 0.052 (46 cases, rms 0.018). @source this-study */
const CHECKED_SHEAR_FACTOR = 0.4;
const CHECKED_SD = 0.04;

/** @throws RouteError with the code of the first input that no pass can have */
function check({ semiAngleDeg, inMm, outMm, friction, bearingMm, backTension }: PassInput): void {
  if (!(inMm > outMm && outMm > 0 && Number.isFinite(inMm)))
    throw new RouteError("diameters-not-a-reduction", "The diameter after a die is smaller than before it.");
  if (!LEVELS.every((l) => semiAngleDeg[l] > 0 && semiAngleDeg[l] < 90))
    throw new RouteError("semi-angle-out-of-range", "A die semi-angle lies between 0 and 90 degrees.");
  const most = friction.kind === "m" ? 1 : Infinity;
  if (!LEVELS.every((l) => friction[l] >= 0 && friction[l] <= most && Number.isFinite(friction[l])))
    throw new RouteError(
      "friction-out-of-range",
      "A shear factor lies between 0 and 1, a Coulomb coefficient from 0 on.",
    );
  if (!(bearingMm >= 0 && Number.isFinite(bearingMm)) || !Number.isFinite(backTension))
    throw new RouteError("bearing-negative", "Bearing length and back tension are numbers, the length zero or more.");
}

/** A semi-angle in radians with a shear factor. */
interface Corner {
  readonly alpha: number;
  readonly m: number;
}

/** The middle of the bands of angle and friction first, then every other combination of their levels. */
function cornersOf(p: PassInput, r: number): readonly [Corner, ...Corner[]] {
  const at = (angle: keyof Band, level: keyof Band): Corner => {
    const alpha = degToRad(p.semiAngleDeg[angle]);
    return { alpha, m: shearFactorAt(p.friction, level, alpha, r) };
  };
  const levels = (band: Band) => LEVELS.filter((l) => l === "value" || band[l] !== band.value);
  const others = levels(p.semiAngleDeg).flatMap((angle) => levels(p.friction).map((level) => at(angle, level)));
  return [at("value", "value"), ...others];
}

/** Corners at which the drawing stress is least: inside an angle band that holds its optimum. */
function optimaOf(p: PassInput, r: number): readonly Corner[] {
  const [low, high] = [degToRad(p.semiAngleDeg.low), degToRad(p.semiAngleDeg.high)];
  if (low === high) return [];
  const m = shearFactorAt(p.friction, "low", degToRad(p.semiAngleDeg.value), r);
  const alpha = optimumSemiAngle(r, m);
  return alpha > low && alpha < high ? [{ alpha, m: shearFactorAt(p.friction, "low", alpha, r) }] : [];
}

/** Value at the first corner, lowest and highest over all of them. */
function band(
  at: (alpha: number, m: number) => number,
  corners: readonly [Corner, ...Corner[]],
  further: readonly Corner[] = [],
): Band {
  const value = at(corners[0].alpha, corners[0].m);
  let [low, high] = [value, value];
  for (const { alpha, m } of [...corners, ...further]) {
    const x = at(alpha, m);
    low = Math.min(low, x);
    high = Math.max(high, x);
  }
  return { value, low, high };
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

function criticalAngle(p: PassInput, r: number, limit: number): RouteValue {
  const id = "critical-semi-angle";
  const at = (level: keyof Band) => {
    const m = shearFactorAt(p.friction, level, degToRad(p.semiAngleDeg.value), r);
    return { m, deg: criticalSemiAngleDeg(r, m, limit, p.backTension) };
  };
  const [light, middle, heavy] = [at("low"), at("value"), at("high")];
  const { reduction, shearFactor, semiAngleDeg } = FITTED_RANGE;
  if (r < reduction[0] - 1e-9 || r > reduction[1] + 1e-9)
    return notGiven(id, `Reduction ${(r * 100).toFixed(1)} % lies outside the verified 5–45 %.`, "deg");
  if (middle.m > shearFactor[1] + 1e-9)
    return notGiven(id, `Shear factor ${middle.m.toFixed(2)} lies outside the verified 0–0.2.`, "deg");
  if (middle.deg === "none") return notGiven(id, "B stays below the limit at every semi-angle up to 20°.", "deg");
  if (middle.deg === "all") return notGiven(id, "B exceeds the limit at every semi-angle from 0.5° on.", "deg");
  if (dieGeometry(degToRad(middle.deg), r) > FITTED_RANGE.delta[1])
    return notGiven(id, "The limit is reached only where Δ exceeds the verified 7.", "deg");
  const low = typeof heavy.deg === "number" ? heavy.deg : heavy.deg === "all" ? 0.5 : semiAngleDeg[1];
  const high = typeof light.deg === "number" ? light.deg : semiAngleDeg[1];
  const remark = middle.deg < semiAngleDeg[0] ? "Extrapolated below the verified 3°." : undefined;
  return computed(id, { value: middle.deg, low, high }, "deg", remark);
}

/**
 * Everything the mechanics say of one pass, each number with its friction and wear band, formula and source.
 *
 * @param limit - centreline mean stress over flow stress above which a burst is feared
 * @throws RouteError naming the input that no pass can have
 */
export function computePass(p: PassInput, limit: number): ComputedPass {
  check(p);
  if (!Number.isFinite(limit)) throw new RouteError("limit-not-a-number", "The limit of B is a number, such as 0.67.");
  const r = areaReduction(p.inMm, p.outMm);
  const strain = trueStrain(p.inMm, p.outMm);
  const land = p.bearingMm / (p.outMm / 2);
  const centre = degToRad(p.semiAngleDeg.value);
  const corners = cornersOf(p, r);
  const stress = band((alpha, m) => soundFlowStress(alpha, r, m, land, p.backTension), corners, optimaOf(p, r));
  const shear = band((_, m) => m, corners);
  const b = band((alpha, m) => centrelineStress(alpha, r, m, p.backTension), corners);
  const why = outsideFittedRange(p.semiAngleDeg.value, r, shear.value, p.backTension);
  const outside = why === null ? null : `${capital(why)}.`;
  const edge =
    outside === null &&
    (outsideFittedRange(p.semiAngleDeg.high, r, shear.high, p.backTension) !== null ||
      outsideFittedRange(p.semiAngleDeg.low, r, shear.high, p.backTension) !== null);
  const note = edge ? "One end of the band lies outside the verified range." : undefined;
  const onAxis = (id: "axis-tension-damage" | "void-growth" | "centreline-mean-stress", of: (x: number) => number) =>
    outside === null
      ? computed(id, { value: of(b.value), low: of(b.low), high: of(b.high) }, "1", note)
      : notGiven(id, outside);
  const delta = (level: keyof Band) => dieGeometry(degToRad(p.semiAngleDeg[level]), r);
  const deltas = { value: delta("value"), low: delta("low"), high: delta("high") };
  return {
    reduction: computed("area-reduction", exactly(r)),
    trueStrain: computed("true-strain", exactly(strain)),
    elongationRatio: computed("elongation", exactly(elongationRatio(p.inMm, p.outMm))),
    delta: computed("die-geometry", deltas),
    redundantWork: computed("redundant-work-line", {
      value: redundantWork(deltas.value),
      low: redundantWork(deltas.low),
      high: redundantWork(deltas.high),
    }),
    shearFactor: computed("shear-factor", shear),
    drawingStressRatio: computed("sound-flow-bound", stress),
    centrelineStress: onAxis("centreline-mean-stress", (x) => x),
    damageIncrement: onAxis("axis-tension-damage", (x) => tensionDamage(strain, x)),
    voidGrowth: onAxis("void-growth", (x) => voidGrowth(strain, x)),
    criticalSemiAngle: criticalAngle(p, r, limit),
    inFittedRange: outside === null,
    risk: outside === null ? riskClass(b.value) : null,
    drawable: stress.value < 1,
    estimate: { value: b.value, sd: Math.hypot(ownSd(p, r, shear.value), (b.high - b.low) / 4) },
  };
  function ownSd(pass: PassInput, reduction: number, m: number): number {
    if (outside === null) return CENTRELINE_SD;
    const onlyFriction =
      m <= CHECKED_SHEAR_FACTOR &&
      outsideFittedRange(pass.semiAngleDeg.value, reduction, FITTED_RANGE.shearFactor[1], pass.backTension) === null &&
      soundFlowStress(centre, reduction, m, 0, pass.backTension) < FITTED_RANGE.stressBelow;
    return onlyFriction ? CHECKED_SD : BEYOND_SD;
  }
}
