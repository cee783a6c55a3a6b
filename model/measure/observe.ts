import type { End, EndSide, Mark, WireBreak } from "../break/wire-break.ts";
import { END_SIDES } from "../break/wire-break.ts";
import { FEATURE_IDS } from "../evidence/features.ts";
import type {
  EndRole,
  EvidenceContext,
  MarkState,
  MateReading,
  Observations,
  ObservedEnd,
  ObservedFeature,
} from "../evidence/observations.ts";
import { contextOfRoute } from "../route/route-context.ts";
import { joinMarks } from "./join-marks.ts";
import type { MeasureChoice } from "./measure.ts";
import { withBothDirections } from "./square-pixels.ts";
import { minus, over, scaled, standardUncertainty } from "./uncertain.ts";
import type { Quantity } from "./uncertain.ts";
import { drawnDiameterMm } from "./wire-frame.ts";

/**
 * What the evidence room may know of a break: marks, states, views and context joined, free of pixels.
 *
 * One end per side. The machine end comes first; an end that nobody has photographed, marked or called recovered is
 * left out (nothing is known of it), one that is known to be lost stays with `recovered: false`.
 */
export function observe(wireBreak: WireBreak, choice: MeasureChoice = {}): Observations {
  return {
    id: wireBreak.id,
    ends: END_SIDES.flatMap((side): ObservedEnd[] => {
      const end = wireBreak.ends[side];
      if (end.recovery === "not-recovered")
        return [{ role: roleOf(wireBreak, side), recovered: false, views: [], features: [] }];
      if (end.recovery === "awaited" && end.photographs.length === 0 && end.marks.length === 0) return [];
      return [observeEnd(wireBreak, side, end, choice)];
    }),
    context: observeContext(wireBreak, choice),
  };
}

/** Role of a side; unknown when it is not recorded which piece stayed in the machine. */
export const roleOf = (wireBreak: Pick<WireBreak, "rolesKnown">, side: EndSide): EndRole =>
  wireBreak.rolesKnown ? (side === "machine" ? "machine" : "spool") : "unknown";

function observeEnd(wireBreak: WireBreak, side: EndSide, end: End, choice: MeasureChoice): ObservedEnd {
  const features = FEATURE_IDS.flatMap((feature): ObservedFeature[] => {
    const marks = end.marks.filter((m) => m.feature === feature);
    if (marks.length === 0) return [];
    const state = joinedState(marks);
    if (state !== "present")
      return [
        {
          feature,
          state,
          measures: {},
          uncertainty: {},
          markIds: marks.filter((m) => m.state === state).map((m) => m.id),
        },
      ];
    const present = marks.filter((m) => m.state === "present");
    const { measures, uncertainty } = joinMarks(feature, present, { end, side, wireBreak }, choice);
    return [{ feature, state, measures, uncertainty, markIds: present.map((m) => m.id) }];
  });
  const views = new Set([...(end.statedViews ?? []), ...end.photographs.map((p) => p.view)]);
  return { role: roleOf(wireBreak, side), recovered: true, views: [...views], features };
}

/**
 * State of a feature of one end from all its marks: seen once is present; else looked for and absent anywhere is absent;
 * else it cannot be assessed. `stateConflicts` tells the reader where the marks disagree.
 */
export function joinedState(marks: readonly Pick<Mark, "state">[]): MarkState {
  if (marks.some((m) => m.state === "present")) return "present";
  return marks.some((m) => m.state === "absent") ? "absent" : "not_assessable";
}

function observeContext(wireBreak: WireBreak, choice: MeasureChoice): EvidenceContext {
  const { context: c, pairing } = wireBreak;
  // What was typed for this break wins; the route fills what was left open.
  const routed = wireBreak.route === undefined ? null : contextOfRoute(wireBreak.route);
  return {
    metal: c.metal,
    grade: c.grade,
    temper: c.temper,
    wireMm: c.measuredDiameterMm ?? c.nominalDiameterMm,
    // "not-applicable" is no draw direction: nothing about the place of origin may be read from it.
    drawDirectionKnown: c.drawDirection === "recorded",
    reversals: c.reversals ?? routed?.reversals ?? null,
    whichEndLeads: c.whichEndLeads,
    transfers: c.transfers ?? routed?.transfers ?? null,
    passes: c.passes ?? routed?.passes ?? null,
    weldLogDistanceM: c.weldLogDistanceM,
    weldLogClear: c.weldLogClear,
    oxygenPpm: c.oxygenPpm,
    hydrogenAnneal: c.hydrogenAnneal,
    pickled: c.pickled,
    delayedH: c.delayedH,
    firstTrip: c.firstTrip,
    strengthMPa: c.strengthMPa,
    refRaPct: c.refRaPct,
    slipOrGrabLogged: c.slipOrGrabLogged,
    repeatsInCast: c.repeatsInCast,
    d0AgreePct: pairing.d0AgreePct ?? diameterDifferencePct(wireBreak, choice)?.differencePct ?? null,
    mate: pairing.mate,
    mateReading: mateReading(wireBreak),
    tests: c.tests,
    process: c.process,
  };
}

/** The kept comparison of the faces, as long as both photographs it was made from are still filed under the two ends. */
function mateReading({ pairing: { fit }, ends }: WireBreak): MateReading | null {
  if (fit === undefined) return null;
  const [a, b] = END_SIDES.map((side) => new Set(ends[side].photographs.map((p) => p.id)));
  const { machinePhotographId: m, takeUpPhotographId: t } = fit;
  return (a?.has(m) && b?.has(t)) || (a?.has(t) && b?.has(m)) ? fit.says : null;
}

export interface DiameterDifference {
  /** |D(machine end) − D(take-up end)| over their mean, percent. */
  readonly differencePct: number;
  /** Standard uncertainty, percentage points. */
  readonly u: number;
}

/**
 * Difference of the wire diameters of the two ends.
 *
 * @returns null unless both are drawn at a scale of their own, or typed. A scale that was itself set by the wire diameter
 *   says nothing here: it would make the ends agree by assumption.
 */
export function diameterDifferencePct(wireBreak: WireBreak, choice: MeasureChoice = {}): DiameterDifference | null {
  const [a, b] = END_SIDES.map((side) => ownDiameter(wireBreak.ends[side], choice));
  if (!a || !b || !(a.value > 0) || !(b.value > 0)) return null;
  const ratio = over(minus(a, b), scaled({ value: a.value + b.value, shares: addShares(a, b) }, 0.5));
  return { differencePct: 100 * Math.abs(ratio.value), u: 100 * standardUncertainty(ratio) };
}

const addShares = (a: Quantity, b: Quantity) => minus(a, scaled(b, -1)).shares;

function ownDiameter(end: End, choice: MeasureChoice): Quantity | null {
  for (const mark of end.marks) {
    const typed = mark.feature === "wire_outline" && mark.state === "present" ? mark.given["d0_mm"] : undefined;
    if (typeof typed === "number" && typed > 0) return { value: typed, shares: new Map() };
  }
  const photographs = end.photographs.filter((p) => p.scale !== null && p.scale.method !== "wire-diameter");
  return withBothDirections(
    { ...end, photographs },
    (square) => drawnDiameterMm(square, null, choice.placingPx)?.diameterMm ?? null,
  );
}
