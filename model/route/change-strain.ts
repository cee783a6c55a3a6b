import { FITTED_RANGE } from "./centreline-stress.ts";
import { isOutside, type ChangeGoal } from "./change-check.ts";
import { exitDiameter, trueStrain } from "./pass-geometry.ts";
import type { PassInput } from "./pass.ts";

const STEPS = 160;
const BISECTIONS = 36;
/** Strain by which a span keeps off the limit: diameters made from it and read back differ by rounding alone. */
const KEEP_OFF = 1e-11;

/** A span of true strain within which a pass of this die and friction is outside the danger region and can be pulled. */
export interface StrainSpan {
  readonly low: number;
  readonly high: number;
}

/** The pass at another strain, bearing scaled with its exit. */
function atStrain(p: PassInput, strain: number): PassInput {
  const outMm = exitDiameter(p.inMm, 1 - Math.exp(-strain));
  return { ...p, outMm, bearingMm: (p.bearingMm * outMm) / p.outMm };
}

/**
 * Strain span that keeps a pass outside, the one nearest to where the pass is.
 *
 * Too light a pass puts the centre in tension, too heavy a one cannot be pulled, so the span has both ends.
 *
 * @returns null when no reduction from 5 to 45 % does it
 */
export function outsideSpan(p: PassInput, goal: ChangeGoal): StrainSpan | null {
  const [from, to] = FITTED_RANGE.reduction.map((r) => -Math.log(1 - r)) as [number, number];
  const good = (strain: number) => isOutside(atStrain(p, strain), goal);
  const edge = (inside: number, outside: number): number => {
    let [a, b] = [inside, outside];
    for (let i = 0; i < BISECTIONS; i++) {
      const mid = (a + b) / 2;
      if (good(mid)) a = mid;
      else b = mid;
    }
    return a + Math.sign(inside - outside) * Math.min(KEEP_OFF, Math.abs(inside - a));
  };
  const at = (i: number) => Math.min(to, Math.max(from, from + ((to - from) * i) / STEPS));
  const spans: StrainSpan[] = [];
  let start: number | null = null;
  for (let i = 0; i <= STEPS; i++) {
    const inside = good(at(i));
    if (inside && start === null) start = i === 0 ? at(0) : edge(at(i), at(i - 1));
    if (start === null || (inside && i < STEPS)) continue;
    spans.push({ low: start, high: inside ? at(i) : edge(at(i - 1), at(i)) });
    start = null;
  }
  const now = trueStrain(p.inMm, p.outMm);
  const away = (s: StrainSpan) => Math.max(s.low - now, now - s.high, 0);
  return spans.reduce<StrainSpan | null>((best, s) => (best === null || away(s) < away(best) ? s : best), null);
}

/**
 * Strains nearest to the present ones, by the sum of squares, that lie in their spans and keep their sum.
 *
 * The nearest point of a box on a plane: every strain is shifted alike and held to its span; the shift is found by
 * halving. So a series keeps its total reduction and changes as little as it can.
 *
 * @returns null when the spans cannot hold the sum
 */
export function nearestSplit(strains: readonly number[], spans: readonly StrainSpan[]): readonly number[] | null {
  const total = strains.reduce((sum, s) => sum + s, 0);
  const lows = spans.reduce((sum, s) => sum + s.low, 0);
  const highs = spans.reduce((sum, s) => sum + s.high, 0);
  if (total < lows - 1e-12 || total > highs + 1e-12) return null;
  const shifted = (by: number) => strains.map((s, i) => Math.min(spans[i]!.high, Math.max(spans[i]!.low, s + by)));
  let [low, high] = [-10, 10];
  for (let i = 0; i < 80; i++) {
    const mid = (low + high) / 2;
    if (shifted(mid).reduce((sum, s) => sum + s, 0) < total) low = mid;
    else high = mid;
  }
  return shifted((low + high) / 2);
}

/** The series with other strains; the first wire in and the last wire out stay exactly as they are. */
export function withStrains(passes: readonly PassInput[], strains: readonly number[]): readonly PassInput[] {
  const last = passes.at(-1);
  let before = passes[0]?.inMm ?? 0;
  return passes.map((p, i) => {
    const outMm = p === last ? p.outMm : before * Math.exp(-(strains[i] ?? 0) / 2);
    const next = { ...p, inMm: before, outMm, bearingMm: (p.bearingMm * outMm) / p.outMm };
    before = outMm;
    return next;
  });
}
