import type { BreakTypeId } from "./break-type-ids.ts";

/** Short names of the break types inside a sentence. */
export const BREAK_TYPE_NAMES: Readonly<Record<BreakTypeId, string>> = {
  tensile_overload: "ductile tensile overload",
  central_burst: "central burst",
  casting_void: "casting void",
  inclusion: "inclusion",
  surface_defect: "surface defect",
  mechanical_damage: "mechanical damage",
  weld_break: "weld break",
  torsion: "torsion",
  bending: "bending",
  fatigue: "fatigue",
  hydrogen_damage: "hydrogen damage",
  hot_crack: "hot crack",
  surface_martensite: "surface martensite",
  corrosion_scc: "corrosion or stress-corrosion",
  longitudinal_split: "longitudinal split",
  shear_45: "single-plane shear",
  overheated: "overheating",
};
