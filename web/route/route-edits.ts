import { bandedFriction, type DieDefaults } from "../../model/route/pasted-dies.ts";
import type { Anneal, Die, DieAt, Machine, Route, Transfer } from "../../model/route/route.ts";

/** What a die has where nothing was typed. Common practice, no source; every one of them is shown and can be changed. */
export const USUAL_DIE: DieDefaults = { semiAngleDeg: 6, friction: bandedFriction("mu", 0.05), lubricant: null };

/** Reduction of a die added to a machine that has none. Common practice, no source. */
const FIRST_REDUCTION = 0.2;

export const newRoute = (rodMm: number, machine: string): Route => ({
  rodMm,
  machines: [{ name: machine, dies: [] }],
  transfers: [],
  anneals: [],
  brokeAt: null,
});

const machines = (route: Route, at: number, change: (m: Machine) => Machine): Route => ({
  ...route,
  machines: route.machines.map((m, i) => (i === at ? change(m) : m)),
});

export const withMachine = (route: Route, at: number, patch: Partial<Machine>): Route =>
  machines(route, at, (m) => ({ ...m, ...patch }));

export const withDie = (route: Route, at: DieAt, patch: Partial<Die>): Route =>
  machines(route, at.machine, (m) => ({ ...m, dies: m.dies.map((d, i) => (i === at.die ? { ...d, ...patch } : d)) }));

export const withTransfer = (route: Route, at: number, patch: Partial<Transfer>): Route => ({
  ...route,
  transfers: route.transfers.map((t, i) => (i === at ? { ...t, ...patch } : t)),
});

/** A machine after the last one; how the wire came to it is not known yet. */
export const withMachineAdded = (route: Route, machine: Machine): Route => ({
  ...route,
  machines: [...route.machines, machine],
  transfers: route.machines.length === 0 ? [] : [...route.transfers, { kind: null, rewinds: 0 }],
});

/** Everything that names a die goes with it or moves along; `to` says where a die is found after the change. */
function moved(route: Route, to: (at: DieAt) => DieAt | null): Pick<Route, "anneals" | "brokeAt"> {
  return {
    anneals: route.anneals.flatMap((a): Anneal[] => {
      if (a.after === null) return [a];
      const after = to(a.after);
      return after === null ? [] : [{ ...a, after }];
    }),
    brokeAt: route.brokeAt === null ? null : to(route.brokeAt),
  };
}

export function withoutMachine(route: Route, at: number): Route {
  const shift = (place: DieAt): DieAt | null =>
    place.machine === at ? null : place.machine < at ? place : { ...place, machine: place.machine - 1 };
  // The way into the machine after it is no longer known when a machine between two others goes.
  const between = at > 0 && at < route.machines.length - 1;
  const transfers = route.transfers.flatMap((t, i): Transfer[] => {
    if (i === Math.max(0, at - 1)) return between ? [{ kind: null, rewinds: 0 }] : [];
    return between && i === at ? [] : [t];
  });
  return { ...route, machines: route.machines.filter((_, i) => i !== at), transfers, ...moved(route, shift) };
}

export function withoutDie(route: Route, at: DieAt): Route {
  const shift = (place: DieAt): DieAt | null => {
    if (place.machine !== at.machine || place.die < at.die) return place;
    return place.die === at.die ? null : { ...place, die: place.die - 1 };
  };
  const less = machines(route, at.machine, (m) => ({ ...m, dies: m.dies.filter((_, i) => i !== at.die) }));
  return { ...less, ...moved(route, shift) };
}

/** All dies of a machine at once, from a paste, a stored series or the filler. */
export function withDies(route: Route, at: number, dies: readonly Die[]): Route {
  const shift = (place: DieAt): DieAt | null => (place.machine === at && place.die >= dies.length ? null : place);
  return { ...withMachine(route, at, { dies }), ...moved(route, shift) };
}

/** Diameter of the wire before a machine. */
export function wireBefore(route: Route, at: number): number {
  const last = route.machines
    .slice(0, at)
    .flatMap((m) => m.dies)
    .at(-1);
  return last === undefined ? route.rodMm : (last.wear?.outMm ?? last.outMm);
}

/** One more die after the last one of a machine, like it, with the same reduction. */
export function withDieAdded(route: Route, at: number): Route {
  const dies = route.machines[at]?.dies ?? [];
  const last = dies.at(-1);
  const before = wireBefore({ ...route, machines: route.machines.slice(0, at + 1) }, at + 1);
  const enters = last === undefined ? null : (last.inMm ?? dies.at(-2)?.outMm ?? wireBefore(route, at));
  const ratio = last === undefined || enters === null ? Math.sqrt(1 - FIRST_REDUCTION) : last.outMm / enters;
  const die: Die = {
    ...(last ?? { ...USUAL_DIE, bearingMm: null }),
    name: nextName(last?.name, dies.length),
    inMm: null,
    outMm: Number((before * ratio).toPrecision(4)),
    tonnes: null,
    wear: null,
  };
  return withMachine(route, at, { dies: [...dies, die] });
}

const nextName = (name: string | undefined, count: number): string =>
  name !== undefined && /^\d+$/.test(name) ? String(Number(name) + 1) : String(count + 1);

/** The anneal after a die; none, or the rod's, where `after` is null. */
export const annealAfter = (route: Route, after: DieAt | null): Anneal | null =>
  route.anneals.find(
    (a) =>
      (a.after === null && after === null) ||
      (a.after !== null && after !== null && a.after.machine === after.machine && a.after.die === after.die),
  ) ?? null;

export function withAnneal(route: Route, after: DieAt | null, full: boolean | null): Route {
  const there = annealAfter(route, after);
  const rest = route.anneals.filter((a) => a !== there);
  return { ...route, anneals: full === null ? rest : [...rest, { after, full }] };
}
