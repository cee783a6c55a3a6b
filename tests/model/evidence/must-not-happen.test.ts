import { expect, test } from "vitest";
import { BREAK_TYPE_IDS, type BreakTypeId } from "../../../model/evidence/break-type-ids.ts";
import { END_KINDS, END_PAIRS } from "../../../model/evidence/end-pairs.ts";
import { FEATURES, type FeatureId } from "../../../model/evidence/features.ts";
import type { ObservedEnd, ObservedFeature, Observations } from "../../../model/evidence/observations.ts";
import { RULES } from "../../../model/evidence/rules/index.ts";
import { suggest, weigh } from "../../../model/evidence/suggest.ts";
import { BUILT_CASES } from "./built-cases.ts";
import { absent, COPPER, end, hole, lost, neck, observed, present, skinStart, flat } from "./observed.ts";
import { TEXTBOOK } from "./textbook.ts";
import fc from "../../properties.ts";

/** Types a single end may carry: those with a row that suffices alone. */
const ONE_END_TYPES = new Set<string>(RULES.filter((r) => r.oneEndSuffices).flatMap((r) => r.types));
const ALL = [...TEXTBOOK.map((c) => c.observations), ...BUILT_CASES.map((c) => c.given)];
const anyBreak = fc.constantFrom(...ALL);
const anyEnd = fc.constantFrom(0, 1);

const changeEnd = (o: Observations, index: number, change: (e: ObservedEnd) => ObservedEnd): Observations => ({
  ...o,
  ends: o.ends.map((e, i) => (i === index ? change(e) : e)),
});
const support = (o: Observations, type: BreakTypeId) => weigh(o).ranking.find((r) => r.type === type)?.support ?? 0;

/** Any feature, with measures drawn from its own table. */
const anyFeature: fc.Arbitrary<ObservedFeature> = fc.constantFrom(...FEATURES).chain((spec) =>
  fc
    .record({
      state: fc.constantFrom("present" as const, "present" as const, "absent" as const, "not_assessable" as const),
      measures: fc.record(
        Object.fromEntries(
          spec.measures.map((m) => [
            m.key,
            m.kind === "flag"
              ? fc.boolean()
              : m.kind === "choice"
                ? fc.constantFrom(...m.choices)
                : m.kind === "text"
                  ? fc.constantFrom("dark", "rust")
                  : fc.double({ min: m.min ?? 0, max: m.max ?? 50, noNaN: true }),
          ]),
        ),
        { requiredKeys: [] },
      ),
    })
    .map(({ state, measures }): ObservedFeature => ({
      feature: spec.id,
      state,
      measures: Object.fromEntries(Object.entries(measures).flatMap(([k, v]) => (v === undefined ? [] : [[k, v]]))),
      uncertainty: {},
      markIds: [spec.id],
    })),
);
const randomEnd = (role: ObservedEnd["role"]): fc.Arbitrary<ObservedEnd> =>
  fc.array(anyFeature, { maxLength: 8 }).map((features) => end(role, ...features));
const randomBreak: fc.Arbitrary<Observations> = fc
  .record({
    a: randomEnd("machine"),
    b: randomEnd("spool"),
    metal: fc.constantFrom("copper", "aluminium", "steel"),
    pickled: fc.option(fc.boolean()),
    hydrogenAnneal: fc.option(fc.boolean()),
  })
  .map(({ a, b, ...context }) => observed([a, b], context));
const everyBreak = fc.oneof(anyBreak, randomBreak);

test("taking away one end never decides a break for a type that needs both", () => {
  fc.assert(
    fc.property(everyBreak, anyEnd, fc.boolean(), (o, index, leftOut) => {
      const less = leftOut
        ? { ...o, ends: o.ends.filter((_, i) => i !== index) }
        : changeEnd(o, index, (e) => ({ ...e, recovered: false, features: [] }));
      const { verdict } = weigh(less);
      expect(verdict === "undetermined" || ONE_END_TYPES.has(verdict), verdict).toBe(true);
    }),
    { numRuns: 400 },
  );
});

test("marking the face of one end as not to be assessed never decides a break for a type that needs both", () => {
  fc.assert(
    fc.property(everyBreak, anyEnd, fc.constantFrom(0.5, 0.8, 1, null), (o, index, share) => {
      const damage = present("face_damage", share === null ? {} : { area_fraction: share, kind: "hammered" });
      const { verdict } = weigh(changeEnd(o, index, (e) => ({ ...e, features: [...e.features, damage] })));
      expect(verdict === "undetermined" || ONE_END_TYPES.has(verdict), verdict).toBe(true);
    }),
    { numRuns: 300 },
  );
  fc.assert(
    fc.property(everyBreak, anyEnd, (o, index) => {
      const blind = changeEnd(o, index, (e) => ({
        ...e,
        features: e.features.map((f) => ({ ...f, state: "not_assessable" as const })),
      }));
      expect(weigh(blind).verdict === "undetermined" || ONE_END_TYPES.has(weigh(blind).verdict)).toBe(true);
    }),
    { numRuns: 200 },
  );
});

test("one end with a central hole alone is never decided as a burst or a void", () => {
  fc.assert(
    fc.property(fc.array(anyFeature, { maxLength: 6 }), fc.double({ min: 0.1, max: 0.95, noNaN: true }), (more, d) => {
      const s = weigh(
        observed([end("machine", neck(0.1), hole({ hole_d_over_D: d }), ...more), lost("spool")], COPPER),
      );
      expect(["central_burst", "casting_void"]).not.toContain(s.verdict);
    }),
    { numRuns: 200 },
  );
  expect(weigh(observed([end("machine", neck(0.1), hole())], COPPER)).verdict).toBe("undetermined");
});

const anonymous = (o: Observations) => {
  const s = weigh(o);
  return { verdict: s.verdict, ranking: s.ranking };
};

test("the order of the ends and of the marks does not matter", () => {
  fc.assert(
    fc.property(everyBreak, fc.integer(), (o, seed) => {
      const turn = (features: readonly ObservedFeature[]) => {
        const k = features.length === 0 ? 0 : Math.abs(seed) % features.length;
        return [...features.slice(k), ...features.slice(0, k)].reverse();
      };
      const other = { ...o, ends: [...o.ends].reverse().map((e) => ({ ...e, features: turn(e.features) })) };
      if (o.ends.length < 2) return;
      expect(anonymous(other)).toEqual(anonymous(o));
    }),
    { numRuns: 300 },
  );
});

test("exchanging the roles of the ends leaves the type and turns the place of origin", () => {
  const swapRole = { machine: "spool", spool: "machine", unknown: "unknown" } as const;
  const swapTip: Readonly<Record<string, string>> = {
    toward_spool: "toward_machine",
    toward_machine: "toward_spool",
    all_toward_spool: "all_toward_machine",
    all_toward_machine: "all_toward_spool",
  };
  for (const c of TEXTBOOK) {
    const o = c.observations;
    const turned: Observations = {
      ...o,
      ends: o.ends.map((e) => ({
        ...e,
        role: swapRole[e.role],
        features: e.features.map((f) => ({
          ...f,
          measures: Object.fromEntries(
            Object.entries(f.measures).map(([k, v]) => [k, typeof v === "string" ? (swapTip[v] ?? v) : v]),
          ),
        })),
      })),
    };
    const [before, after] = [suggest(o), suggest(turned)];
    expect(after.verdict, c.id).toBe(before.verdict);
    expect(after.ranking, c.id).toEqual(before.ranking);
    if (before.origin?.reversals === "even") expect(after.origin?.reversals, c.id).toBe("odd");
  }
});

test("high oxygen never changes what a break without a granular face is called", () => {
  fc.assert(
    fc.property(everyBreak, fc.integer({ min: 11, max: 2000 }), (o, oxygenPpm) => {
      fc.pre(o.ends.every((e) => e.features.every((f) => f.feature !== "rock_candy")));
      fc.pre(o.context.hydrogenAnneal !== true && o.context.tests.void_chains !== true);
      expect(anonymous({ ...o, context: { ...o.context, oxygenPpm } })).toEqual(anonymous(o));
    }),
    { numRuns: 200 },
  );
});

test("oxygen never adds to a central burst, whatever else was seen", () => {
  fc.assert(
    fc.property(everyBreak, fc.integer({ min: 0, max: 2000 }), (o, oxygenPpm) => {
      expect(support({ ...o, context: { ...o.context, oxygenPpm } }, "central_burst")).toBe(
        support(o, "central_burst"),
      );
    }),
    { numRuns: 200 },
  );
});

/** Features whose presence each type needs, with the opposite reading left out: absence must not help that type. */
const NEEDS: readonly (readonly [FeatureId, BreakTypeId])[] = [
  ["beach_marks", "fatigue"],
  ["ratchet_marks", "fatigue"],
  ["particle", "inclusion"],
  ["twist_lines", "torsion"],
  ["swirl", "torsion"],
  ["weld_band", "weld_break"],
  ["bend_set", "bending"],
  ["nick", "mechanical_damage"],
  ["longitudinal_line", "surface_defect"],
  ["end_hole", "casting_void"],
  ["end_hole", "central_burst"],
  ["cone_apex", "central_burst"],
  ["rock_candy", "hot_crack"],
  ["melt_bead", "overheated"],
  ["longitudinal_split", "longitudinal_split"],
  ["fibrous_zone", "tensile_overload"],
  ["shear_lip", "tensile_overload"],
  ["corrosion_pit", "corrosion_scc"],
  ["bright_patch", "surface_martensite"],
  ["fracture_plane", "shear_45"],
];

test("looking for something in vain never helps the type that needs it", () => {
  fc.assert(
    fc.property(everyBreak, anyEnd, fc.constantFrom(...NEEDS), (o, index, [feature, type]) => {
      const looked = changeEnd(o, index, (e) =>
        e.recovered ? { ...e, features: [...e.features, absent(feature)] } : e,
      );
      expect(support(looked, type)).toBeLessThanOrEqual(support(o, type));
    }),
    { numRuns: 600 },
  );
});

/** A strong mark for a type, put on both ends of a break. */
const STRONG_MARKS: Readonly<Partial<Record<BreakTypeId, readonly ObservedFeature[]>>> = {
  fatigue: [present("beach_marks"), skinStart],
  weld_break: [present("weld_band", { symmetrical: true })],
  inclusion: [present("particle", { size_over_D: 0.4, r_over_R: 0.4, present_after_clean: true })],
  mechanical_damage: [present("nick", { at_origin: true, both_ends_match: true }), skinStart],
  surface_defect: [
    present("longitudinal_line", { length_d: 30, runs_past_break: true, same_clock_both_ends: true }),
    skinStart,
  ],
  bending: [present("bend_set", { bend_angle_deg: 30, both_ends: true, lip_on_inside: true })],
  hot_crack: [present("rock_candy", { area_fraction: 0.5, dark_oxide: true })],
  overheated: [present("melt_bead")],
  corrosion_scc: [present("face_deposit", { removed_by_clean: false }), present("secondary_crack", { branched: true })],
  longitudinal_split: [present("longitudinal_split", { length_d: 8, through_axis: true })],
};

/** Pairs that fit one break, and are no contradiction. */
const FIT = new Set(["hydrogen_damage longitudinal_split", "corrosion_scc longitudinal_split"]);

const DECIDED = TEXTBOOK.flatMap((c) => {
  const { verdict } = weigh(c.observations);
  return Object.entries(STRONG_MARKS)
    .filter(([type]) => verdict !== "undetermined" && type !== verdict && !FIT.has(`${verdict} ${type}`))
    .map(([type, marks]) => {
      const ends = c.observations.ends.map((e) => ({ ...e, features: [...e.features, ...marks] }));
      return { id: c.id, verdict, type, marked: weigh({ ...c.observations, ends }) };
    })
    .filter(({ type, marked }) =>
      marked.for.some((f) => f.type === type && ["strong", "decisive"].includes(f.strength)),
    );
});

test("a strong mark for a second type that does not fit never leaves the first one decided", () => {
  expect(DECIDED.length).toBeGreaterThan(150);
  for (const { id, verdict, type, marked } of DECIDED)
    expect(marked.verdict, `${id}: ${verdict} with ${type}`).not.toBe(verdict);
});

test("the two-end table says the same whichever end is named first", () => {
  for (const a of END_KINDS) for (const b of END_KINDS) expect(END_PAIRS[a][b], `${a} and ${b}`).toBe(END_PAIRS[b][a]);
});

test("requests only settle, never exceed the doubt there is, and come best first", () => {
  fc.assert(
    fc.property(everyBreak, (o) => {
      const { requests } = suggest(o);
      const shares = requests.map((r) => r.settles);
      expect(shares.every((x) => x > 0 && x <= 1)).toBe(true);
      expect([...shares].sort((x, y) => y - x)).toEqual(shares);
      expect(new Set(requests.map((r) => r.id)).size).toBe(requests.length);
      for (const r of requests) for (const type of r.separates) expect(BREAK_TYPE_IDS).toContain(type);
    }),
    { numRuns: 40 },
  );
});

test("cutting, etching and heating are never asked for without a caution", () => {
  for (const o of ALL)
    for (const r of suggest(o).requests)
      if (/\b(section|etch|bake)\b/i.test(r.text) && !/^(Photograph|Look at)/.test(r.text))
        expect(r.text, r.id).toMatch(/qualified/);
});

test("missing evidence names only features nobody said anything about, on ends in hand", () => {
  fc.assert(
    fc.property(everyBreak, (o) => {
      for (const m of weigh(o).missing) {
        const there = o.ends[m.end];
        expect(there?.recovered).toBe(true);
        expect(there?.features.some((f) => f.feature === m.feature)).toBe(false);
        expect(m.wouldBear.length).toBeGreaterThan(0);
      }
    }),
    { numRuns: 100 },
  );
  const one = weigh(
    observed([end("machine", neck(0.03), present("beach_marks"), skinStart, flat), end("spool", neck(0.03), flat)]),
  );
  expect(one.missing.some((m) => m.end === 1 && m.feature === "beach_marks" && m.view === "E")).toBe(true);
});
