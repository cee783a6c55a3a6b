import type { BreakContext, End, WireBreak } from "./wire-break.ts";
import { RECORD_VERSION } from "./wire-break.ts";

export const EMPTY_END: End = { recovery: "awaited", photographs: [], marks: [], note: "" };

/** Everything unknown: unknown never counts as "no". */
export const EMPTY_CONTEXT: BreakContext = {
  metal: null,
  grade: null,
  temper: null,
  nominalDiameterMm: null,
  measuredDiameterMm: null,
  measuredDiameterUMm: null,
  refRaPct: null,
  refRaUPct: null,
  cast: null,
  rod: null,
  coil: null,
  spool: null,
  machine: null,
  position: null,
  lineSpeedMps: null,
  brokeAt: null,
  drawDirection: "not-recorded",
  machineOrder: [],
  reversals: null,
  whichEndLeads: null,
  transfers: null,
  passes: null,
  weldLogDistanceM: null,
  weldLogClear: null,
  oxygenPpm: null,
  hydrogenAnneal: null,
  pickled: null,
  delayedH: null,
  firstTrip: null,
  strengthMPa: null,
  slipOrGrabLogged: null,
  repeatsInCast: null,
  tests: {},
  process: null,
  notes: null,
};

/** An empty break. Identifier and time are passed in: the model has no clock and no randomness. */
export function newBreak(id: string, number: string, at: string): WireBreak {
  return {
    version: RECORD_VERSION,
    id,
    number,
    revision: 0,
    createdAt: at,
    updatedAt: at,
    rolesKnown: true,
    ends: { machine: EMPTY_END, takeUp: EMPTY_END },
    context: EMPTY_CONTEXT,
    pairing: { mate: null, d0AgreePct: null },
    confirmations: [],
    demo: false,
    binnedAt: null,
  };
}
