import type { WireBreak } from "../break/wire-break.ts";
import { END_SIDES } from "../break/wire-break.ts";
import type { Verdict } from "../evidence/break-type-ids.ts";
import { metalOf } from "../evidence/wire-class.ts";
import { confirmedType } from "./levels.ts";

/** The three parts of a set: to learn from, to choose by, to judge with. */
export const SPLITS = ["train", "val", "test"] as const;
export type Split = (typeof SPLITS)[number];

/** A confirmed break as the set knows it: what splits, coverage and leaks are decided by. */
export interface SetBreak {
  readonly id: string;
  readonly number: string;
  readonly type: Verdict;
  readonly cast: string | null;
  readonly coil: string | null;
  readonly metal: string | null;
  readonly diameterMm: number | null;
  readonly machine: string | null;
  /** Light of its photographs; empty = not recorded. */
  readonly lights: readonly string[];
  /** SHA-256 of the originals of its photographs. */
  readonly hashes: readonly string[];
  /** Rendered or invented: no figure about it is one about real breaks. */
  readonly invented: boolean;
}

/** A break as a member of a set; null when it is not confirmed or lies in the bin. */
export function setBreakOf(wireBreak: WireBreak): SetBreak | null {
  const type = confirmedType(wireBreak);
  if (type === null || wireBreak.binnedAt !== null) return null;
  const { context, ends } = wireBreak;
  const photographs = END_SIDES.flatMap((side) => ends[side].photographs);
  return {
    id: wireBreak.id,
    number: wireBreak.number,
    type,
    cast: named(context.cast),
    coil: named(context.coil),
    metal:
      metalOf({ ...context, wireMm: null, drawDirectionKnown: false, d0AgreePct: null, mate: null }) ??
      named(context.metal),
    diameterMm: context.measuredDiameterMm ?? context.nominalDiameterMm,
    machine: named(context.machine),
    lights: [...new Set(photographs.flatMap((p) => named(p.light ?? null) ?? []))].sort(),
    hashes: [...new Set(photographs.map((p) => p.hash))].sort(),
    invented: wireBreak.demo || photographs.some((p) => p.rendered),
  };
}

const named = (text: string | null): string | null => (text === null || text.trim() === "" ? null : text.trim());
