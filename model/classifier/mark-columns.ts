import { FEATURES, type FeatureId, type FeatureSpec, type MeasureSpec } from "../evidence/features.ts";
import type { ObservedEnd, ObservedFeature, Observations } from "../evidence/observations.ts";

/** One number of a break, by name. NaN is missing: not looked for, not recovered, not assessable. */
export interface Column {
  readonly name: string;
  /** In trade words, for the reasons shown to a reader. */
  readonly says: string;
  readonly of: (break_: Observations) => number;
}

const seenOn = (end: ObservedEnd, feature: FeatureId): ObservedFeature | undefined =>
  end.features.find((f) => f.feature === feature);

/** 1 present, 0 absent, NaN anything else. */
function stateOf(end: ObservedEnd, feature: FeatureId): number {
  const found = end.recovered ? seenOn(end, feature) : undefined;
  if (found === undefined || found.state === "not_assessable") return NaN;
  return found.state === "present" ? 1 : 0;
}

/** The known ones of both ends; which end is which never matters to a type. */
const known = (break_: Observations, value: (end: ObservedEnd) => number): readonly number[] =>
  break_.ends.map(value).filter((v) => !Number.isNaN(v));

const anyEnd = (values: readonly number[]): number => (values.length === 0 ? NaN : Math.max(...values));
const bothEnds = (values: readonly number[]): number => (values.length < 2 ? NaN : Math.min(...values));

function numberOn(end: ObservedEnd, feature: FeatureId, key: string): number {
  const found = end.recovered ? seenOn(end, feature) : undefined;
  if (found?.state !== "present") return NaN;
  const value = found.measures[key];
  if (typeof value === "boolean") return value ? 1 : 0;
  return typeof value === "number" && Number.isFinite(value) ? value : NaN;
}

function choiceOn(end: ObservedEnd, feature: FeatureId, key: string, choice: string): number {
  const found = end.recovered ? seenOn(end, feature) : undefined;
  if (found?.state !== "present") return NaN;
  const value = found.measures[key];
  return typeof value !== "string" ? NaN : value === choice ? 1 : 0;
}

/**
 * Lengths in mm and clock positions say where and how large, not of which type; the rest is in ratios and angles. What
 * the direction of a cone tells is the origin, not the type.
 */
const LEFT_OUT: ReadonlySet<string> = new Set(["d0_mm", "neck_d_mm", "clock", "apex_direction", "tips", "hand"]);

function columnsOf(spec: FeatureSpec & { readonly id: FeatureId }): Column[] {
  const { id, name } = spec;
  const columns: Column[] = [
    { name: `${id}.any`, says: `${name} seen`, of: (b) => anyEnd(known(b, (e) => stateOf(e, id))) },
    { name: `${id}.both`, says: `${name} on both ends`, of: (b) => bothEnds(known(b, (e) => stateOf(e, id))) },
  ];
  for (const measure of spec.measures)
    if (!LEFT_OUT.has(measure.key)) columns.push(...measureColumns(id, name, measure));
  return columns;
}

function measureColumns(id: FeatureId, name: string, measure: MeasureSpec): Column[] {
  const { key, label } = measure;
  if (measure.kind === "text") return [];
  if (measure.kind === "choice")
    return measure.choices.map((choice) => ({
      name: `${id}.${key}.${choice}`,
      says: `${name}: ${label} ${choice.replaceAll("_", " ")}`,
      of: (b) => anyEnd(known(b, (e) => choiceOn(e, id, key, choice))),
    }));
  return [
    {
      name: `${id}.${key}`,
      says: `${name}: ${label}`,
      of: (b) => anyEnd(known(b, (e) => numberOn(e, id, key))),
    },
  ];
}

/** How the two ends answer each other. */
const PAIRS: readonly Column[] = [
  pair("pair.hole_cone", "a hole on one end, a cone on the other", "end_hole", "cone_flank"),
  pair("pair.hole_apex", "a hole on one end, a cone tip on the other", "end_hole", "cone_apex"),
  {
    name: "ends.seen",
    says: "ends recovered",
    of: (b) => b.ends.filter((e) => e.recovered && e.features.length > 0).length,
  },
];

function pair(name: string, says: string, one: FeatureId, other: FeatureId): Column {
  return {
    name,
    says,
    of: ({ ends: [a, b] }) => {
      if (a === undefined || b === undefined) return NaN;
      const meets = (p: ObservedEnd, q: ObservedEnd) => Math.min(stateOf(p, one), stateOf(q, other));
      // Math.min gives NaN when either is unknown; one known meeting is enough.
      const values = [meets(a, b), meets(b, a)].filter((v) => !Number.isNaN(v));
      return values.length === 0 ? NaN : Math.max(...values);
    },
  };
}

const flag = (value: boolean | null): number => (value === null ? NaN : value ? 1 : 0);
const metalIs = (name: string): Column => ({
  name: `context.metal.${name}`,
  says: `metal: ${name}`,
  of: ({ context: { metal } }) => (metal === null ? NaN : metal.toLowerCase().includes(name) ? 1 : 0),
});

/**
 * What the wire went through, as far as it bears on the type. The oxygen of copper is left out on purpose: it raises the
 * share of breaks and is no cause. So are machine, cast and dates: a model must not learn which cast was bad.
 */
const CONTEXT: readonly Column[] = [
  metalIs("copper"),
  metalIs("alum"),
  metalIs("steel"),
  {
    name: "context.wire_mm_log",
    says: "wire diameter",
    of: ({ context: { wireMm } }) => (wireMm !== null && wireMm > 0 ? Math.log(wireMm) : NaN),
  },
  { name: "context.weld_near", says: "a joint logged nearby", of: ({ context: c }) => weldNear(c.weldLogDistanceM, c.weldLogClear) }, // prettier-ignore
  { name: "context.pickled", says: "pickled", of: ({ context }) => flag(context.pickled) },
  { name: "context.hydrogen_anneal", says: "annealed in hydrogen", of: ({ context }) => flag(context.hydrogenAnneal) },
  { name: "context.slip", says: "slip or grab logged", of: ({ context }) => flag(context.slipOrGrabLogged) },
  { name: "context.first_trip", says: "first trip", of: ({ context }) => flag(context.firstTrip) },
  { name: "context.repeats", says: "repeats in the cast", of: ({ context }) => flag(context.repeatsInCast) },
];

/** A joint within this length of wire may have broken. @source common practice, no source */
const NEAR_M = 2;
function weldNear(distanceM: number | null, clear: boolean | null): number {
  if (distanceM !== null) return distanceM <= NEAR_M ? 1 : 0;
  return clear === true ? 0 : NaN;
}

/** Every number that marks and facts give, in a fixed order. */
export const MARK_COLUMNS: readonly Column[] = [...FEATURES.flatMap((spec) => columnsOf(spec)), ...PAIRS, ...CONTEXT];
