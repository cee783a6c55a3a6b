import type { MeasureValue } from "../evidence/observations.ts";
import { EMPTY_CONTEXT } from "./new-break.ts";
import { CONTEXT_KEYS, type SheetInput } from "./observation-sheet-schema.ts";
import type { ObservationSheet, SheetContext } from "./observation-sheet-types.ts";
import type { BreakContext, Pairing, WireBreak } from "./wire-break.ts";

type ContextInput = NonNullable<SheetInput["context"]>;

/** Left out, null, empty and the word "unknown" all say the same: nobody knows. */
const known = (value: unknown): boolean =>
  value !== undefined && value !== null && value !== "unknown" && value !== "" && !empty(value);
const empty = (value: unknown): boolean =>
  typeof value === "object" && value !== null && !Array.isArray(value) && Object.keys(value).length === 0;

/** A context in today's spelling: unknown facts left out, dies as text, mate in words. */
export function tidyContext(input: ContextInput): SheetContext {
  const entries = Object.entries(input).filter(
    ([key, value]) =>
      known(value) &&
      !(key === "rendered" && value === false) &&
      !(key === "machine_order" && Array.isArray(value) && value.length === 0),
  );
  return Object.fromEntries(
    entries.map(([key, value]): [string, unknown] => {
      if (key === "mate" && typeof value === "boolean") return [key, value ? "yes" : "no"];
      if (key === "passes" && Array.isArray(value))
        return [key, (value as { die: string | number }[]).map((p) => ({ ...p, die: String(p.die) }))];
      if (key === "tests" && typeof value === "object" && value !== null)
        return [key, Object.fromEntries(Object.entries(value).filter(([, result]) => known(result)))];
      return [key, value];
    }),
  );
}

const RECORDED = "arrow recorded, machine end upstream";
const DIRECTION_WORDS = {
  recorded: RECORDED,
  "not-recorded": "not recorded",
  "not-applicable": "not applicable",
} as const satisfies Readonly<Record<BreakContext["drawDirection"], string>>;

/** Words that say the direction is not known, in whatever sentence they stand. */
const UNKNOWN_DIRECTION =
  /\b(not (recorded|known|noted|marked|given)|unknown|unrecorded|unsure|uncertain|lost|missing|no arrow|illegible)\b/i;
const NO_DIRECTION = /\b(not applicable|n\/a)\b/i;

/** Whether today's draw direction is known, read from the words of a sheet. */
export function drawDirectionIn(words: string | undefined): BreakContext["drawDirection"] {
  if (words === undefined || words.trim() === "" || UNKNOWN_DIRECTION.test(words)) return "not-recorded";
  return NO_DIRECTION.test(words) ? "not-applicable" : "recorded";
}

/**
 * The facts of a sheet as a break keeps them. Texts under keys of the mill's own, and draw directions in other words,
 * are kept as lines of the notes.
 */
export function contextFromSheet(sheet: ObservationSheet): {
  readonly context: BreakContext;
  readonly pairing: Pairing;
} {
  const c = sheet.context;
  const drawDirection = drawDirectionIn(c.draw_direction);
  const lines = [
    ...(c.notes === undefined ? [] : [c.notes]),
    ...(c.draw_direction === undefined || c.draw_direction === DIRECTION_WORDS[drawDirection]
      ? []
      : [`draw direction: ${c.draw_direction}`]),
    ...(["same_line_clock", "ends_swapped_check"] as const).flatMap((key) =>
      c[key] === undefined ? [] : [`${key.replaceAll("_", " ")}: ${c[key] ? "yes" : "no"}`],
    ),
    ...Object.entries(c).flatMap(([key, value]) =>
      CONTEXT_KEYS.has(key) || typeof value !== "string" ? [] : [`${key.replaceAll("_", " ")}: ${value}`],
    ),
  ];
  const context: BreakContext = {
    ...EMPTY_CONTEXT,
    metal: sheet.metal ?? null,
    grade: sheet.grade ?? null,
    temper: c.temper ?? null,
    nominalDiameterMm: sheet.wire_mm ?? null,
    measuredDiameterMm: c.measured_mm ?? null,
    measuredDiameterUMm: c.measured_u_mm ?? null,
    refRaPct: c.ref_ra_pct ?? null,
    refRaUPct: c.ref_ra_u_pct ?? null,
    cast: c.cast ?? null,
    rod: c.rod ?? null,
    coil: c.coil ?? null,
    spool: c.spool ?? null,
    machine: c.machine ?? null,
    position: c.position ?? null,
    lineSpeedMps: c.line_speed_mps ?? null,
    brokeAt: c.broke_at ?? null,
    drawDirection,
    machineOrder: c.machine_order ?? [],
    reversals: c.reversals ?? null,
    whichEndLeads: c.which_end_leads ?? null,
    transfers: c.transfers ?? null,
    passes:
      c.passes?.map((p) => ({ die: p.die, semiAngleDeg: p.semi_angle_deg, reductionPct: p.reduction_pct })) ?? null,
    weldLogDistanceM: c.weld_log_distance_m ?? null,
    weldLogClear: c.weld_log_clear ?? null,
    oxygenPpm: c.oxygen_ppm ?? null,
    hydrogenAnneal: c.hydrogen_anneal ?? null,
    pickled: c.pickled ?? null,
    delayedH: c.delayed_h ?? null,
    firstTrip: c.first_trip ?? null,
    strengthMPa: c.strength_mpa ?? null,
    slipOrGrabLogged: c.slip_or_grab_logged ?? null,
    repeatsInCast: c.repeats_in_cast ?? null,
    tests: c.tests ?? {},
    process: c.process ?? null,
    notes: lines.length === 0 ? null : lines.join("\n"),
  };
  return { context, pairing: { mate: c.mate ?? null, d0AgreePct: c.d0_agree_pct ?? null } };
}

/** The facts of a break as a sheet writes them; unknown ones are left out. */
export function contextToSheet(wireBreak: WireBreak): SheetContext {
  const { context: c, pairing } = wireBreak;
  const rendered =
    wireBreak.demo || Object.values(wireBreak.ends).some((end) => end.photographs.some((p) => p.rendered));
  const all: { readonly [K in keyof SheetContext]: SheetContext[K] | null } = {
    draw_direction: DIRECTION_WORDS[c.drawDirection],
    machine_order: c.machineOrder.length === 0 ? null : c.machineOrder,
    reversals: c.reversals,
    which_end_leads: c.whichEndLeads,
    transfers: c.transfers,
    passes:
      c.passes?.map((p) => ({ die: p.die, semi_angle_deg: p.semiAngleDeg, reduction_pct: p.reductionPct })) ?? null,
    weld_log_distance_m: c.weldLogDistanceM,
    weld_log_clear: c.weldLogClear,
    oxygen_ppm: c.oxygenPpm,
    hydrogen_anneal: c.hydrogenAnneal,
    pickled: c.pickled,
    delayed_h: c.delayedH,
    first_trip: c.firstTrip,
    strength_mpa: c.strengthMPa,
    ref_ra_pct: c.refRaPct,
    ref_ra_u_pct: c.refRaUPct,
    slip_or_grab_logged: c.slipOrGrabLogged,
    repeats_in_cast: c.repeatsInCast,
    tests: Object.keys(c.tests).length === 0 ? null : (c.tests as Readonly<Record<string, MeasureValue>>),
    d0_agree_pct: pairing.d0AgreePct,
    mate: pairing.mate,
    process: c.process,
    notes: c.notes,
    temper: c.temper,
    measured_mm: c.measuredDiameterMm,
    measured_u_mm: c.measuredDiameterUMm,
    cast: c.cast,
    rod: c.rod,
    coil: c.coil,
    spool: c.spool,
    machine: c.machine,
    position: c.position,
    line_speed_mps: c.lineSpeedMps,
    broke_at: c.brokeAt,
    rendered: rendered ? true : null,
  };
  return Object.fromEntries(Object.entries(all).filter(([, value]) => value !== null));
}
