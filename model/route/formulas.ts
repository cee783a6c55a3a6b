import type { RouteSourceKey } from "./route-sources.ts";

/** A formula as it is shown one click away from its number. */
export interface Formula {
  /** Plain text of the formula; α in radians, lengths in exit radii. */
  readonly says: string;
  readonly source: RouteSourceKey;
}

/** Every formula a route value may name. An author is named only where the source gives him the formula. */
export const FORMULAS = {
  "area-reduction": { says: "r = 1 − (d1/d0)²", source: "definition" },
  "true-strain": { says: "ε = 2 ln(d0/d1)", source: "definition" },
  elongation: { says: "λ = (d0/d1)²", source: "definition" },
  "die-geometry": { says: "Δ = (α/r)(1 + √(1 − r))²", source: "backofen" },
  "redundant-work-line": { says: "Φ = 0.8 + Δ/4.4", source: "wright" },
  "shear-factor": {
    says: "m = √3 μ p/σ0, with the mean die pressure p = σd (1 − r)/[r (1 + μ cot α)]",
    source: "this-study",
  },
  "sound-flow-bound": {
    says:
      "σd/σ0 = σb/σ0 + 2 f(α) ln(R0/Rf) + (2/√3){α/sin²α − cot α + m[cot α ln(R0/Rf) + L/Rf]}, " +
      "upper bound for sound flow",
    source: "avitzur63",
  },
  "centreline-mean-stress": {
    says:
      "B = h(Δ) + ½(σd + σb)/σ0, σd by the upper bound without bearing; x = ln Δ, " +
      "h = −0.4852 + 0.5273x + 1.0720x² − 0.8282x³ + 0.1774x⁴",
    source: "this-study",
  },
  "axis-tension-damage": { says: "ΔC = ε max(0, B + 2/3)", source: "cockcroft-latham" },
  "void-growth": { says: "Δln(R/R0) = 0.283 ε exp(1.5 B)", source: "rice-tracey" },
  "critical-semi-angle": { says: "α at which B(α, r, m) = limit", source: "this-study" },
} as const satisfies Readonly<Record<string, Formula>>;

export type FormulaId = keyof typeof FORMULAS;
