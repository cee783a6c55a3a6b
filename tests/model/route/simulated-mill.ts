import type { TransferKind } from "../../../model/evidence/observations.ts";
import { degToRad, radToDeg } from "../../../model/measure/units.ts";
import { ASSUMED_LIMIT } from "../../../model/route/assumed-limit.ts";
import { partsAfter, type BurstEvidence, type Ductility } from "../../../model/route/birth-evidence.ts";
import { centrelineStress } from "../../../model/route/centreline-stress.ts";
import { directionAfter } from "../../../model/route/reversals.ts";
import { passesOf } from "../../../model/route/route-passes.ts";
import { reversesWire, type Die, type Machine, type Route, type Transfer } from "../../../model/route/route.ts";
import type { Random } from "./random.ts";

/**
 * A simulated mill in which bursts are born, carried and found.
 *
 * What it takes for granted, honestly:
 * - B by the project's own formula plus an error of 0.025, at the true angle and friction, which the record only brackets;
 * - a limit per wire drawn from the same belief the tracing starts from, so the tracing is right about its width;
 * - one pass in seven has a die worn 1–5° steeper; only half of those were measured;
 * - every pass can burst with a weak core (1 %), and some bursts were born before the recorded route;
 * - the flank at birth is 45–60°, the pitch 0.5–2 diameters, both by volume constancy with growing scatter; one in ten
 *   follows no clock at all;
 * - a tip is read the wrong way in 2 of 100; one transfer in ten was not recorded; not every measure was taken.
 * It cannot show that real wire behaves so: it shows that the tracing draws the right conclusion if it does.
 */
export interface SimulatedBreak {
  readonly route: Route;
  readonly evidence: BurstEvidence;
  /** Index among the passes of the route; null = born before the recorded route. */
  readonly bornAt: number | null;
}

interface TrueDie {
  readonly die: Die;
  readonly alphaDeg: number;
  readonly m: number;
}

function machine(random: Random, name: string, from: number): { readonly machine: Machine; readonly truth: TrueDie[] } {
  const usualDeg = random.between(4.5, 8);
  const m = random.between(0.03, 0.12);
  const count = random.whole(4, 9);
  let before = from;
  const truth = Array.from({ length: count }, (_, i): TrueDie => {
    const light = i === count - 1 && random.chance(0.4);
    const r = light ? random.between(0.06, 0.11) : random.between(0.14, 0.26);
    const nominal = random.chance(0.08) ? random.between(9, 12) : usualDeg + random.normal(0, 0.4);
    const worn = random.chance(1 / 7) ? random.between(1, 5) : 0;
    const measured = worn > 0 && random.chance(0.5);
    const outMm = before * Math.sqrt(1 - r);
    before = outMm;
    return {
      alphaDeg: nominal + worn * random.next(),
      m: random.between(0.6 * m, 1.4 * m),
      die: {
        name: String(i + 1),
        inMm: null,
        outMm,
        semiAngleDeg: nominal,
        bearingMm: outMm / 3,
        lubricant: null,
        friction: { kind: "m", value: m, low: 0.6 * m, high: 1.4 * m },
        tonnes: null,
        wear: measured ? { entrySemiAngleDeg: nominal + worn } : null,
      },
    };
  });
  return { machine: { name, dies: truth.map((t) => t.die) }, truth };
}

const KINDS: readonly (TransferKind | null)[] = ["spool", "coil", "spool", "coil", "in_line", "coil_flipped", null];

/** A mill's way from rod to fine wire, with what only the simulation knows. */
export function simulateRoute(random: Random): { readonly route: Route; readonly truth: readonly TrueDie[] } {
  const machines: Machine[] = [];
  const truth: TrueDie[] = [];
  let mm = random.between(5.5, 9.5);
  const rodMm = mm;
  for (let i = random.whole(1, 3); i > 0; i--) {
    const made = machine(random, `machine ${machines.length + 1}`, mm);
    machines.push(made.machine);
    truth.push(...made.truth);
    mm = made.truth.at(-1)!.die.outMm;
  }
  const transfers = machines.slice(1).map((): Transfer => ({
    kind: random.oneOf(KINDS),
    rewinds: random.chance(0.15) ? 1 : 0,
  }));
  return { route: { rodMm, machines, transfers, anneals: [], brokeAt: null }, truth };
}

const WEAK_CORE = 0.01;
const BEFORE_THE_ROUTE = 0.05;

/** One break by a central burst, or null when the wire of this try ran out of the mill whole. */
export function simulateBreak(random: Random): SimulatedBreak | null {
  const { route: unbroken, truth } = simulateRoute(random);
  const passes = passesOf(unbroken);
  const limit = random.normal(ASSUMED_LIMIT.mean, ASSUMED_LIMIT.sd);
  const hazards = passes.map((p, i) => {
    const r = 1 - (p.input.outMm / p.input.inMm) ** 2;
    const b = centrelineStress(degToRad(truth[i]!.alphaDeg), r, truth[i]!.m) + random.normal(0, 0.025);
    return WEAK_CORE + (1 - WEAK_CORE) / (1 + Math.exp(-(b - limit) / 0.06));
  });
  // A wire bursts at all only where some hazard is real.
  const any = hazards.reduce((sum, h) => sum + h, BEFORE_THE_ROUTE);
  if (!random.chance(Math.min(1, any / 4))) return null;
  const drawn = random.weighted([...hazards, BEFORE_THE_ROUTE]);
  const bornAt = drawn === hazards.length ? null : drawn;
  const ductility: Ductility = random.oneOf(["ductile", "hard", "unknown"]);
  const later = random.weighted(Array.from({ length: 30 }, (_, j) => partsAfter(j, ductility)));
  const brokeAt = (bornAt ?? random.whole(-3, -1)) + later;
  const breakPass = passes[brokeAt];
  if (breakPass === undefined) return null;
  const dN = breakPass.input.outMm;
  const dK = bornAt === null ? unbroken.rodMm * random.between(1, 1.6) : passes[bornAt]!.input.outMm;

  const lnTan = random.chance(0.1)
    ? random.between(-2.95, 1.01)
    : Math.log(Math.tan(degToRad(random.between(45, 60)))) +
      3 * Math.log(dN / dK) +
      random.normal(0, 0.06 * Math.sqrt(later));
  const flank = radToDeg(Math.atan(Math.exp(lnTan))) + random.normal(0, 1.5);
  const ratio = Math.exp(random.between(Math.log(0.5), Math.log(2)));
  const pitch = random.chance(0.1) ? dN * Math.exp(random.between(-1.2, 4.6)) : ratio * dK * (dK / dN) ** 2;
  const turns = unbroken.transfers
    .slice(bornAt === null ? 0 : passes[bornAt]!.at.machine, breakPass.at.machine)
    // Where the record says nothing the wire was turned all the same, or not.
    .map((t) => reversesWire(t) ?? random.chance(0.5));
  const points = directionAfter(turns) * (random.chance(0.02) ? -1 : 1);
  const own = bornAt === null ? (random.chance(0.5) ? 1 : -1) : points;
  return {
    route: { ...unbroken, brokeAt: breakPass.at },
    bornAt,
    evidence: {
      coneOn: random.chance(0.92) ? (own === 1 ? "machine" : "take-up") : null,
      endsKnown: true,
      drawDirectionKnown: true,
      chevrons: null,
      reversals: null,
      flankDeg: random.chance(0.9) && flank > 2 && flank < 80 ? { value: flank, sd: 1.5 } : null,
      pitchMm: random.chance(0.4) ? { value: pitch, sd: null, spacings: random.whole(2, 8) } : null,
      ductility,
      highOxygen: false,
      porosity: false,
    },
  };
}

export function simulateBreaks(random: Random, count: number): readonly SimulatedBreak[] {
  const breaks: SimulatedBreak[] = [];
  while (breaks.length < count) {
    const one = simulateBreak(random);
    if (one !== null) breaks.push(one);
  }
  return breaks;
}
