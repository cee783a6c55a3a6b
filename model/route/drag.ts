import { FITTED_RANGE } from "./centreline-stress.ts";
import type { PassInput } from "./pass.ts";

/** What is tried on one pass. */
export interface Tried {
  readonly semiAngleDeg?: number;
  readonly reduction?: number;
}

/** Least reduction a neighbour is left with while a pass is tried heavier. */
const LEAST = FITTED_RANGE.reduction[0] / 5;

/**
 * A series with another angle or reduction tried at one pass; the neighbour takes up the reduction.
 *
 * The die after it takes less or more; for the last pass the die before it does, so that the wire in and out of the
 * series stays. A pass cannot take so much that its neighbour is left with less than one percent.
 *
 * @param index - the pass, counted from zero
 * @returns the series; a series of one pass keeps its reduction, because nothing can take it up
 */
export function tryPass(passes: readonly PassInput[], index: number, tried: Tried): readonly PassInput[] {
  const p = passes[index];
  if (p === undefined) return passes;
  const last = index === passes.length - 1;
  // The die between the pass and its neighbour is the one that moves.
  const between = last ? index - 1 : index;
  const [before, after] = [passes[between], passes[between + 1]];
  const { semiAngleDeg: deg, reduction } = tried;
  const angled =
    deg === undefined ? passes : replaced(passes, index, { semiAngleDeg: { value: deg, low: deg, high: deg } });
  if (reduction === undefined || before === undefined || after === undefined) return angled;
  const wanted = last ? p.outMm / Math.sqrt(1 - reduction) : p.inMm * Math.sqrt(1 - reduction);
  const least = after.outMm / Math.sqrt(1 - LEAST);
  const most = before.inMm * Math.sqrt(1 - LEAST);
  const mm = Math.min(most, Math.max(least, wanted));
  return replaced(replaced(angled, between, { outMm: mm }), between + 1, { inMm: mm });
}

const replaced = (passes: readonly PassInput[], at: number, over: Partial<PassInput>): readonly PassInput[] =>
  passes.map((p, i) => (i === at ? { ...p, ...over } : p));
