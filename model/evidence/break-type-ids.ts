/** The seventeen break types, in the order of the trade list, and the respected answer that none is proved. */
export const BREAK_TYPE_IDS = [
  "tensile_overload",
  "central_burst",
  "casting_void",
  "inclusion",
  "surface_defect",
  "mechanical_damage",
  "weld_break",
  "torsion",
  "bending",
  "fatigue",
  "hydrogen_damage",
  "hot_crack",
  "surface_martensite",
  "corrosion_scc",
  "longitudinal_split",
  "shear_45",
  "overheated",
] as const;

export type BreakTypeId = (typeof BREAK_TYPE_IDS)[number];
export type Verdict = BreakTypeId | "undetermined";
