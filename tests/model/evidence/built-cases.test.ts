import { describe, expect, test } from "vitest";
import { RULES, ruleRow } from "../../../model/evidence/rules/index.ts";
import { SOURCES } from "../../../model/evidence/sources.ts";
import { suggest, weigh } from "../../../model/evidence/suggest.ts";
import { FEATURE_IDS } from "../../../model/evidence/features.ts";
import { BREAK_TYPE_IDS } from "../../../model/evidence/break-type-ids.ts";
import type { Observations } from "../../../model/evidence/observations.ts";
import { BUILT_CASES } from "./built-cases.ts";
import {
  both,
  COPPER,
  end,
  flat,
  neck,
  NOTHING_KNOWN,
  observed,
  present,
  STEEL,
  hole,
  cone,
  absent,
} from "./observed.ts";
import { TEXTBOOK } from "./textbook.ts";

const firedIn = (o: Observations) => {
  const s = weigh(o);
  return new Set<string>([...s.gates, ...s.for, ...s.against, ...s.notes].map((f) => f.rule));
};

describe.each(BUILT_CASES.map((c) => [c.name, c] as const))("%s", (_name, c) => {
  const s = suggest(c.given);
  test(`is ${c.verdict}`, () => expect(s.verdict, s.says).toBe(c.verdict));
  if (c.fires !== undefined)
    test(`fires ${c.fires.join(", ")}`, () =>
      expect([...firedIn(c.given)]).toEqual(expect.arrayContaining([...(c.fires ?? [])])));
  if (c.asks !== undefined)
    test(`asks ${c.asks.join(", ")}`, () =>
      expect(s.requests.map((r) => r.id)).toEqual(expect.arrayContaining([...(c.asks ?? [])])));
});

/** Test answers that no case above carries, each with what they are read beside. */
const ANSWERS: readonly Observations[] = [
  both({ ...COPPER, tests: { sem_striations: false } }, neck(0.05), flat),
  both({ ...COPPER, tests: { eds_foreign: true } }, neck(0.2)),
  both({ ...COPPER, tests: { eds_foreign: false } }, neck(0.2)),
  both({ ...COPPER, tests: { eds_lead_bismuth: true, oxide_in_cracks: true } }, present("rock_candy")),
  both(
    { ...COPPER, tests: { eds_lead_bismuth: false, oxide_in_cracks: false, void_chains: false } },
    present("rock_candy"),
  ),
  both({ ...COPPER, hydrogenAnneal: false, pickled: false }, present("rock_candy")),
  both({ ...COPPER, weldLogClear: true, tests: { section_sound: true } }, flat),
  both({ ...COPPER, weldLogClear: true }, flat),
  both({ ...COPPER, pickled: true }, present("rock_candy")),
  both({ ...STEEL, tests: { bake_recovers: false } }, present("secondary_crack")),
  both({ ...STEEL, tests: { bake_recovers: true } }, present("secondary_crack")),
  both({ ...STEEL, tests: { other_wires_fatigue: true } }, flat),
  both({ ...STEEL, tests: { other_wires_fatigue: false } }, flat),
  both({ ...STEEL, slipOrGrabLogged: true }, present("bright_patch"), neck(0.2)),
  both({ ...STEEL, slipOrGrabLogged: false }, neck(0.2)),
  both({ ...STEEL, pickled: false, tests: { torsion_delaminates: true } }, present("longitudinal_split")),
  both({ ...COPPER, tests: { arc_logged: true } }, present("melt_bead")),
  both({ ...COPPER, tests: { cavity_short: true } }, hole()),
];

test("every rule fires at least once over the textbook cases, the built cases and the test answers", () => {
  const fired = new Set<string>();
  for (const o of [...TEXTBOOK.map((c) => c.observations), ...BUILT_CASES.map((c) => c.given), ...ANSWERS])
    for (const rule of firedIn(o)) fired.add(rule);
  expect(RULES.map((r) => r.id).filter((id) => !fired.has(id))).toEqual([]);
});

test("no rule fires when nothing is known", () => {
  for (const ends of [[], [end("machine")], [end("machine"), end("spool")]])
    for (const metal of [null, "copper", "aluminium", "steel"])
      expect([...firedIn(observed(ends, { metal }))], `${ends.length} ends, ${String(metal)}`).toEqual([]);
});

test("the tables hold R01 to R82 once each, and every row can be read", () => {
  const ids = RULES.map((r) => r.id);
  expect(new Set(ids).size).toBe(ids.length);
  for (let n = 1; n <= 82; n++) expect(ids).toContain(`R${String(n).padStart(2, "0")}`);
  for (const row of RULES) {
    expect(row.says.length * row.reason.length, row.id).toBeGreaterThan(0);
    expect(ruleRow(row.id)).toBe(row);
    for (const feature of row.reads) expect(FEATURE_IDS).toContain(feature);
    for (const type of row.types) expect(BREAK_TYPE_IDS).toContain(type);
    if (row.standing === "published") expect(row.sources.length, row.id).toBeGreaterThan(0);
  }
  expect(() => ruleRow("R999")).toThrow(RangeError);
});

test("every source key of a rule resolves", () => {
  const known = new Set(Object.keys(SOURCES));
  expect(RULES.flatMap((r) => r.sources).filter((key) => !known.has(key))).toEqual([]);
});

test("oxygen is never written as a cause of a burst", () => {
  const burst = observed(
    [end("machine", neck(0.1), ...cone(), absent("fibrous_zone")), end("spool", neck(0.1), hole())],
    { ...COPPER, oxygenPpm: 600 },
  );
  const s = suggest(burst);
  expect(s.notes.map((n) => n.rule)).toContain("R23");
  expect(s.for.some((f) => /oxygen/i.test(f.says))).toBe(false);
  expect(s.origin?.says ?? "").not.toMatch(/oxygen/i);
});

test("every firing explains itself with its marks: a burst names its numbers", () => {
  const s = suggest(
    observed([end("machine", present("neck", { ra_pct: 6, ra_ratio: 0.09 }), ...cone()), end("spool", hole())], COPPER),
  );
  const r02 = s.for.find((f) => f.rule === "R02");
  expect(r02?.says).toContain("0.6 D");
  expect(r02?.says).toContain("reduction of area 6 % (0.09 of the reference pull)");
  expect(r02?.markIds).toEqual(expect.arrayContaining(["cone_apex-mark", "end_hole-mark", "neck-mark"]));
  expect(r02?.ends).toEqual([0, 1]);
});

test.each([
  ["a reference pull", { ...COPPER, refRaPct: 60 }, 50, "full"],
  ["hard copper without a pull", COPPER, 50, "full"],
  ["soft copper without a pull", { metal: "copper", grade: "ETP, annealed" }, 50, "grey"],
  ["temper in words", { metal: "copper", grade: "ETP", temper: "soft" }, 20, "suppressed"],
  ["high-carbon steel without a pull", STEEL, 26, "full"],
  ["low-carbon steel without a pull", { metal: "steel", grade: "low-carbon" }, 26, "grey"],
  ["stainless steel without a pull", { metal: "steel", grade: "stainless, drawn" }, 15, "suppressed"],
  ["hard aluminium without a pull", { metal: "aluminium", grade: "1350 hard" }, 41, "full"],
  ["copper of unknown temper, the cautious limits", { metal: "copper", grade: "ETP" }, 50, "grey"],
] as const)("reduction of area is read against %s", (_name, context, pct, state) => {
  const fired = firedIn(both({ ...NOTHING_KNOWN, ...context }, present("neck", { ra_pct: pct }), present("cone_apex")));
  expect(fired.has("R78")).toBe(state === "full");
  const pair = firedIn(
    observed(
      [
        end("machine", present("neck", { ra_pct: pct }), ...cone()),
        end("spool", present("neck", { ra_pct: pct }), hole()),
      ],
      context,
    ),
  );
  expect(pair.has("R28")).toBe(state === "grey");
  expect(pair.has("R25")).toBe(state === "suppressed");
});
