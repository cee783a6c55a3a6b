import type { FeatureId } from "../../../model/evidence/features.ts";
import type {
  EndRole,
  EvidenceContext,
  MeasureValue,
  ObservedEnd,
  ObservedFeature,
  Observations,
} from "../../../model/evidence/observations.ts";

/** A context in which nothing is known. */
export const NOTHING_KNOWN: EvidenceContext = {
  metal: null,
  grade: null,
  wireMm: null,
  drawDirectionKnown: true,
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
  refRaPct: null,
  slipOrGrabLogged: null,
  repeatsInCast: null,
  d0AgreePct: null,
  mate: null,
  tests: {},
  process: null,
};

type Measures = Readonly<Record<string, MeasureValue>>;

export const present = (
  feature: FeatureId,
  measures: Measures = {},
  uncertainty: Readonly<Record<string, number>> = {},
): ObservedFeature => ({ feature, state: "present", measures, uncertainty, markIds: [`${feature}-mark`] });
export const absent = (feature: FeatureId, measures: Measures = {}): ObservedFeature => ({
  ...present(feature, measures),
  state: "absent",
});
export const unreadable = (feature: FeatureId): ObservedFeature => ({ ...present(feature), state: "not_assessable" });

export const end = (role: EndRole, ...features: readonly ObservedFeature[]): ObservedEnd => ({
  role,
  recovered: true,
  views: ["end_on", "side_0"],
  features,
});
export const lost = (role: EndRole): ObservedEnd => ({ role, recovered: false, views: [], features: [] });

export const observed = (ends: readonly ObservedEnd[], context: Partial<EvidenceContext> = {}): Observations => ({
  id: "constructed",
  ends,
  context: { ...NOTHING_KNOWN, ...context },
});

/** The same features on both ends. */
export const both = (context: Partial<EvidenceContext>, ...features: readonly ObservedFeature[]): Observations =>
  observed([end("machine", ...features), end("spool", ...features)], context);

/** A neck of a given RA ratio. */
export const neck = (ratio: number, more: Measures = {}): ObservedFeature =>
  present("neck", { ra_ratio: ratio, ...more });

export const COPPER: Partial<EvidenceContext> = { metal: "copper", grade: "ETP hard" };
export const ALUMINIUM: Partial<EvidenceContext> = { metal: "aluminium", grade: "1350 hard" };
export const STEEL: Partial<EvidenceContext> = { metal: "steel", grade: "pearlitic 0.8 C" };

export const cone = (base = 0.6, more: Measures = {}): readonly ObservedFeature[] => [
  present("cone_apex", { apex_offset_ratio: 0.05 }),
  present("cone_flank", { flank_angle_deg: 43, cone_base_over_D: base, flank_texture: "granular", ...more }),
];
export const hole = (measures: Measures = {}): ObservedFeature =>
  present("end_hole", {
    hole_d_over_D: 0.6,
    offset_ratio: 0.05,
    depth_d: 0.4,
    shape: "conical",
    wall_texture: "granular",
    ...measures,
  });
export const skinStart = present("origin", { r_over_R: 1, clock: 3 });
export const flat = present("fracture_plane", { angle_deg: 90, profile: "flat" });
export const slant = present("fracture_plane", { angle_deg: 45, area_fraction: 0.95, profile: "slant" });
