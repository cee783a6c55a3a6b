import type { FeatureId } from "../../model/evidence/features.ts";

/** The letter or digit that picks a feature once the palette is open. */
export const FEATURE_KEYS: Readonly<Record<FeatureId, string>> = {
  wire_outline: "w",
  neck: "n",
  cone_apex: "a",
  cone_flank: "c",
  end_hole: "h",
  fibrous_zone: "f",
  radial_marks: "r",
  shear_lip: "l",
  bright_facets: "b",
  rock_candy: "g",
  particle: "p",
  fracture_plane: "v",
  origin: "o",
  beach_marks: "e",
  ratchet_marks: "t",
  final_zone: "z",
  longitudinal_line: "i",
  surface_crack: "x",
  nick: "k",
  twist_lines: "q",
  bend_set: "d",
  longitudinal_split: "s",
  heat_tint: "j",
  weld_band: "y",
  face_damage: "m",
  chevron: "1",
  sliver: "2",
  drag_scoring: "3",
  swirl: "4",
  secondary_crack: "5",
  melt_bead: "6",
  face_deposit: "7",
  corrosion_pit: "8",
  bright_patch: "9",
};

export const FEATURE_OF_KEY: ReadonlyMap<string, FeatureId> = new Map(
  Object.entries(FEATURE_KEYS).map(([feature, key]) => [key, feature as FeatureId]),
);
