import type { Verdict } from "../break-type-ids.ts";
import { BENDING } from "./bending.ts";
import { CASTING_VOID } from "./casting_void.ts";
import { CENTRAL_BURST } from "./central_burst.ts";
import { CORROSION_SCC } from "./corrosion_scc.ts";
import { FATIGUE } from "./fatigue.ts";
import { HOT_CRACK } from "./hot_crack.ts";
import { HYDROGEN_DAMAGE } from "./hydrogen_damage.ts";
import { INCLUSION } from "./inclusion.ts";
import { LONGITUDINAL_SPLIT } from "./longitudinal_split.ts";
import { MECHANICAL_DAMAGE } from "./mechanical_damage.ts";
import { OVERHEATED } from "./overheated.ts";
import type { BreakTypePage } from "./page.ts";
import { SHEAR_45 } from "./shear_45.ts";
import { SURFACE_DEFECT } from "./surface_defect.ts";
import { SURFACE_MARTENSITE } from "./surface_martensite.ts";
import { TENSILE_OVERLOAD } from "./tensile_overload.ts";
import { TORSION } from "./torsion.ts";
import { UNDETERMINED } from "./undetermined.ts";
import { WELD_BREAK } from "./weld_break.ts";

/** One page for each type, and one for the answer that none is proved. */
export const BREAK_TYPE_PAGES: Readonly<Record<Verdict, BreakTypePage>> = {
  tensile_overload: TENSILE_OVERLOAD,
  central_burst: CENTRAL_BURST,
  casting_void: CASTING_VOID,
  inclusion: INCLUSION,
  surface_defect: SURFACE_DEFECT,
  mechanical_damage: MECHANICAL_DAMAGE,
  weld_break: WELD_BREAK,
  torsion: TORSION,
  bending: BENDING,
  fatigue: FATIGUE,
  hydrogen_damage: HYDROGEN_DAMAGE,
  hot_crack: HOT_CRACK,
  surface_martensite: SURFACE_MARTENSITE,
  corrosion_scc: CORROSION_SCC,
  longitudinal_split: LONGITUDINAL_SPLIT,
  shear_45: SHEAR_45,
  overheated: OVERHEATED,
  undetermined: UNDETERMINED,
};

/** Everything the bench can tell about a verdict. */
export const breakTypePage = (id: Verdict): BreakTypePage => BREAK_TYPE_PAGES[id];
