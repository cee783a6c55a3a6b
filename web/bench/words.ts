import type { BreakTypeId, Verdict } from "../../model/evidence/break-type-ids.ts";
import type { EndSide } from "../../model/break/wire-break.ts";
import type { MarkState } from "../../model/evidence/observations.ts";

/** Names of the break types as they stand on the screens and the sheet. */
export const TYPE_NAMES: Readonly<Record<Verdict, string>> = {
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
  corrosion_scc: "corrosion or stress corrosion",
  longitudinal_split: "longitudinal split",
  shear_45: "single-plane shear",
  overheated: "overheated",
  undetermined: "undecided",
};

export const typeName = (id: BreakTypeId | "undetermined" | string): string =>
  id in TYPE_NAMES ? TYPE_NAMES[id as Verdict] : id;

export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

export const SIDE_NAME: Readonly<Record<EndSide, string>> = { machine: "machine end", takeUp: "take-up end" };

export const STATE_NAME: Readonly<Record<MarkState, string>> = {
  present: "seen",
  absent: "looked for, absent",
  not_assessable: "cannot be assessed",
};
