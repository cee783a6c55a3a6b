import type { BurstEvidence } from "../../../model/route/birth-evidence.ts";
import type { Die, Machine, Route } from "../../../model/route/route.ts";

/** A sound die; change what a test is about. */
export const die = (over: Partial<Die> = {}): Die => ({
  name: "1",
  inMm: null,
  outMm: 4,
  semiAngleDeg: 6,
  bearingMm: 1,
  lubricant: "emulsion",
  friction: { kind: "m", value: 0.08, low: 0.05, high: 0.12 },
  tonnes: null,
  wear: null,
  ...over,
});

/** Dies that each take the same reduction. */
export const machine = (name: string, from: number, count: number, r = 0.2, over: Partial<Die> = {}): Machine => ({
  name,
  dies: Array.from({ length: count }, (_, i) =>
    die({ name: String(i + 1), outMm: from * (1 - r) ** ((i + 1) / 2), ...over }),
  ),
});

const MIDDLE_MM = 8 * 0.8 ** 2;

/** Rod 8 mm, four dies, coiled, five dies; broke at the last one. */
export const route = (over: Partial<Route> = {}): Route => ({
  rodMm: 8,
  machines: [machine("breakdown", 8, 4), machine("finisher", MIDDLE_MM, 5)],
  transfers: [{ kind: "coil", rewinds: 0 }],
  anneals: [],
  brokeAt: { machine: 1, die: 4 },
  ...over,
});

export const evidence = (over: Partial<BurstEvidence> = {}): BurstEvidence => ({
  coneOn: "machine",
  endsKnown: true,
  drawDirectionKnown: true,
  chevrons: null,
  reversals: null,
  flankDeg: null,
  pitchMm: null,
  ductility: "ductile",
  highOxygen: false,
  porosity: false,
  ...over,
});

/** The route with one die of it changed. */
export function withDie(r: Route, machineAt: number, dieAt: number, over: Partial<Die>): Route {
  return {
    ...r,
    machines: r.machines.map((m, i) =>
      i === machineAt ? { ...m, dies: m.dies.map((d, k) => (k === dieAt ? { ...d, ...over } : d)) } : m,
    ),
  };
}
