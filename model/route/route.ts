import type { TransferKind } from "../evidence/observations.ts";
import type { Friction } from "./friction.ts";

/** Wear of a die as it was measured. Wear that was not measured is left out, never guessed. */
export interface MeasuredWear {
  /** Bore found at the exit, mm; the wire leaves at this diameter. */
  readonly outMm?: number;
  /** Steepest semi-angle found where the wire enters, degrees. */
  readonly entrySemiAngleDeg?: number;
  /** Ring worn into the cone: depth square to the cone and width along it, mm. */
  readonly ring?: { readonly depthMm: number; readonly widthMm: number };
}

/** One die and the pass through it. */
export interface Die {
  /** What the mill calls it. */
  readonly name: string;
  /** Wire before the die, mm; null = as the die before leaves it. */
  readonly inMm: number | null;
  readonly outMm: number;
  readonly semiAngleDeg: number;
  /** Parallel length, mm; null = not known. */
  readonly bearingMm: number | null;
  readonly lubricant: string | null;
  readonly friction: Friction;
  /** Tonnes drawn since the die was new or recut; null = not known. */
  readonly tonnes: number | null;
  readonly wear: MeasuredWear | null;
}

export interface Machine {
  readonly name: string;
  /** In drawing order. */
  readonly dies: readonly Die[];
}

/** How the wire went from one machine to the next. */
export interface Transfer {
  /** null = not known. */
  readonly kind: TransferKind | null;
  /** Extra rewinds between the two, each of which turns the wire once more. */
  readonly rewinds: number;
}

/** A die of the route, counted from zero. */
export interface DieAt {
  readonly machine: number;
  readonly die: number;
}

export interface Anneal {
  /** The pass after which the wire was annealed; null = the rod, before the first pass. */
  readonly after: DieAt | null;
  /** Full: damage starts again from nothing. */
  readonly full: boolean;
}

/** The way of a wire from the rod to where it broke. */
export interface Route {
  readonly rodMm: number;
  /** In drawing order. */
  readonly machines: readonly Machine[];
  /** One fewer than machines: the first joins the first machine to the second. */
  readonly transfers: readonly Transfer[];
  readonly anneals: readonly Anneal[];
  /** The pass in which, or after which, the wire parted; null = not known. */
  readonly brokeAt: DieAt | null;
}

/** A stored series of dies, as it hangs beside a machine. */
export interface DieSeries {
  readonly name: string;
  readonly machine: string;
  readonly dies: readonly Die[];
}

/** The series set up in its machine. */
export const machineOfSeries = (series: DieSeries): Machine => ({ name: series.machine, dies: series.dies });

/**
 * Whether a transfer turned the wire end for end; null when that is not known.
 *
 * A spool or coil pays off last lap first, which turns it; an in-line machine and a flipped coil do not; each rewind
 * turns it once more.
 *
 * @source common practice, no source
 */
export function reversesWire({ kind, rewinds }: Transfer): boolean | null {
  if (kind === null) return null;
  const turns = (kind === "spool" || kind === "coil" ? 1 : 0) + rewinds;
  return turns % 2 === 1;
}
