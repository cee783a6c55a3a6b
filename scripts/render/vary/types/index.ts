import type { BreakTypeId } from "../../../../model/evidence/break-type-ids.ts";
import type { PartMaker } from "../part.ts";
import { castingCavity, centralBurst, inclusionBreak, tensileOverload } from "./core-starts.ts";
import { hotCrack, hydrogenDamage, longitudinalSplit, overheated } from "./grain-and-heat.ts";
import { corrosion, mechanicalDamage, singleShear, surfaceDefect, surfaceMartensite } from "./skin-starts.ts";
import { bendingBreak, fatigueBreak, torsionBreak, weldBreak } from "./square-faces.ts";

/** How a break of each type comes about. */
export const PART_MAKERS: Readonly<Record<BreakTypeId, PartMaker>> = {
  tensile_overload: tensileOverload,
  central_burst: centralBurst,
  casting_void: castingCavity,
  inclusion: inclusionBreak,
  surface_defect: surfaceDefect,
  mechanical_damage: mechanicalDamage,
  weld_break: weldBreak,
  torsion: torsionBreak,
  bending: bendingBreak,
  fatigue: fatigueBreak,
  hydrogen_damage: hydrogenDamage,
  hot_crack: hotCrack,
  surface_martensite: surfaceMartensite,
  corrosion_scc: corrosion,
  longitudinal_split: longitudinalSplit,
  shear_45: singleShear,
  overheated,
};
