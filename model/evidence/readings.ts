import { is, isNot, num, seen, absentAnywhere, type Seen, type Sight } from "./sight.ts";
import { describeReduction } from "./reduction.ts";
import { LIMITS } from "./thresholds.ts";

/** A start of fracture at the skin, however it was marked; empty when none was seen. */
export function skinStart(s: Sight): readonly Seen[] {
  return [
    ...seen(s, "origin", (f) => (num(f, "r_over_R") ?? 0) >= LIMITS.skin.value),
    ...seen(s, "nick", (f) => is(f, "at_origin")),
    ...seen(s, "corrosion_pit", (f) => is(f, "at_origin")),
  ];
}

/** Whether somebody looked for a start at the rim: a start was marked, or a skin feature was looked for and absent. */
export const rimWasRead = (s: Sight): boolean =>
  seen(s, "origin").length > 0 ||
  (["origin", "longitudinal_line", "nick", "surface_crack"] as const).some((feature) => absentAnywhere(s, feature));

/** A joint band on any end. */
export const jointBand = (s: Sight): readonly Seen[] => seen(s, "weld_band");

/** Particles that were not shown to be loose. */
export const particles = (s: Sight): readonly Seen[] => seen(s, "particle", (f) => !isNot(f, "present_after_clean"));

/** Hollows whose wall carries the print of a particle. */
export const sockets = (s: Sight): readonly Seen[] =>
  seen(s, "end_hole", (f) => f.measures["wall_texture"] === "particle_imprint");

/** Whether a particle sits at the tip of a cone or in the middle of the face. */
export const particleAtTip = (s: Sight): boolean =>
  seen(s, "cone_apex", (f) => is(f, "particle_at_apex")).length > 0 ||
  particles(s).some(({ f }) => (num(f, "r_over_R") ?? 1) <= LIMITS.offAxis.value);

/** Whether a central burst or a void is in question at all: a cone, a hole or a chevron was marked. */
export const centreInPlay = (s: Sight): boolean =>
  seen(s, "cone_apex").length + seen(s, "cone_flank").length + seen(s, "end_hole").length + seen(s, "chevron").length >
  0;

/** No neck: "yes", "no", or "unknown" when nobody measured, or when the neck belongs to a later pull. */
export function withoutNeck(s: Sight): "yes" | "no" | "unknown" {
  if (testResult(s, "pulled_after_removal") === true) return "unknown";
  if (s.ra === "suppressed") return "yes";
  if (s.ra !== null) return "no";
  return absentAnywhere(s, "neck") ? "yes" : "unknown";
}

/** The necks that were measured. */
export const necks = (s: Sight): readonly Seen[] => seen(s, "neck");

/** Reduction of area in words, over the measured ends. */
export function sayReduction(s: Sight): string {
  const texts = s.ends.flatMap((e) => (e.reduction === null ? [] : [describeReduction(e.reduction)]));
  return texts.length === 0 ? "reduction of area not measured" : [...new Set(texts)].join("; ");
}

/** Square fracture planes. */
export const flatPlanes = (s: Sight): readonly Seen[] =>
  seen(s, "fracture_plane", (f) => {
    const profile = f.measures["profile"];
    return profile === "flat" || (profile === undefined && (num(f, "angle_deg") ?? 0) >= LIMITS.planeFlatFrom.value);
  });

const inSlant = (angle: number | null) =>
  angle !== null && angle >= LIMITS.slantFrom.value && angle <= LIMITS.slantTo.value;

/** Slant fracture planes near 45°. */
export const slantPlanes = (s: Sight): readonly Seen[] =>
  seen(s, "fracture_plane", (f) => inSlant(num(f, "angle_deg")) && f.measures["profile"] !== "flat");

/** Draw lines that run as a helix. */
export const helices = (s: Sight): readonly Seen[] =>
  seen(s, "twist_lines", (f) => (num(f, "helix_angle_deg") ?? 0) >= LIMITS.helix.value);

/** Lines along the wire on an end where the fracture starts at the skin. */
export function linesAtStart(s: Sight): readonly Seen[] {
  const starts = seen(s, "origin", (f) => (num(f, "r_over_R") ?? 0) >= LIMITS.skin.value);
  return starts.length === 0 ? [] : seen(s, "longitudinal_line");
}

/** Half of the included angle, or the flank angle, in degrees, of every cone and chevron-free flank. */
export const flankAngles = (s: Sight): readonly { readonly at: Seen; readonly deg: number }[] =>
  seen(s, "cone_flank").flatMap((at) => {
    const included = num(at.f, "included_angle_deg");
    const deg = num(at.f, "flank_angle_deg") ?? (included === null ? null : included / 2);
    return deg === null ? [] : [{ at, deg }];
  });

/** Test result in hand: true, false, or null when the test was not done. */
export function testResult(s: Sight, key: string): boolean | null {
  const value = s.context.tests[key];
  return typeof value === "boolean" ? value : null;
}
