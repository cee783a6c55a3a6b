import { exactly, type Band } from "./value.ts";
import { computePass, type ComputedPass, type PassInput } from "./pass.ts";
import { directionAfter, type Direction } from "./reversals.ts";
import { reversesWire, type Die, type DieAt, type Route } from "./route.ts";

/** A pass of a route with where it stands. */
export interface RoutePass {
  readonly at: DieAt;
  readonly machineName: string;
  readonly die: Die;
  readonly input: PassInput;
}

/** A computed pass with its damage summed since the last full anneal. */
export interface RoutePassComputed extends RoutePass {
  readonly computed: ComputedPass;
  readonly damageSum: number | null;
  /** Why there is no sum. */
  readonly damageSumOutside?: string;
}

/**
 * Band of the semi-angle at which the wire really meets the die.
 *
 * Nominal when no wear was measured. A ring worn symmetrically into the cone meets the wire steeper than the cone by
 * the slope of its rear half, atan(depth / half width). The wire touches ring and cone, so the band runs from the
 * nominal angle to the steepest one and its middle is taken.
 *
 * @source this-study, assumption
 */
export function realSemiAngle({ semiAngleDeg, wear }: Die): Band {
  const ring =
    wear?.ring === undefined
      ? semiAngleDeg
      : semiAngleDeg + (Math.atan(wear.ring.depthMm / (wear.ring.widthMm / 2)) * 180) / Math.PI;
  const steep = Math.max(semiAngleDeg, ring, wear?.entrySemiAngleDeg ?? semiAngleDeg);
  return steep === semiAngleDeg
    ? exactly(semiAngleDeg)
    : { value: (semiAngleDeg + steep) / 2, low: semiAngleDeg, high: steep };
}

/** All passes of a route in drawing order, each fed by the one before. */
export function passesOf(route: Route): readonly RoutePass[] {
  let before = route.rodMm;
  return route.machines.flatMap((machine, m) =>
    machine.dies.map((die, d) => {
      const outMm = die.wear?.outMm ?? die.outMm;
      const inMm = die.inMm ?? before;
      before = outMm;
      return {
        at: { machine: m, die: d },
        machineName: machine.name,
        die,
        input: {
          semiAngleDeg: realSemiAngle(die),
          inMm,
          outMm,
          friction: die.friction,
          bearingMm: die.bearingMm ?? 0,
          backTension: 0,
        },
      };
    }),
  );
}

export const isAt = (a: DieAt | null, b: DieAt): boolean => a !== null && a.machine === b.machine && a.die === b.die;

/** A series of passes without a route around it, damage summed from the first one. */
export function sumDamage<P extends { readonly computed: ComputedPass }>(
  passes: readonly P[],
  freshAfter: (pass: P) => boolean,
): readonly (P & { readonly damageSum: number | null; readonly damageSumOutside?: string })[] {
  let sum: number | null = 0;
  return passes.map((pass) => {
    const increment = pass.computed.damageIncrement.value;
    sum = sum === null || increment === null ? null : sum + increment;
    const told: P & { damageSum: number | null; damageSumOutside?: string } =
      sum === null
        ? { ...pass, damageSum: null, damageSumOutside: "A pass since the last full anneal lies outside the range." }
        : { ...pass, damageSum: sum };
    if (freshAfter(pass)) sum = 0;
    return told;
  });
}

/**
 * Every pass of a route computed.
 *
 * @param limit - limit of B
 * @throws RouteError when a pass cannot be; check the route first
 */
export function computeRoute(route: Route, limit: number): readonly RoutePassComputed[] {
  const passes = passesOf(route).map((pass) => ({ ...pass, computed: computePass(pass.input, limit) }));
  return sumDamage(passes, ({ at }) => route.anneals.some((a) => a.full && isAt(a.after, at)));
}

/**
 * Direction in which a burst of each machine points now, for the wire as it ran where it broke.
 *
 * @returns one entry per machine up to the one of the break: 1 with the draw, −1 against it, 0 not known
 */
export function directionsAtBreak(route: Route, breakMachine: number): readonly (Direction | 0)[] {
  return route.machines
    .slice(0, breakMachine + 1)
    .map((_, m) => directionAfter(route.transfers.slice(m, breakMachine).map(reversesWire)));
}
