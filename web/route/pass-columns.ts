import type { RoutePassComputed } from "../../model/route/route-passes.ts";
import type { RouteValue } from "../../model/route/value.ts";

/** A computed quantity of a pass as it is shown. */
export interface PassColumn {
  readonly short: string;
  readonly name: string;
  readonly of: (p: RoutePassComputed) => RouteValue;
  readonly places: number;
  readonly factor?: number;
}

/** What stands in the table of passes, in this order. */
export const PASS_COLUMNS: readonly PassColumn[] = [
  { short: "r, %", name: "area reduction, %", of: (p) => p.computed.reduction, places: 1, factor: 100 },
  { short: "ε", name: "true strain", of: (p) => p.computed.trueStrain, places: 3 },
  { short: "λ", name: "elongation", of: (p) => p.computed.elongationRatio, places: 3 },
  { short: "Δ", name: "die geometry Δ", of: (p) => p.computed.delta, places: 2 },
  { short: "Φ", name: "redundant work", of: (p) => p.computed.redundantWork, places: 2 },
  { short: "σd/σ0", name: "drawing stress over flow stress", of: (p) => p.computed.drawingStressRatio, places: 2 },
  { short: "B", name: "mean stress on the axis over flow stress", of: (p) => p.computed.centrelineStress, places: 2 },
  { short: "ΔC", name: "damage of the pass", of: (p) => p.computed.damageIncrement, places: 3 },
  { short: "α crit, °", name: "critical half angle, °", of: (p) => p.computed.criticalSemiAngle, places: 1 },
];

/** What stands only among the details. */
export const MORE_COLUMNS: readonly PassColumn[] = [
  { short: "m", name: "shear factor", of: (p) => p.computed.shearFactor, places: 3 },
  { short: "void", name: "growth of a small void on the axis, ln R/R0", of: (p) => p.computed.voidGrowth, places: 3 },
];
