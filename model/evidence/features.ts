import type { GeometryType } from "../break/geometry.ts";

/** Views a photograph can show. Names follow the observation sheet. */
export const VIEW_IDS = [
  "end_on",
  "side_0",
  "side_90",
  "tilt_45",
  "section_long",
  "section_trans",
  "surface",
  "both_ends",
  "other",
] as const;
export type ViewId = (typeof VIEW_IDS)[number];

/** The kinds of view a feature is marked on: E end-on, S side profile, L longitudinal section, T transverse section. */
export type ViewKind = "E" | "S" | "L" | "T";

export const VIEW_KIND: Readonly<Record<ViewId, ViewKind | null>> = {
  end_on: "E",
  side_0: "S",
  side_90: "S",
  tilt_45: "E",
  section_long: "L",
  section_trans: "T",
  surface: "S",
  both_ends: "S",
  other: null,
};

export const VIEW_NAME: Readonly<Record<ViewId, string>> = {
  end_on: "end-on",
  side_0: "side, 0°",
  side_90: "side, 90°",
  tilt_45: "tilted 45°",
  section_long: "longitudinal section",
  section_trans: "transverse section",
  surface: "surface of the wire",
  both_ends: "both ends together",
  other: "other view",
};

export type MeasureUnit = "mm" | "µm" | "%" | "°" | "D" | "1" | "count" | "clock" | "HV" | "/100D";

export type MeasureSpec =
  | {
      readonly key: string;
      readonly kind: "number";
      readonly label: string;
      readonly unit: MeasureUnit;
      readonly min?: number;
      readonly max?: number;
    }
  | { readonly key: string; readonly kind: "flag"; readonly label: string }
  | {
      readonly key: string;
      readonly kind: "choice";
      readonly label: string;
      readonly choices: readonly string[];
    }
  | { readonly key: string; readonly kind: "text"; readonly label: string };

const num = (
  key: string,
  label: string,
  unit: MeasureUnit,
  min = 0,
  max?: number,
): MeasureSpec => ({ key, kind: "number", label, unit, min, ...(max === undefined ? {} : { max }) });
const flag = (key: string, label: string): MeasureSpec => ({ key, kind: "flag", label });
const choice = (key: string, label: string, ...choices: string[]): MeasureSpec => ({
  key,
  kind: "choice",
  label,
  choices,
});
const text = (key: string, label: string): MeasureSpec => ({ key, kind: "text", label });

const area = num("area_fraction", "share of the face", "1", 0, 1);

export interface FeatureSpec {
  readonly code: string;
  readonly id: string;
  /** Neutral name: what is seen, never what it means. */
  readonly name: string;
  readonly terms: readonly string[];
  /** 1 = always at hand, 2 = on request. */
  readonly tier: 1 | 2;
  readonly views: readonly ViewKind[];
  /** Geometry by view kind; the first is the usual one. */
  readonly geometry: Partial<Readonly<Record<ViewKind, readonly GeometryType[]>>>;
  readonly measures: readonly MeasureSpec[];
}

const row = <const I extends string>(
  code: string,
  id: I,
  name: string,
  terms: readonly string[],
  tier: 1 | 2,
  geometry: FeatureSpec["geometry"],
  measures: readonly MeasureSpec[],
) => ({ code, id, name, terms, tier, views: Object.keys(geometry) as ViewKind[], geometry, measures });

/**
 * The feature vocabulary: neutral names of what can be seen on an end.
 *
 * @source asm12-macro, ratchet, beach for the fractographic terms; geometry and measures: common practice, no source.
 */
export const FEATURES = [
  row("F01", "wire_outline", "wire outline", ["wire diameter", "outline"], 1,
    { E: ["ellipse"], S: ["edges"], T: ["ellipse"] },
    [num("d0_mm", "wire diameter D", "mm"), num("ovality_pct", "ovality", "%"), flag("straight", "straight up to the break")]),
  row("F02", "neck", "neck", ["waist", "necking"], 1,
    { S: ["line"] },
    [num("neck_d_mm", "neck diameter", "mm"), num("ra_pct", "reduction of area", "%", 0, 100), num("ra_ratio", "RA ratio to the reference pull", "1"),
     num("neck_length_d", "neck length", "D"), flag("one_sided", "one-sided")]),
  row("F03", "cone_apex", "cone tip", ["apex"], 1,
    { S: ["point"], E: ["point"], L: ["point"] },
    [num("apex_offset_ratio", "distance of the tip from the axis / R", "1"),
     choice("apex_direction", "tip points", "toward_spool", "toward_machine", "unknown"), flag("particle_at_apex", "particle at the tip")]),
  row("F04", "cone_flank", "cone flank", ["cone wall"], 1,
    { S: ["angle"], L: ["angle"] },
    [num("flank_angle_deg", "flank angle to the axis", "°", 0, 90), num("included_angle_deg", "included angle", "°", 0, 180),
     num("cone_base_over_D", "cone base / D", "1"), num("cone_height_d", "cone height", "D"),
     choice("flank_texture", "flank texture", "granular", "smooth", "fibrous", "smeared")]),
  row("F05", "end_hole", "hole", ["hollow", "cavity", "cup (neutral)"], 1,
    { E: ["ellipse", "polygon"], L: ["ellipse", "polygon"], T: ["ellipse", "polygon"] },
    [num("hole_d_over_D", "hole / D", "1"), num("offset_ratio", "distance of the hole from the axis / R", "1"), num("depth_d", "depth", "D"),
     choice("shape", "shape", "conical", "parallel", "irregular", "shallow"),
     choice("wall_texture", "wall texture", "torn", "granular", "dendritic", "oxidised", "smooth", "particle_imprint", "fibrous"),
     flag("floor_seen", "floor seen"), flag("runs_past_break", "runs on in the section, parallel, by 2 D or more")]),
  row("F06", "fibrous_zone", "fibrous centre", ["flat dull floor"], 1,
    { E: ["polygon", "ellipse"] }, [area, num("diameter_over_D", "diameter / D", "1")]),
  row("F07", "radial_marks", "radial marks", ["radial zone", "star", "ridges"], 1,
    { E: ["polyline"] }, [area, num("converge_r", "meeting point r/R", "1", 0, 1)]),
  row("F08", "shear_lip", "shear lip", ["slant rim"], 1,
    { E: ["polygon", "polyline"], S: ["angle"] },
    [num("lip_width_ratio", "lip width / D", "1"), num("lip_arc_fraction", "share of the rim", "1", 0, 1), num("lip_angle_deg", "lip angle to the axis", "°", 0, 90)]),
  row("F09", "bright_facets", "bright facets", ["cleavage", "crystalline sparkle"], 1,
    { E: ["polygon"] }, [area, num("facet_um", "facet size", "µm")]),
  row("F10", "rock_candy", "granular face", ["intergranular", "rock candy"], 1,
    { E: ["polygon"] }, [area, num("grain_um", "grain size", "µm"), flag("dark_oxide", "dark oxide on the facets")]),
  row("F11", "particle", "particle", ["inclusion", "foreign body", "slag"], 1,
    { E: ["polygon", "ellipse"], S: ["polygon", "ellipse"], L: ["polygon", "ellipse"] },
    [num("size_over_D", "size / D", "1"), num("r_over_R", "distance from the axis r/R", "1", 0, 1), flag("magnetic", "magnetic"), text("colour", "colour"),
     flag("present_after_clean", "still there after cleaning"), text("eds", "EDS composition"), flag("imaged_before_clean", "photographed before cleaning")]),
  row("F12", "fracture_plane", "fracture plane", ["fracture angle", "slant"], 1,
    { S: ["angle"] },
    [num("angle_deg", "angle to the axis", "°", 0, 90), area, choice("profile", "profile", "flat", "stepped", "slant", "helical", "lengthwise")]),
  row("F13", "origin", "start of fracture", ["origin", "nucleation site"], 1,
    { E: ["point", "polyline"] },
    [num("r_over_R", "distance from the axis r/R", "1", 0, 1.2), num("clock", "clock position", "clock", 0, 12), num("count", "number of starts", "count")]),
  row("F14", "beach_marks", "arrest lines", ["beach marks", "clamshell"], 1,
    { E: ["polyline"] }, [num("spacing_um", "spacing", "µm"), num("count", "number", "count"), area]),
  row("F15", "ratchet_marks", "ratchet marks", ["ratchets"], 1,
    { E: ["line", "polyline"] }, [num("count", "number", "count")]),
  row("F16", "final_zone", "final zone", ["fast fracture", "last ligament"], 1,
    { E: ["polygon"] }, [area, flag("opposite_origin", "opposite the start")]),
  row("F17", "longitudinal_line", "line along the wire", ["seam", "lap line", "die line", "score"], 1,
    { S: ["line", "polyline"], T: ["line"] },
    [num("length_d", "length", "D"), num("depth_over_D", "depth / D", "1"), flag("oxide", "oxide in it"), flag("decarb", "decarburised rim"),
     flag("same_clock_both_ends", "same clock position on both ends"), flag("runs_past_break", "runs past the break")]),
  row("F18", "surface_crack", "cracks across the surface", ["crow's feet", "ladder cracks", "checks"], 1,
    { S: ["polyline", "line"] },
    [num("count", "number", "count"), num("spacing_d", "spacing", "D"), num("depth_over_D", "depth / D", "1"), num("arc_fraction", "share of the circumference", "1", 0, 1)]),
  row("F19", "nick", "nick", ["gouge", "dent", "cut"], 1,
    { S: ["polygon"], E: ["polygon"] },
    [num("depth_over_D", "depth / D", "1"), num("length_d", "length", "D"), flag("fresh", "fresh metal"), flag("at_origin", "at the start of fracture"),
     flag("both_ends_match", "matches on both ends"), flag("drawn_over", "drawn over (smoothed, stretched)")]),
  row("F20", "twist_lines", "draw lines against the axis", ["helical draw lines"], 1,
    { S: ["angle"] },
    [num("helix_angle_deg", "helix angle", "°", 0, 90), choice("hand", "hand", "left", "right"), num("turns_per_100d", "turns in 100 D", "/100D")]),
  row("F21", "bend_set", "bend set", ["kink", "permanent bend", "hinge"], 1,
    { S: ["angle"] },
    [num("bend_angle_deg", "bend angle", "°", 0, 180), num("radius_d", "radius", "D"), flag("lip_on_inside", "lip on the inner side"), flag("both_ends", "on both ends in one plane")]),
  row("F22", "longitudinal_split", "split along the wire", ["delamination"], 1,
    { S: ["line", "polyline"], E: ["line"], L: ["line"] },
    [num("length_d", "length past the break", "D"), flag("through_axis", "through the axis"), flag("spiral", "spiral")]),
  row("F23", "heat_tint", "heat tint", ["temper colour", "blueing", "halo"], 1,
    { S: ["polygon"] }, [text("colour", "colour"), num("length_d", "length", "D"), flag("symmetrical", "the same on both ends")]),
  row("F24", "weld_band", "joint band", ["weld", "upset", "dressed zone"], 1,
    { S: ["polygon"], L: ["polygon"] },
    [num("length_d", "length", "D"), num("local_d_ratio", "local diameter / D", "1"), flag("symmetrical", "the same on both ends"), flag("dress_marks", "dressing marks")]),
  row("F25", "face_damage", "damaged face", ["smear", "rub", "post-break damage"], 1,
    { E: ["polygon"] }, [area, choice("kind", "kind", "rub", "hammered", "cut", "dirt", "corroded")]),
  row("F26", "chevron", "chevrons in the section", ["V crack", "burst in section"], 2,
    { L: ["angle"] },
    [num("count", "number", "count"), num("pitch_d", "pitch", "D"), num("included_angle_deg", "included angle", "°", 0, 180),
     choice("tips", "tips point", "all_toward_spool", "all_toward_machine", "both"), num("width_over_D", "width / D", "1"), num("section_length_d", "length of section looked at", "D")]),
  row("F27", "sliver", "sliver", ["shell", "flake"], 2,
    { S: ["polygon"] }, [num("length_d", "length", "D"), flag("attached", "attached"), flag("oxide_under", "oxide under it")]),
  row("F28", "drag_scoring", "drag scoring", ["galling", "scoring", "shaving"], 2,
    { S: ["polygon"] }, [num("arc_fraction", "share of the circumference", "1", 0, 1), num("length_d", "length", "D")]),
  row("F29", "swirl", "swirl", ["circular smear"], 2,
    { E: ["polygon"] }, [area, num("center_r", "centre of the swirl r/R", "1", 0, 1)]),
  row("F30", "secondary_crack", "side crack", ["secondary crack", "branch"], 2,
    { S: ["line", "polyline"], L: ["line", "polyline"] }, [num("count", "number", "count"), flag("branched", "branched"), num("distance_d", "distance from the break", "D")]),
  row("F31", "melt_bead", "melt bead", ["ball", "drop", "molten end"], 2,
    { S: ["ellipse"] }, [num("bead_d_ratio", "bead / D", "1"), flag("shrink_pits", "shrink pits"), flag("coarse_grains", "coarse grains behind it")]),
  row("F32", "face_deposit", "deposit on the face", ["oxide", "scale", "rust", "crust"], 2,
    { E: ["polygon"] }, [area, text("colour", "colour"), flag("removed_by_clean", "removed by cleaning")]),
  row("F33", "corrosion_pit", "pit", ["corrosion pit"], 2,
    { S: ["ellipse"], E: ["ellipse"] }, [num("depth_over_D", "depth / D", "1"), num("count", "number", "count"), flag("at_origin", "at the start of fracture")]),
  row("F34", "bright_patch", "bright rubbed patch", ["rub burn", "white-layer patch"], 2,
    { S: ["polygon"] }, [num("length_d", "length", "D"), num("arc_fraction", "share of the circumference", "1", 0, 1), num("hv", "micro-hardness", "HV")]),
] as const;

export type FeatureId = (typeof FEATURES)[number]["id"];
export const FEATURE_IDS = FEATURES.map((f) => f.id) as readonly FeatureId[];

const byId = new Map<string, FeatureSpec>(FEATURES.map((f) => [f.id, f]));

/** The row of a feature. @throws RangeError when the id is not in the vocabulary. */
export function featureSpec(id: FeatureId): FeatureSpec {
  const spec = byId.get(id);
  if (spec === undefined) throw new RangeError(`No feature is called "${id}".`);
  return spec;
}

export const isFeatureId = (id: string): id is FeatureId => byId.has(id);
