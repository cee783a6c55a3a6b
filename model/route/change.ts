import { effectOf, fulfils, mustBeOutside, type ChangeGoal, type Effect, type SeriesPass } from "./change-check.ts";
import { CHANGES, TOWARDS, type Changed, type ChangeKind } from "./change-kinds.ts";
import type { PassInput } from "./pass.ts";
import type { Route } from "./route.ts";
import { passesOf, type RoutePass } from "./route-passes.ts";

export type { ChangeGoal, SeriesPass } from "./change-check.ts";
export { USUAL_GOAL } from "./change-check.ts";
export type { ChangeKind } from "./change-kinds.ts";

/** What is done to one die; what stays is left out. */
export interface DieChange {
  /** Index in the series. */
  readonly index: number;
  readonly renewed?: true;
  readonly semiAngleDeg?: { readonly from: number; readonly to: number };
  readonly outMm?: { readonly from: number; readonly to: number };
  /** Share of the friction that is left. */
  readonly frictionShare?: number;
}

/** A change that brings every pass outside the danger region with the margin. */
export interface Proposal {
  /** One kind, or two that are needed together. */
  readonly kinds: readonly ChangeKind[];
  readonly passes: readonly PassInput[];
  readonly dies: readonly DieChange[];
  /** Size of the last kind, in its unit. */
  readonly size: number;
  readonly sizeUnit: "dies" | "degrees" | "parts of the diameter" | "strain" | "parts of the friction";
  /** Dies to touch, a change of lubricant counted as {@link LUBRICATION_EFFORT}. */
  readonly effort: number;
  readonly effects: readonly { readonly index: number; readonly before: Effect; readonly after: Effect }[];
  readonly says: string;
}

export interface ChangeAdvice {
  /** Passes that are not outside now. */
  readonly inDanger: readonly number[];
  /** Least effort first. Empty when nothing is in danger, or nothing tried helps. */
  readonly proposals: readonly Proposal[];
  readonly says: string;
  readonly cautions: readonly string[];
}

/** A change of lubricant touches the whole machine; it is counted as this many dies. Common practice, no source. */
export const LUBRICATION_EFFORT = 2;

const UNIT: Readonly<Record<ChangeKind, Proposal["sizeUnit"]>> = {
  renew: "dies",
  angle: "degrees",
  diameter: "parts of the diameter",
  resplit: "strain",
  lubrication: "parts of the friction",
};

const CAUTIONS = [
  "This is advice to check: the limit of B is not known beforehand, and B is a stress condition, not a crack.",
  "Measure the die that is to be changed first; try the change on one coil and section it before changing a series.",
  "Drawing stress is compared with the mean flow stress of the pass; thermal effects and die strength are not looked at.",
];

/** The series of a route's passes, ready to be changed. */
export const seriesOf = (passes: readonly RoutePass[]): readonly SeriesPass[] =>
  passes.map(({ die, input }) => ({
    input,
    renewed: die.wear === null ? null : { semiAngleDeg: die.semiAngleDeg, outMm: die.outMm },
  }));

const SAME = 1e-9;
const differs = (a: number, b: number): boolean => Math.abs(a - b) > SAME * Math.max(Math.abs(a), Math.abs(b));

function dieChange(series: SeriesPass, after: PassInput, index: number): DieChange | null {
  const { input: before, renewed } = series;
  const share = before.friction.value === 0 ? 1 : after.friction.value / before.friction.value;
  const asNew =
    renewed !== null &&
    (differs(before.semiAngleDeg.high, after.semiAngleDeg.high) || differs(before.outMm, after.outMm)) &&
    !differs(after.semiAngleDeg.high, renewed.semiAngleDeg) &&
    !differs(after.outMm, renewed.outMm);
  const change: DieChange = {
    index,
    ...(asNew ? { renewed: true as const } : {}),
    ...(differs(before.semiAngleDeg.high, after.semiAngleDeg.high)
      ? { semiAngleDeg: { from: before.semiAngleDeg.value, to: after.semiAngleDeg.value } }
      : {}),
    ...(differs(before.outMm, after.outMm) ? { outMm: { from: before.outMm, to: after.outMm } } : {}),
    ...(differs(share, 1) ? { frictionShare: share } : {}),
  };
  return Object.keys(change).length > 1 ? change : null;
}

const round = (x: number, places: number): string => String(Number(x.toFixed(places)));

function sentence(kinds: readonly ChangeKind[], dies: readonly DieChange[]): string {
  const geometry = dies.filter((d) => d.semiAngleDeg !== undefined || d.outMm !== undefined);
  const words = geometry.map((d) => {
    const parts = [
      ...(d.renewed === true ? ["renew"] : []),
      ...(d.semiAngleDeg === undefined
        ? []
        : [`semi-angle ${round(d.semiAngleDeg.from, 1)}° to ${round(d.semiAngleDeg.to, 1)}°`]),
      ...(d.outMm === undefined ? [] : [`${round(d.outMm.from, 3)} to ${round(d.outMm.to, 3)} mm`]),
    ];
    return `pass ${d.index + 1}: ${parts.join(", ")}`;
  });
  const share = dies.find((d) => d.frictionShare !== undefined)?.frictionShare;
  const lubricant =
    share === undefined ? [] : [`lubrication: friction down to ${round(share * 100, 0)} % of what it is`];
  return `${[...lubricant, ...words].join("; ")}. ${kinds.length > 1 ? "Both are needed together." : "Nothing else changes."}`;
}

function proposal(
  kinds: readonly ChangeKind[],
  changed: Changed,
  series: readonly SeriesPass[],
  limit: number,
): Proposal {
  const dies = changed.passes.flatMap((p, i) => dieChange(series[i]!, p, i) ?? []);
  const touched = dies.filter((d) => d.semiAngleDeg !== undefined || d.outMm !== undefined).length;
  const lubricated = dies.some((d) => d.frictionShare !== undefined);
  return {
    kinds,
    passes: changed.passes,
    dies,
    size: changed.size,
    sizeUnit: UNIT[kinds.at(-1)!],
    effort: touched + (lubricated ? LUBRICATION_EFFORT : 0),
    effects: changed.passes.flatMap((p, i) => {
      const before = series[i]!.input;
      const same = p === before || (!differs(p.inMm, before.inMm) && dies.every((d) => d.index !== i));
      return same ? [] : [{ index: i, before: effectOf(before, limit), after: effectOf(p, limit) }];
    }),
    says: sentence(kinds, dies),
  };
}

const SINGLE = ["renew", "angle", "diameter", "resplit", "lubrication"] as const;
const PAIRS = [
  ["renew", "angle"],
  ["renew", "diameter"],
  ["renew", "resplit"],
  ["renew", "lubrication"],
  ["angle", "diameter"],
  ["angle", "resplit"],
  ["lubrication", "angle"],
  ["lubrication", "resplit"],
] as const;

/** Larger effects of equal effort are put after smaller ones by how far the stress on the axis is moved. */
const moved = (p: Proposal): number =>
  p.effects.reduce((sum, e) => sum + Math.abs(e.after.centrelineStress - e.before.centrelineStress), 0);

/**
 * Smallest changes that bring a series, or one pass of it, outside the danger region with a margin.
 *
 * Each kind is tried alone and does no more than it must. Two kinds together are proposed only when no single one
 * helps. The wire before the first and after the last die stays, unless a worn last die is renewed.
 *
 * @param series - passes of one machine in drawing order
 * @returns proposals, least effort first
 * @source this-study
 */
export function adviseChange(series: readonly SeriesPass[], goal: ChangeGoal): ChangeAdvice {
  const must = mustBeOutside(series, goal);
  const inDanger = series.flatMap(({ input }, i) => (must[i] === true && !fulfils([input], [true], goal) ? [i] : []));
  if (inDanger.length === 0)
    return {
      inDanger,
      proposals: [],
      says: "Every pass lies outside the danger region with the margin.",
      cautions: CAUTIONS,
    };
  const single = SINGLE.flatMap((kind) => {
    const changed = CHANGES[kind](series, must, goal);
    return changed === null ? [] : [proposal([kind], changed, series, goal.limit)];
  });
  const found = single.length > 0 ? single : PAIRS.flatMap((pair) => paired(pair, series, must, goal));
  const proposals = [...found].sort((a, b) => a.effort - b.effort || moved(a) - moved(b));
  const passes = inDanger.map((i) => i + 1).join(", ");
  const one = inDanger.length === 1 ? `Pass ${passes} is` : `Passes ${passes} are`;
  return {
    inDanger,
    proposals,
    says:
      proposals.length === 0
        ? `${one} not outside the danger region with the margin, and no change within these bounds helps: allow flatter dies, a smaller margin or more dies.`
        : `${one} not outside the danger region with the margin.`,
    cautions: CAUTIONS,
  };
}

function paired(
  [first, second]: (typeof PAIRS)[number],
  series: readonly SeriesPass[],
  must: readonly boolean[],
  goal: ChangeGoal,
): readonly Proposal[] {
  const begun = TOWARDS[first](series, must, goal).map((input, i) => ({ input, renewed: series[i]!.renewed }));
  if (begun.every((s, i) => s.input === series[i]!.input)) return [];
  const changed = CHANGES[second](begun, must, goal);
  return changed === null ? [] : [proposal([first, second], changed, series, goal.limit)];
}

/**
 * Advice for each machine of a route: reductions are shared anew within a machine, never across a transfer.
 *
 * @param goal - `only` is not used here
 */
export function adviseRoute(
  route: Route,
  goal: ChangeGoal,
): readonly { readonly machine: number; readonly name: string; readonly advice: ChangeAdvice }[] {
  const passes = passesOf(route);
  return route.machines.map(({ name }, machine) => ({
    machine,
    name,
    advice: adviseChange(seriesOf(passes.filter((p) => p.at.machine === machine)), { ...goal, only: undefined }),
  }));
}
