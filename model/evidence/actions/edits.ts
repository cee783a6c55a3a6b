import type { FeatureId } from "../features.ts";
import type {
  EvidenceContext,
  MarkState,
  MeasureValue,
  ObservedEnd,
  ObservedFeature,
  Observations,
} from "../observations.ts";

/** A feature as it would be observed. */
export const wouldSee = (
  feature: FeatureId,
  measures: Readonly<Record<string, MeasureValue>> = {},
  state: MarkState = "present",
): ObservedFeature => ({ feature, state, measures, uncertainty: {}, markIds: [] });

export const wouldMiss = (feature: FeatureId): ObservedFeature => wouldSee(feature, {}, "absent");

const readable = (end: ObservedEnd | undefined) => end?.recovered === true;

/** The ends with one of them changed; an end that was not delivered is put in as not recovered first. */
function onEnd(o: Observations, index: number, change: (end: ObservedEnd) => ObservedEnd): Observations {
  const ends = [0, 1].map((i): ObservedEnd => {
    const end = o.ends[i] ?? { role: otherRole(o.ends[1 - i]), recovered: false, views: [], features: [] };
    return i === index ? change(end) : end;
  });
  return { ...o, ends };
}

function otherRole(end: ObservedEnd | undefined): ObservedEnd["role"] {
  if (end?.role === "machine") return "spool";
  return end?.role === "spool" ? "machine" : "unknown";
}

const replacing = (end: ObservedEnd, seen: readonly ObservedFeature[]): ObservedEnd => {
  const names = new Set(seen.map((f) => f.feature));
  return { ...end, features: [...end.features.filter((f) => !names.has(f.feature)), ...seen] };
};

/** The same break with these features seen on one end, in place of what was marked of them before. */
export const seeOn = (o: Observations, index: number, seen: readonly ObservedFeature[]): Observations =>
  onEnd(o, index, (end) => replacing(end, seen));

/** The same break with these features seen on every recovered end. */
export const seeOnAll = (o: Observations, seen: readonly ObservedFeature[]): Observations =>
  [0, 1].reduce((next, i) => (readable(next.ends[i]) ? seeOn(next, i, seen) : next), o);

/** The same break with an end in hand that shows these features, whatever was said of it before. */
export const recover = (o: Observations, index: number, seen: readonly ObservedFeature[]): Observations =>
  onEnd(o, index, (end) => ({ ...end, recovered: true, features: seen }));

/** The same break without an end that turned out to belong elsewhere. */
export const dropEnd = (o: Observations, index: number): Observations => {
  const next = onEnd(o, index, (end) => ({ ...end, recovered: false, features: [] }));
  return { ...next, context: { ...next.context, d0AgreePct: null, mate: null, mateReading: null } };
};

/** Changes what an observed feature says on every end that shows it. */
export const restate = (
  o: Observations,
  feature: FeatureId,
  measures: Readonly<Record<string, MeasureValue>>,
): Observations => ({
  ...o,
  ends: o.ends.map((end) => ({
    ...end,
    features: end.features.map((f) =>
      f.feature === feature && f.state === "present" ? { ...f, measures: { ...f.measures, ...measures } } : f,
    ),
  })),
});

/** The same break with a neck of this RA ratio on every recovered end. */
export const withRatio = (o: Observations, ratio: number): Observations => ({
  ...o,
  ends: o.ends.map((end) => {
    if (!end.recovered) return end;
    const one = end.features.some((f) => f.feature === "neck" && f.measures["one_sided"] === true);
    return replacing(end, [wouldSee("neck", { ra_ratio: ratio, ...(one ? { one_sided: true } : {}) })]);
  }),
});

export const withContext = (o: Observations, patch: Partial<EvidenceContext>): Observations => ({
  ...o,
  context: { ...o.context, ...patch },
});

export const withTest = (o: Observations, results: Readonly<Record<string, boolean>>): Observations =>
  withContext(o, { tests: { ...o.context.tests, ...results } });
