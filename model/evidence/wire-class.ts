import type { EvidenceContext } from "./observations.ts";
import { LIMITS, RA_CLASSES, type RaClass } from "./thresholds.ts";

export type Metal = "copper" | "aluminium" | "steel";

/** The metal as the rules know it; null when none was recorded or it is another metal. */
export function metalOf(context: EvidenceContext): Metal | null {
  const text = (context.metal ?? "").toLowerCase();
  if (/copper|brass|bronze|\bcu\b/.test(text)) return "copper";
  if (/alumini?um|\bal\b/.test(text)) return "aluminium";
  if (/steel|iron|\bfe\b/.test(text)) return "steel";
  return null;
}

const says = (context: EvidenceContext, words: RegExp) => words.test(`${context.grade ?? ""} ${context.temper ?? ""}`);
const isSoft = (context: EvidenceContext) =>
  says(context, /\b(soft|anneal\w*|bright-annealed)\b/i) && !says(context, /half[- ]hard/i);
const isHard = (context: EvidenceContext) => says(context, /\bhard\b|half[- ]hard|heat[- ]treated|6\d{3}\b/i);

/** Class of wire for the fallback limits of reduction of area; the most cautious row where the temper is unknown. */
export function raClassOf(context: EvidenceContext): RaClass | null {
  const metal = metalOf(context);
  if (metal === "copper") {
    if (isHard(context)) return RA_CLASSES.copperHard;
    return isSoft(context) ? RA_CLASSES.copperSoft : RA_CLASSES.copperAny;
  }
  if (metal === "aluminium") {
    if (isHard(context)) return RA_CLASSES.aluminiumHard;
    return isSoft(context) ? RA_CLASSES.aluminiumSoft : RA_CLASSES.aluminiumAny;
  }
  if (metal !== "steel") return null;
  if (says(context, /stainless|austenitic/i)) return RA_CLASSES.steelStainless;
  if (isHighCarbonSteel(context)) return RA_CLASSES.steelHighCarbon;
  return says(context, /low[- ]carbon|mild|\b0\.[01]\d?\s*%?\s*C\b/i) ? RA_CLASSES.steelLowCarbon : RA_CLASSES.steelAny;
}

const isHighCarbonSteel = (context: EvidenceContext) =>
  says(
    context,
    /pearlit|eutectoid|high[- ]carbon|high[- ]tensile|spring|rope|prestress|patented|music|\b0\.[5-9]\d?\s*%?\s*C\b/i,
  );

/** Whether the steel is strong enough to be prone to hydrogen: by its strength, else by the words of its grade. */
export function isHighStrengthSteel(context: EvidenceContext): boolean {
  if (metalOf(context) !== "steel") return false;
  if (context.strengthMPa !== null) return context.strengthMPa >= LIMITS.strengthHighMPa.value;
  return isHighCarbonSteel(context);
}

/**
 * Whether copper carries oxide that hydrogen can turn to steam. The analysis wins over the grade; null = unknown.
 *
 * @source b577 for the 10 ppm limit; grade words: common practice, no source
 */
export function isOxideBearingCopper(context: EvidenceContext): boolean | null {
  if (metalOf(context) !== "copper") return null;
  if (context.oxygenPpm !== null) return context.oxygenPpm > LIMITS.oxygenFreePpm.value;
  if (says(context, /oxygen[- ]free|\bOFE?\b|OFHC|Cu-OF|C10[12]00|deoxidi[sz]ed|\bD[HL]P\b|C12[02]00/i)) return false;
  if (says(context, /\bETP\b|tough[- ]pitch|\bFRHC\b|C11000/i)) return true;
  return null;
}
