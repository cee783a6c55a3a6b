import { chained, fulfils, isOutside, type ChangeGoal, type SeriesPass } from "./change-check.ts";
import { nearestSplit, outsideSpan, withStrains, type StrainSpan } from "./change-strain.ts";
import { trueStrain } from "./pass-geometry.ts";
import type { PassInput } from "./pass.ts";
import { exactly } from "./value.ts";

/** What is changed: recut or new dies as they were meant; other die angles; one die's diameter; all; the lubricant. */
export type ChangeKind = "renew" | "angle" | "diameter" | "resplit" | "lubrication";

/** A series changed in one way, as little as that way allows. */
export interface Changed {
  readonly passes: readonly PassInput[];
  /** How large the change is, in the unit of its kind. */
  readonly size: number;
}

type Change = (series: readonly SeriesPass[], must: readonly boolean[], goal: ChangeGoal) => Changed | null;

const inputs = (series: readonly SeriesPass[]): readonly PassInput[] => series.map((s) => s.input);
const failing = (p: PassInput, i: number, must: readonly boolean[], goal: ChangeGoal): boolean =>
  must[i] === true && !isOutside(p, goal);

/** New or recut dies where a pass is not outside now. Size: dies. */
const renew: Change = (series, must, goal) => {
  let size = 0;
  const passes = chained(
    series.map(({ input, renewed }, i) => {
      if (renewed === null || !failing(input, i, must, goal)) return input;
      size += 1;
      return { ...input, semiAngleDeg: exactly(renewed.semiAngleDeg), outMm: renewed.outMm };
    }),
  );
  return size > 0 && fulfils(passes, must, goal) ? { passes, size } : null;
};

/** The pass with another die, whose angle is then known. */
const withAngle = (p: PassInput, deg: number): PassInput => ({ ...p, semiAngleDeg: exactly(deg) });

/**
 * The available die angle nearest to the present one that brings a pass outside; null when none does. Of two equally
 * near the flatter.
 */
export function nearestAngle(p: PassInput, goal: ChangeGoal): number | null {
  const away = (deg: number) => Math.abs(deg - p.semiAngleDeg.value);
  return goal.semiAnglesDeg
    .filter((deg) => isOutside(withAngle(p, deg), goal))
    .reduce<number | null>(
      (best, deg) => (best === null || away(deg) < away(best) || (away(deg) === away(best) && deg < best) ? deg : best),
      null,
    );
}

/** Other dies from stock where a pass is not outside. Size: degrees, summed. */
const angle: Change = (series, must, goal) => {
  let size = 0;
  const passes: PassInput[] = [];
  for (const [i, p] of inputs(series).entries()) {
    const deg = failing(p, i, must, goal) ? nearestAngle(p, goal) : p.semiAngleDeg.value;
    if (deg === null) return null;
    passes.push(failing(p, i, must, goal) ? withAngle(p, deg) : p);
    size += Math.abs(deg - p.semiAngleDeg.value);
  }
  return passes.some((p, i) => p !== series[i]?.input) ? { passes, size } : null;
};

/** Span a pass may move in: where it must be outside, its outside span; else it stays. */
function spansOf(
  passes: readonly PassInput[],
  must: readonly boolean[],
  goal: ChangeGoal,
): readonly StrainSpan[] | null {
  const spans = passes.map((p, i): StrainSpan | null => {
    const now = trueStrain(p.inMm, p.outMm);
    return must[i] === true ? outsideSpan(p, goal) : { low: now, high: now };
  });
  return spans.every((s) => s !== null) ? spans : null;
}

const strainsOf = (passes: readonly PassInput[]): readonly number[] => passes.map((p) => trueStrain(p.inMm, p.outMm));

/** One die between the first and the last gets another diameter. Size: parts of the diameter. */
const diameter: Change = (series, must, goal) => {
  const passes = inputs(series);
  const spans = spansOf(passes, must, goal);
  const strains = strainsOf(passes);
  const bad = passes.flatMap((p, i) => (failing(p, i, must, goal) ? [i] : []));
  const [first] = bad;
  if (spans === null || first === undefined) return null;
  let best: Changed | null = null;
  for (const i of [first - 1, first]) {
    if (i < 0 || i + 1 >= passes.length || bad.some((b) => b !== i && b !== i + 1)) continue;
    const both = strains[i]! + strains[i + 1]!;
    const low = Math.max(spans[i]!.low, both - spans[i + 1]!.high);
    const high = Math.min(spans[i]!.high, both - spans[i + 1]!.low);
    if (low > high) continue;
    const to = Math.min(high, Math.max(low, strains[i]!));
    const size = Math.abs(1 - Math.exp(-(to - strains[i]!) / 2));
    const changed = withStrains(
      passes,
      strains.map((s, k) => (k === i ? to : k === i + 1 ? both - to : s)),
    );
    if (size > 0 && (best === null || size < best.size)) best = { passes: changed, size };
  }
  return best;
};

/** All dies between the first and the last share the reduction anew. Size: root of the summed squares of strain. */
const resplit: Change = (series, must, goal) => {
  const passes = inputs(series);
  const spans = spansOf(passes, must, goal);
  if (spans === null || passes.length < 2) return null;
  const strains = strainsOf(passes);
  const split = nearestSplit(strains, spans);
  if (split === null) return null;
  const size = Math.hypot(...split.map((s, i) => s - strains[i]!));
  return size > 1e-12 ? { passes: withStrains(passes, split), size } : null;
};

function withFrictionShare(p: PassInput, share: number): PassInput {
  const { friction } = p;
  return {
    ...p,
    friction: { ...friction, value: friction.value * share, low: friction.low * share, high: friction.high * share },
  };
}

/** Less friction at every die, as one bath feeds them all. Size: share of the friction taken away. */
const lubrication: Change = (series, must, goal) => {
  const at = (share: number) => inputs(series).map((p) => withFrictionShare(p, share));
  if (!fulfils(at(goal.leastFrictionShare), must, goal) || fulfils(at(1), must, goal)) return null;
  let [good, bad] = [goal.leastFrictionShare, 1];
  for (let i = 0; i < 40; i++) {
    const mid = (good + bad) / 2;
    if (fulfils(at(mid), must, goal)) good = mid;
    else bad = mid;
  }
  return { passes: at(good), size: 1 - good };
};

/** The smallest change of each kind that fulfils the goal, or null when that kind alone cannot. */
export const CHANGES: Readonly<Record<ChangeKind, Change>> = { renew, angle, diameter, resplit, lubrication };

/** What a kind can do towards the goal without reaching it: the start of a combined change. */
export const TOWARDS: Readonly<
  Record<"renew" | "angle" | "lubrication", (...of: Parameters<Change>) => readonly PassInput[]>
> = {
  renew: (series, must, goal) =>
    chained(
      series.map(({ input, renewed }, i) =>
        renewed === null || !failing(input, i, must, goal)
          ? input
          : { ...input, semiAngleDeg: exactly(renewed.semiAngleDeg), outMm: renewed.outMm },
      ),
    ),
  angle: (series, must, goal) =>
    inputs(series).map((p, i) => {
      if (!failing(p, i, must, goal)) return p;
      const flatter = goal.semiAnglesDeg.filter((deg) => deg < p.semiAngleDeg.value);
      const deg = nearestAngle(p, goal) ?? (flatter.length === 0 ? null : Math.min(...flatter));
      return deg === null ? p : withAngle(p, deg);
    }),
  lubrication: (series, _must, goal) => inputs(series).map((p) => withFrictionShare(p, goal.leastFrictionShare)),
};
