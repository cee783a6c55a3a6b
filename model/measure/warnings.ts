import type { EndSide, Photograph, WireBreak } from "../break/wire-break.ts";
import { END_SIDES } from "../break/wire-break.ts";
import { VIEW_KIND, featureSpec } from "../evidence/features.ts";
import type { FeatureId } from "../evidence/features.ts";
import type { MeasureChoice } from "./measure.ts";
import { measureMark } from "./measures.ts";
import { diameterDifferencePct } from "./observe.ts";
import { checkAgainstWire } from "./diameter-check.ts";
import { isOverdue, sizeFault } from "./profile.ts";
import type { ScaleProfile } from "./profile.ts";
import { scaleFault } from "./scale.ts";
import { outlinesOn } from "./wire-frame.ts";

/** One thing about scale and measures the reader should know. */
export interface ScaleWarning {
  readonly code:
    | "no-scale"
    | "scale-unusable"
    | "uncertainty-not-stated"
    | "profile-overdue"
    | "profile-other-size"
    | "scale-disagrees-with-wire"
    | "nominal-diameter-only"
    | "diameters-differ"
    | "diameter-off-nominal"
    | "neck-exceeds-original"
    | "reduction-implausible"
    | "states-differ";
  readonly says: string;
  readonly side: EndSide | null;
  readonly photographId: string | null;
  readonly markIds: readonly string[];
}

/** Wire diameters of the two ends further apart than this are not neighbours, percent. @source common practice, no source */
export const ENDS_DIFFER_ABOVE_PCT = 3;
/** A measured diameter further than this from nominal suggests a wrong scale, percent. @source common practice, no source */
export const OFF_NOMINAL_ABOVE_PCT = 10;
/** RA above this share of the reference pull is hardly possible. @source common practice, no source */
export const RA_RATIO_IMPLAUSIBLE_ABOVE = 1.3;

export interface WarningFacts {
  /** Profiles the bench knows. */
  readonly profiles?: readonly Pick<ScaleProfile, "id" | "name" | "dueAt">[];
  /** Present time, ISO 8601; without it no profile counts as overdue. */
  readonly now?: string;
}

const SIDE_NAME: Readonly<Record<EndSide, string>> = { machine: "machine end", takeUp: "take-up end" };

/** Plain warnings about scale and measures of a break, for the bench and the sheet. */
export function measureWarnings(
  wireBreak: WireBreak,
  facts: WarningFacts = {},
  choice: MeasureChoice = {},
): readonly ScaleWarning[] {
  const warnings = END_SIDES.flatMap((side) => [
    ...wireBreak.ends[side].photographs.flatMap((p) => [
      ...photographWarnings(wireBreak, side, p, facts),
      ...wireWarnings(wireBreak, side, p, choice),
    ]),
    ...markWarnings(wireBreak, side, choice),
    ...stateConflicts(wireBreak, side),
  ]);
  return [...warnings, ...diameterWarnings(wireBreak, choice)];
}

function photographWarnings(
  wireBreak: WireBreak,
  side: EndSide,
  photograph: Photograph,
  facts: WarningFacts,
): ScaleWarning[] {
  const { scale, id } = photograph;
  const about = { side, photographId: id, markIds: [] };
  if (scale === null)
    return VIEW_KIND[photograph.view] === null
      ? []
      : [{ code: "no-scale", says: `${photograph.fileName} has no scale: ratios and angles only.`, ...about }];
  const fault = scaleFault(scale);
  if (fault !== null) return [{ code: "scale-unusable", says: `${photograph.fileName}: ${fault}`, ...about }];
  switch (scale.method) {
    case "stated":
      return scale.pxPerMm.u > 0
        ? []
        : [
            {
              code: "uncertainty-not-stated",
              says: `The scale of ${photograph.fileName} came without an uncertainty: lengths in mm have none either.`,
              ...about,
            },
          ];
    case "profile":
      return [
        ...overdueSaid(scale, photograph, facts).map((says) => ({ code: "profile-overdue" as const, says, ...about })),
        ...otherSizeSaid(scale, photograph).map((says) => ({ code: "profile-other-size" as const, says, ...about })),
      ];
    case "wire-diameter": {
      const { nominalDiameterMm, measuredDiameterMm } = wireBreak.context;
      return measuredDiameterMm === null && scale.diameterMm.value === nominalDiameterMm
        ? [
            {
              code: "nominal-diameter-only",
              says: `The scale of ${photograph.fileName} rests on the nominal diameter. Measure the wire with a micrometer.`,
              ...about,
            },
          ]
        : [];
    }
    case "drawn-length":
      return [];
  }
}

type ProfileScale = Extract<NonNullable<Photograph["scale"]>, { method: "profile" }>;

/** Overdue when the photograph was taken, or overdue by now and not read again since. */
function overdueSaid(scale: ProfileScale, photograph: Photograph, { profiles, now }: WarningFacts): readonly string[] {
  const profile = profiles?.find((p) => p.id === scale.profileId);
  const name = profile?.name ?? scale.name;
  const { calibration } = scale;
  const taken = photograph.capturedAt ?? now;
  if (calibration !== undefined && taken !== undefined && isOverdue(calibration, taken))
    return [
      `The profile “${name}” was overdue since ${calibration.dueAt.slice(0, 10)} when ${photograph.fileName} was taken. Read the stage micrometer again.`,
    ];
  return profile !== undefined && now !== undefined && isOverdue(profile, now)
    ? [`The profile “${name}” is overdue since ${profile.dueAt.slice(0, 10)}. Read the stage micrometer again.`]
    : [];
}

function otherSizeSaid(scale: ProfileScale, photograph: Photograph): readonly string[] {
  const fault = sizeFault(scale.calibration?.picturePx, photograph);
  return fault === null ? [] : [`${photograph.fileName}: ${fault} Set its scale another way.`];
}

/** A scale that the wire itself contradicts. Far from nominal has a warning of its own. */
function wireWarnings(
  wireBreak: WireBreak,
  side: EndSide,
  photograph: Photograph,
  choice: MeasureChoice,
): ScaleWarning[] {
  const end = wireBreak.ends[side];
  const check = checkAgainstWire(end, photograph, wireBreak, choice);
  if (check === null || check.says === null) return [];
  if (check.known === "nominal" && Math.abs(check.differencePct) > OFF_NOMINAL_ABOVE_PCT) return [];
  const markIds = outlinesOn(end, photograph.id).map((m) => m.id);
  const says = `${photograph.fileName}: ${check.says}`;
  return [{ code: "scale-disagrees-with-wire", says, side, photographId: photograph.id, markIds }];
}

function markWarnings(wireBreak: WireBreak, side: EndSide, choice: MeasureChoice): ScaleWarning[] {
  const end = wireBreak.ends[side];
  return end.marks.flatMap((mark): ScaleWarning[] => {
    if (mark.state !== "present" || (mark.feature !== "neck" && mark.feature !== "wire_outline")) return [];
    const photograph = end.photographs.find((p) => p.id === mark.photographId) ?? null;
    const { measures, absent } = measureMark(mark, { photograph, end, side, wireBreak }, choice);
    const about = { side, photographId: mark.photographId, markIds: [mark.id] };
    const exceeds = absent.find((a) => a.code === "neck-exceeds-original");
    if (exceeds)
      return [{ code: "neck-exceeds-original", says: `${capital(SIDE_NAME[side])}: ${exceeds.reason}`, ...about }];
    const ratio = measures.find((m) => m.key === "ra_ratio");
    if (ratio && typeof ratio.value === "number" && ratio.value - 2 * (ratio.u ?? 0) > RA_RATIO_IMPLAUSIBLE_ABOVE)
      return [
        {
          code: "reduction-implausible",
          says: `${capital(SIDE_NAME[side])}: the reduction of area is ${ratio.value.toFixed(1)} times that of the reference pull. Check the neck, the wire diameter and the reference.`,
          ...about,
        },
      ];
    const d0 = measures.find((m) => m.key === "d0_mm");
    const nominal = wireBreak.context.nominalDiameterMm;
    if (!d0 || typeof d0.value !== "number" || nominal === null || !(nominal > 0)) return [];
    const off = 100 * (d0.value / nominal - 1);
    return Math.abs(off) > OFF_NOMINAL_ABOVE_PCT
      ? [
          {
            code: "diameter-off-nominal",
            says: `${capital(SIDE_NAME[side])}: the wire measures ${Math.abs(off).toFixed(0)} % ${off > 0 ? "above" : "below"} nominal. Check the scale and where the outline was drawn.`,
            ...about,
          },
        ]
      : [];
  });
}

function diameterWarnings(wireBreak: WireBreak, choice: MeasureChoice): ScaleWarning[] {
  const stated = wireBreak.pairing.d0AgreePct;
  const differencePct = stated ?? diameterDifferencePct(wireBreak, choice)?.differencePct ?? 0;
  if (differencePct <= ENDS_DIFFER_ABOVE_PCT) return [];
  const says = `The wire diameters of the two ends differ by ${differencePct.toFixed(1)} %. Check that both ends belong to one break.`;
  return [{ code: "diameters-differ", says, side: null, photographId: null, markIds: [] }];
}

/** Features that one photograph of an end shows and another was marked as not showing. Seen once counts as present. */
export function stateConflicts(wireBreak: WireBreak, side: EndSide): ScaleWarning[] {
  const { marks } = wireBreak.ends[side];
  const features = new Set<FeatureId>(marks.filter((m) => m.state === "present").map((m) => m.feature));
  return [...features].flatMap((feature): ScaleWarning[] => {
    const absent = marks.filter((m) => m.feature === feature && m.state === "absent");
    if (absent.length === 0) return [];
    const markIds = marks.filter((m) => m.feature === feature && m.state !== "not_assessable").map((m) => m.id);
    const says = `${capital(SIDE_NAME[side])}: “${featureSpec(feature).name}” is marked both as present and as absent. It counts as present; check the marks.`;
    return [{ code: "states-differ", says, side, photographId: null, markIds }];
  });
}

const capital = (text: string) => text.charAt(0).toUpperCase() + text.slice(1);
