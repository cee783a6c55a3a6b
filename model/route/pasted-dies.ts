import type { PastedDie } from "./die-list.ts";
import type { Friction } from "./friction.ts";
import type { Die } from "./route.ts";

/** What stands in for cells that the pasted list left empty. */
export interface DieDefaults {
  readonly semiAngleDeg: number;
  readonly friction: Friction;
  readonly lubricant: string | null;
}

/** Share by which a friction pasted as one number may be off: a stated assumption, common practice, no source. */
export const FRICTION_BAND = 0.5;

/** A friction with the band that a single number gets; m stays below 1. */
export function bandedFriction(kind: "mu" | "m", value: number): Friction {
  const high = value * (1 + FRICTION_BAND);
  return { kind, value, low: value * (1 - FRICTION_BAND), high: Math.min(kind === "m" ? 1 : 0.577, high) };
}

/** Pasted dies as dies of a machine. */
export function diesOfPaste(pasted: readonly PastedDie[], defaults: DieDefaults): readonly Die[] {
  return pasted.map((p, i) => ({
    name: p.name ?? String(i + 1),
    inMm: p.inMm,
    outMm: p.outMm,
    semiAngleDeg: p.semiAngleDeg ?? defaults.semiAngleDeg,
    bearingMm: p.bearingMm,
    lubricant: p.lubricant ?? defaults.lubricant,
    friction: p.m !== null ? bandedFriction("m", p.m) : p.mu !== null ? bandedFriction("mu", p.mu) : defaults.friction,
    tonnes: p.tonnes,
    wear: null,
  }));
}
