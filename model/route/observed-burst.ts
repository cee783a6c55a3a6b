import type { MeasureValue, ObservedEnd, ObservedFeature, Observations } from "../evidence/observations.ts";
import { LIMITS } from "../evidence/thresholds.ts";
import type { BurstEvidence, Ductility, Measured } from "./birth-evidence.ts";

/** Reduction of area of the reference pull, percent, from which a wire carries a burst far. Common practice, no source. */
const DUCTILE_RA_PCT = 40;

const present = (end: ObservedEnd, id: ObservedFeature["feature"]): ObservedFeature | null =>
  end.features.find((f) => f.feature === id && f.state === "present") ?? null;

function measured(f: ObservedFeature | null, key: string): Measured | null {
  const value: MeasureValue | undefined = f?.measures[key];
  return typeof value === "number" && value > 0 ? { value, sd: f?.uncertainty[key] ?? null } : null;
}

/** Whether anything was seen that a central burst leaves: a cone tip, a flank, or chevrons in a section. */
export const showsBurst = (o: Observations): boolean =>
  o.ends.some((e) => present(e, "cone_apex") ?? present(e, "cone_flank") ?? present(e, "chevron"));

/** Which end carries the cone; null when none or both do, or when it is not known which end is which. */
function coneOn(o: Observations): BurstEvidence["coneOn"] {
  const [first, ...more] = o.ends.filter((e) => (present(e, "cone_apex") ?? present(e, "cone_flank")) !== null);
  if (first === undefined || more.length > 0 || first.role === "unknown") return null;
  return first.role === "machine" ? "machine" : "take-up";
}

function chevrons(o: Observations): BurstEvidence["chevrons"] {
  const tips = new Set(o.ends.map((e) => present(e, "chevron")?.measures["tips"]));
  if (tips.has("both") || (tips.has("all_toward_spool") && tips.has("all_toward_machine"))) return "both";
  if (tips.has("all_toward_spool")) return "with";
  return tips.has("all_toward_machine") ? "against" : null;
}

function flank(o: Observations): Measured | null {
  for (const end of o.ends) {
    const f = present(end, "cone_flank");
    const half = measured(f, "flank_angle_deg");
    const included = measured(f, "included_angle_deg");
    const found =
      half ??
      (included === null ? null : { value: included.value / 2, sd: included.sd === null ? null : included.sd / 2 });
    if (found !== null && found.value < 90) return found;
  }
  return null;
}

/** Chevron pitch in mm: it is recorded in diameters. The number of spacings is one less than the number of chevrons. */
function pitch(o: Observations): BurstEvidence["pitchMm"] {
  const d = o.context.wireMm;
  if (d === null) return null;
  for (const end of o.ends) {
    const f = present(end, "chevron");
    const p = measured(f, "pitch_d");
    const count = measured(f, "count");
    if (p === null) continue;
    return {
      value: p.value * d,
      sd: p.sd === null ? null : p.sd * d,
      spacings: Math.max(0, (count?.value ?? 0) - 1),
    };
  }
  return null;
}

/** From the reference pull alone: metal and temper say nothing certain of it. */
function ductility(o: Observations): Ductility {
  const ra = o.context.refRaPct;
  if (ra === null) return "unknown";
  return ra >= DUCTILE_RA_PCT ? "ductile" : "hard";
}

/** What was seen of a burst at the break, as the tracing of its birth reads it. */
export function burstEvidenceOf(o: Observations): BurstEvidence {
  return {
    coneOn: coneOn(o),
    endsKnown: o.ends.length > 0 && o.ends.every((e) => !e.recovered || e.role !== "unknown"),
    drawDirectionKnown: o.context.drawDirectionKnown,
    chevrons: chevrons(o),
    reversals: o.context.reversals,
    flankDeg: flank(o),
    pitchMm: pitch(o),
    ductility: ductility(o),
    highOxygen: (o.context.oxygenPpm ?? 0) >= LIMITS.oxygenHighPpm.value,
    porosity: o.context.tests["void_chains"] === true,
  };
}
