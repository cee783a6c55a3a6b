import type { EvidenceContext, ObservedFeature } from "./observations.ts";
import { LIMITS } from "./thresholds.ts";
import { raClassOf } from "./wire-class.ts";

export type RaState = "full" | "grey" | "suppressed";

/** Reduction of area of one end, read three ways, with the reference it was read against. */
export interface Reduction {
  readonly state: RaState;
  /** RA over RA of a sound pull; null when only absolute limits could be used. */
  readonly ratio: number | null;
  readonly pct: number | null;
  /** In words: what the reading rests on. */
  readonly against: string;
  readonly markIds: readonly string[];
}

const numberOf = (f: ObservedFeature, key: string): number | null => {
  const value = f.measures[key];
  return typeof value === "number" && Number.isFinite(value) ? value : null;
};
const mean = (values: readonly number[]) => values.reduce((a, b) => a + b, 0) / values.length;

/** A value within one standard uncertainty of a limit is on neither side of it. */
function sort(value: number, u: number, full: number, suppressed: number): RaState {
  if (value >= full && value - u >= full) return "full";
  if (value <= suppressed && value + u <= suppressed) return "suppressed";
  return "grey";
}

/**
 * Reads the necks of one end as full, suppressed or in the grey zone between.
 *
 * The same reduction of area means different things in different wires, so it is compared with a sound pull of the same
 * wire: the stated ratio first, else percent over the reference, else the absolute limits of the class of wire.
 * Several necks (two directions) are averaged. Common practice, no source, for the limits.
 *
 * @param necks - the neck marks of one end that count as present
 * @param d0Mm - wire diameter of that end, mm, used when only a neck diameter is given
 * @returns null when nothing was measured, or no reference of any kind exists
 */
export function readReduction(
  necks: readonly ObservedFeature[],
  d0Mm: number | null,
  context: EvidenceContext,
): Reduction | null {
  const pcts: number[] = [];
  const ratios: number[] = [];
  let uPct = 0;
  let uRatio = 0;
  for (const f of necks) {
    const neck = numberOf(f, "neck_d_mm");
    const pct =
      numberOf(f, "ra_pct") ?? (neck !== null && d0Mm !== null && d0Mm > 0 ? 100 * (1 - (neck / d0Mm) ** 2) : null);
    const ratio = numberOf(f, "ra_ratio");
    if (pct !== null) pcts.push(pct);
    if (ratio !== null) ratios.push(ratio);
    uPct = Math.max(uPct, f.uncertainty["ra_pct"] ?? 0);
    uRatio = Math.max(uRatio, f.uncertainty["ra_ratio"] ?? 0);
  }
  const pct = pcts.length > 0 ? mean(pcts) : null;
  const markIds = necks.flatMap((f) => f.markIds);
  const { raRatioFull, raRatioSuppressed } = LIMITS;
  const byRatio = (ratio: number, u: number, against: string): Reduction => ({
    state: sort(ratio, u, raRatioFull.value, raRatioSuppressed.value),
    ratio,
    pct,
    against,
    markIds,
  });
  if (ratios.length > 0) return byRatio(mean(ratios), uRatio, "the RA ratio as given");
  if (pct === null) return null;
  const ref = context.refRaPct;
  if (ref !== null && ref > 0) return byRatio(pct / ref, uPct / ref, `a reference pull of ${ref} %`);
  const wireClass = raClassOf(context);
  if (wireClass === null) return null;
  return {
    state: sort(pct, uPct, wireClass.fullFromPct, wireClass.suppressedToPct),
    ratio: null,
    pct,
    against: `the usual limits of ${wireClass.name}, no reference pull`,
    markIds,
  };
}

const two = (x: number) => String(Math.round(x * 100) / 100);

/** Words for a reduction: "reduction of area 62 %, 0.86 of the reference pull". */
export function describeReduction(r: Reduction): string {
  const small = r.pct !== null && r.pct < LIMITS.raSmallPct.value;
  const pct = r.pct === null ? "" : `${small ? "little or no necking, " : ""}reduction of area ${Math.round(r.pct)} %`;
  const ratio = r.ratio === null ? `read against ${r.against}` : `${two(r.ratio)} of the reference pull`;
  return pct === "" ? `reduction of area ${ratio}` : `${pct} (${ratio})`;
}
