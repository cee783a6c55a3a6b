import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { applyEdit } from "../../../model/break/edits.ts";
import { parseObservationSheets, sheetToObservations } from "../../../model/break/observation-sheet.ts";
import { breakToSheet, sheetToBreak } from "../../../model/break/observation-sheet-break.ts";
import { drawDirectionIn } from "../../../model/break/observation-sheet-context.ts";
import { CONTEXT_KEYS } from "../../../model/break/observation-sheet-schema.ts";
import type { ObservationSheet } from "../../../model/break/observation-sheet-types.ts";
import { RecordError } from "../../../model/break/record-error.ts";
import { parseWireBreak } from "../../../model/break/record-schema.ts";
import type { Photograph, WireBreak } from "../../../model/break/wire-break.ts";
import { FEATURES, type MeasureSpec, VIEW_IDS } from "../../../model/evidence/features.ts";
import { MARK_STATES } from "../../../model/evidence/observations.ts";
import { observe } from "../../../model/measure/observe.ts";
import { AT, dice, editFor, photograph, startBreak, undoable } from "./random-breaks.ts";
import fc from "../../properties.ts";

const textbook = () =>
  JSON.parse(readFileSync(new URL("../evidence/textbook-cases.json", import.meta.url), "utf8")) as {
    readonly id: string;
    readonly ends: readonly { readonly views: readonly string[]; readonly features: readonly unknown[] }[];
  }[];

/** Identifiers in the order they are asked for, so that two imports of one sheet are equal. */
function counter(): () => string {
  let n = 0;
  return () => `n${(n += 1)}`;
}
const importOf = (sheet: ObservationSheet, photographs: Iterable<Photograph> = []): WireBreak =>
  sheetToBreak(sheet, {
    id: "b-1",
    newId: counter(),
    at: AT,
    by: "AB",
    photographs: new Map([...photographs].map((p) => [p.fileName, p])),
  });
const picturesFor = (sheet: ObservationSheet): Photograph[] =>
  sheet.ends.flatMap((end, i) => end.photos.map((p) => photograph(`${i}-${p.file}`, { fileName: p.file })));
const one = (json: unknown): ObservationSheet => parseObservationSheets(json)[0]!;
const throughJson = (sheet: ObservationSheet): ObservationSheet => one(JSON.parse(JSON.stringify(sheet)));

function refusal(json: unknown): RecordError {
  try {
    parseObservationSheets(json);
  } catch (error) {
    if (error instanceof RecordError) return error;
    throw error;
  }
  throw new Error("The sheet was accepted.");
}

function valueOf(spec: MeasureSpec): fc.Arbitrary<unknown> {
  if (spec.kind === "flag") return fc.boolean();
  if (spec.kind === "choice") return fc.constantFrom(...spec.choices);
  if (spec.kind === "text") return fc.string({ maxLength: 20 });
  return fc.integer({ min: (spec.min ?? 0) * 100, max: (spec.max ?? 50) * 100 }).map((n) => n / 100);
}

const geometry = fc.constantFrom(
  { type: "point", points: [[1, 2]] },
  {
    type: "line",
    points: [
      [1, 2],
      [30.5, 4],
    ],
  },
  {
    type: "polygon",
    points: [
      [1, 2],
      [3, 4],
      [5, 0],
    ],
  },
  { type: "ellipse", cx: 10, cy: 20, rx: 5, ry: 4.5, angle_deg: -30 },
  {
    type: "angle",
    points: [
      [1, 2],
      [3, 4],
      [5, 6],
    ],
  },
);

const feature = fc.constantFrom(...FEATURES).chain((spec) =>
  fc.record(
    {
      feature: fc.constant(spec.id),
      state: fc.constantFrom(...MARK_STATES),
      photo: fc.constantFrom("a.jpg", "b.jpg"),
      geometry,
      measures: fc.record(Object.fromEntries(spec.measures.map((m) => [m.key, valueOf(m)])), { requiredKeys: [] }),
      note: fc.string({ minLength: 1, maxLength: 30 }),
    },
    { requiredKeys: ["feature"] },
  ),
);

const endOf = (role: string, prefix: string) =>
  fc.oneof(
    { weight: 1, arbitrary: fc.constant({ role, recovered: false }) },
    {
      weight: 4,
      arbitrary: fc.record({
        role: fc.constant(role),
        views: fc.subarray([...VIEW_IDS]),
        photos: fc
          .tuple(fc.constantFrom(...VIEW_IDS), fc.option(fc.integer({ min: 1, max: 900 })))
          .map(([view, px]) => [
            { file: `${prefix}a.jpg`, view, px_per_mm: px },
            { file: `${prefix}b.jpg`, view: "other", px_per_mm: null },
          ]),
        features: fc.array(
          feature.map((f) => ("photo" in f ? { ...f, photo: prefix + f.photo } : f)),
          { maxLength: 6 },
        ),
        note: fc.string({ maxLength: 20 }),
      }),
    },
  );

const words = fc.string({ minLength: 1, maxLength: 30 }).filter((t) => t !== "unknown");
const context = fc.record(
  {
    draw_direction: fc.constantFrom("arrow recorded, machine end upstream", "not recorded", "not applicable"),
    machine_order: fc.array(words, { minLength: 1, maxLength: 3 }),
    reversals: fc.nat({ max: 5 }),
    transfers: fc.array(fc.constantFrom("spool", "coil", "coil_flipped", "in_line"), { maxLength: 3 }),
    passes: fc.constant([{ die: "7", semi_angle_deg: 8, reduction_pct: 9.5 }]),
    weld_log_distance_m: fc.nat({ max: 900 }),
    weld_log_clear: fc.boolean(),
    oxygen_ppm: fc.nat({ max: 900 }),
    pickled: fc.boolean(),
    first_trip: fc.boolean(),
    tests: fc.record({ core_hv: fc.nat({ max: 900 }), void_chains: fc.boolean() }, { requiredKeys: ["core_hv"] }),
    d0_agree_pct: fc.nat({ max: 20 }),
    mate: fc.constantFrom("yes", "no", "unsure"),
    ref_ra_pct: fc.nat({ max: 100 }),
    process: words,
    notes: words,
    cast: words,
    machine: words,
  },
  { requiredKeys: ["draw_direction"] },
);

const roles = fc.constantFrom(["machine", "spool"], ["unknown", "unknown"]);
const sheetInput = fc.record(
  {
    id: fc.string({ minLength: 1, maxLength: 12 }),
    metal: fc.constantFrom("copper", "aluminium", "steel", "hard brass"),
    grade: words,
    wire_mm: fc.integer({ min: 1, max: 900 }).map((n) => n / 100),
    ends: roles.chain(([a, b]) => fc.tuple(endOf(a, "m"), endOf(b, "s"))),
    context,
  },
  { requiredKeys: ["id", "ends", "context"] },
);

describe("reading observation sheets", () => {
  test("all textbook cases are sheets", () => {
    const cases = textbook();
    const sheets = parseObservationSheets(cases);
    expect(sheets.map((s) => s.id)).toEqual(cases.map((c) => c.id));
    expect(sheets.length).toBe(39);
    sheets.forEach((sheet, i) =>
      expect(sheet.ends.map((e) => e.features.length)).toEqual(cases[i]!.ends.map((e) => e.features.length)),
    );
  });

  test("the older spelling of absent is read as a state, and leaves no measure behind", () => {
    const sheet = one({
      id: "a",
      ends: [{ role: "machine", features: [{ feature: "end_hole", measures: { present: false } }] }],
    });
    expect(sheet.ends[0]?.features[0]).toEqual({ feature: "end_hole", state: "absent", measures: {} });
  });

  test("a feature without a state is present; null measures and the word unknown are left out", () => {
    const sheet = one({
      id: "a",
      ends: [{ role: "machine", features: [{ feature: "neck", measures: { ra_pct: 12, ra_ratio: null } }] }],
      context: { pickled: "unknown", oxygen_ppm: null, reversals: 0, first_trip: false, tests: {} },
    });
    expect(sheet.ends[0]?.features[0]).toEqual({ feature: "neck", state: "present", measures: { ra_pct: 12 } });
    expect(sheet.context).toEqual({ reversals: 0, first_trip: false });
  });

  test("older view names are read, and views are told once, in the order of the view list", () => {
    const sheet = one({
      id: "a",
      ends: [
        {
          role: "machine",
          views: ["long_section", "trans_section", "end_on", "end_on"],
          photos: [{ file: "x.jpg", view: "side_0" }],
        },
      ],
    });
    expect(sheet.ends[0]?.views).toEqual(["end_on", "side_0", "section_long", "section_trans"]);
  });

  test("one object and a list of one say the same; an empty list is no sheet at all", () => {
    const sheet = { id: "a", ends: [] };
    expect(parseObservationSheets(sheet)).toEqual(parseObservationSheets([sheet]));
    expect(parseObservationSheets([])).toEqual([]);
  });

  test("reading is settled after once: what was read is read again as it is", () => {
    for (const sheet of parseObservationSheets(textbook())) expect(throughJson(sheet)).toEqual(sheet);
    fc.assert(
      fc.property(sheetInput, (input) => {
        expect(throughJson(one(input))).toEqual(one(input));
      }),
    );
  });
});

describe("faults of a sheet are named by path", () => {
  const end = (over: object) => ({ id: "a", ends: [{ role: "machine", ...over }] });
  const measured = (name: string, measures: object) => end({ features: [{ feature: name, measures }] });
  const good = { id: "ok", ends: [] };
  const cases: readonly (readonly [string, unknown, string, RegExp])[] = [
    [
      "an unknown feature",
      [
        good,
        { id: "b", ends: [] },
        { id: "c", ends: [] },
        end({ features: [{ feature: "neck" }, { feature: "neck" }, { feature: "cup" }] }),
      ],
      "[3].ends[0].features[2].feature",
      /must be one of "wire_outline"/,
    ],
    ["a missing feature name", end({ features: [{}] }), "ends[0].features[0].feature", /must be one of/],
    ["an unknown role", { id: "a", ends: [{ role: "left" }] }, "ends[0].role", /"machine", "spool", "unknown"/],
    ["an unknown view", end({ views: ["end_on", "sideways"] }), "ends[0].views[1]", /"end_on"/],
    [
      "an unknown state",
      end({ features: [{ feature: "neck", state: "maybe" }] }),
      "ends[0].features[0].state",
      /"not_assessable"/,
    ],
    [
      "an unknown measure",
      measured("neck", { ra_percent: 12 }),
      "ends[0].features[0].measures.ra_percent",
      /not known/,
    ],
    [
      "a measure of another feature",
      measured("neck", { hole_d_over_D: 0.4 }),
      "ends[0].features[0].measures.hole_d_over_D",
      /not known/,
    ],
    [
      "a measure that is text",
      measured("neck", { ra_pct: "12" }),
      "ends[0].features[0].measures.ra_pct",
      /must be a number/,
    ],
    [
      "a reduction of area of 130 %",
      measured("neck", { ra_pct: 130 }),
      "ends[0].features[0].measures.ra_pct",
      /at most 100/,
    ],
    [
      "a hole of negative size",
      measured("end_hole", { hole_d_over_D: -0.1 }),
      "ends[0].features[0].measures.hole_d_over_D",
      /at least 0/,
    ],
    [
      "a wall nobody knows",
      measured("end_hole", { wall_texture: "nice" }),
      "ends[0].features[0].measures.wall_texture",
      /"dendritic"/,
    ],
    ["a missing id", { ends: [] }, "id", /missing/],
    ["an id that is a number", { id: 12, ends: [] }, "id", /must be a text/],
    ["missing ends", { id: "a" }, "ends", /missing/],
    [
      "three ends",
      { id: "a", ends: [{ role: "machine" }, { role: "spool" }, { role: "unknown" }] },
      "ends",
      /at most 2/,
    ],
    ["two machine ends", { id: "a", ends: [{ role: "machine" }, { role: "machine" }] }, "ends[1].role", /one of each/],
    ["an unknown key", { id: "a", ends: [], colour: "red" }, "colour", /not known/],
    ["an unknown key of an end", end({ side: "left" }), "ends[0].side", /not known/],
    [
      "features on an end that was not recovered",
      end({ recovered: false, features: [{ feature: "neck" }] }),
      "ends[0].features",
      /not recovered/,
    ],
    [
      "photographs of an end that was not recovered",
      end({ recovered: false, photos: [{ file: "a.jpg" }] }),
      "ends[0].photos",
      /not recovered/,
    ],
    [
      "a state that contradicts the older spelling",
      end({ features: [{ feature: "neck", state: "present", measures: { present: false } }] }),
      "ends[0].features[0].state",
      /contradicts/,
    ],
    [
      "one photograph twice",
      end({ photos: [{ file: "a.jpg" }, { file: "a.jpg" }] }),
      "ends[0].photos[1].file",
      /twice/,
    ],
    ["a wire of no diameter", { id: "a", wire_mm: 0, ends: [] }, "wire_mm", /more than 0/],
    [
      "a scale of zero",
      end({ photos: [{ file: "a.jpg", px_per_mm: 0 }] }),
      "ends[0].photos[0].px_per_mm",
      /more than 0/,
    ],
    [
      "a line with three points",
      end({
        features: [
          {
            feature: "neck",
            geometry: {
              type: "line",
              points: [
                [1, 1],
                [2, 2],
                [3, 3],
              ],
            },
          },
        ],
      }),
      "ends[0].features[0].geometry.points",
      /./,
    ],
    [
      "a shape nobody knows",
      end({ features: [{ feature: "neck", geometry: { type: "spiral" } }] }),
      "ends[0].features[0].geometry.type",
      /"polygon"/,
    ],
    [
      "a context key that is misspelt",
      { id: "a", ends: [], context: { oxygen_pmm: 420 } },
      "context.oxygen_pmm",
      /text alone/,
    ],
    ["a context fact of the wrong kind", { id: "a", ends: [], context: { pickled: "yes" } }, "context.pickled", /./],
    ["half a reversal", { id: "a", ends: [], context: { reversals: 0.5 } }, "context.reversals", /whole number/],
    [
      "an unknown transfer",
      { id: "a", ends: [], context: { transfers: ["spool", "boat"] } },
      "context.transfers[1]",
      /"in_line"/,
    ],
    [
      "a pass without a die angle",
      { id: "a", ends: [], context: { passes: [{ die: 4, reduction_pct: 18 }] } },
      "context.passes[0].semi_angle_deg",
      /missing/,
    ],
    [
      "a test result of the wrong kind",
      { id: "a", ends: [], context: { tests: { white_layer: "yes" } } },
      "context.tests.white_layer",
      /./,
    ],
    ["the same break twice", [{ id: "a", ends: [] }, good, { id: "a", ends: [] }], "[2].id", /given already, in \[0\]/],
    ["a sheet that is a text", ["text"], "[0]", /must be an object/],
    ["nothing", null, "", /must be an object/],
    ["a hostile key", JSON.parse('{"id":"a","ends":[],"__proto__":{"polluted":1}}'), "__proto__", /not known/],
  ];
  test.each(cases)("%s", (_name, json, field, sentence) => {
    const error = refusal(json);
    expect([error.field, error.sentence]).toEqual([field, expect.stringMatching(sentence)]);
    expect(error.next).not.toBe("");
  });

  test("every fault of every sheet is told at once", () => {
    const error = refusal([
      { id: "a", ends: [{ role: "left" }] },
      { id: "b", ends: [], colour: 1 },
    ]);
    expect(error.faults.map((f) => f.field)).toEqual(["[0].ends[0].role", "[1].colour"]);
  });
});

describe("what the evidence room learns from a sheet", () => {
  test("an end that the sheet does not mention was not recovered", () => {
    const seen = sheetToObservations(one({ id: "a", ends: [{ role: "spool", features: [{ feature: "end_hole" }] }] }));
    expect(seen.ends).toEqual([
      {
        role: "spool",
        recovered: true,
        views: [],
        features: [{ feature: "end_hole", state: "present", measures: {}, uncertainty: {}, markIds: [] }],
      },
      { role: "machine", recovered: false, views: [], features: [] },
    ]);
    expect(sheetToObservations(one({ id: "a", ends: [] })).ends.map((e) => [e.role, e.recovered])).toEqual([
      ["machine", false],
      ["spool", false],
    ]);
    expect(sheetToObservations(one({ id: "a", ends: [{ role: "unknown" }] })).ends.map((e) => e.role)).toEqual([
      "unknown",
      "unknown",
    ]);
  });

  test("context facts reach the rules under their names, and what is left out stays unknown", () => {
    const { context } = sheetToObservations(
      one({
        id: "a",
        metal: "Aluminum",
        grade: "1350",
        wire_mm: 3,
        ends: [],
        context: {
          draw_direction: "arrow recorded, machine end upstream",
          passes: [{ die: 4, semi_angle_deg: 8, reduction_pct: 18 }],
          transfers: ["in_line"],
          reversals: 0,
          weld_log_distance_m: 0.5,
          oxygen_ppm: 420,
          hydrogen_anneal: true,
          pickled: false,
          delayed_h: 12,
          first_trip: true,
          tests: { core_hv: 620 },
          d0_agree_pct: 12,
          mate: true,
          ref_ra_pct: 44,
          notes: "reference RA 40 %",
          process: "slow speed break",
        },
      }),
    );
    expect(context).toEqual({
      metal: "aluminium",
      grade: "1350",
      wireMm: 3,
      drawDirectionKnown: true,
      reversals: 0,
      whichEndLeads: null,
      transfers: ["in_line"],
      passes: [{ die: "4", semiAngleDeg: 8, reductionPct: 18 }],
      weldLogDistanceM: 0.5,
      weldLogClear: null,
      oxygenPpm: 420,
      hydrogenAnneal: true,
      pickled: false,
      delayedH: 12,
      firstTrip: true,
      strengthMPa: null,
      refRaPct: 44,
      slipOrGrabLogged: null,
      repeatsInCast: null,
      d0AgreePct: 12,
      mate: "yes",
      tests: { core_hv: 620 },
      process: "slow speed break",
    });
  });

  test.each([
    ["arrow recorded, machine end upstream", "recorded"],
    ["left to right", "recorded"],
    ["not recorded", "not-recorded"],
    ["Not known", "not-recorded"],
    ["arrow lost with the bag", "not-recorded"],
    ["", "not-recorded"],
    [undefined, "not-recorded"],
    ["not applicable", "not-applicable"],
  ] as const)("draw direction in the words %j", (text, expected) => {
    expect(drawDirectionIn(text)).toBe(expected);
  });
});

describe("a sheet becomes a break and a break becomes a sheet", () => {
  test("the evidence room learns the same from a sheet and from the break made of it", () => {
    for (const sheet of parseObservationSheets(textbook())) {
      const direct = sheetToObservations(sheet);
      const stored = observe(importOf(sheet));
      expect(stored.ends.map((e) => [e.role, e.recovered])).toEqual(
        [...direct.ends].sort((a, b) => a.role.localeCompare(b.role)).map((e) => [e.role, e.recovered]),
      );
      for (const end of direct.ends) {
        // Ends of unknown role keep their order.
        const twin =
          end.role === "unknown" ? stored.ends[direct.ends.indexOf(end)] : stored.ends.find((e) => e.role === end.role);
        expect([...twin!.views].sort()).toEqual([...end.views].sort());
        for (const { feature, state, measures } of end.features) {
          const seen = twin!.features.find((f) => f.feature === feature);
          expect([sheet.id, feature, seen?.state]).toEqual([sheet.id, feature, state]);
          if (state === "present") expect(seen?.measures).toMatchObject(measures);
        }
      }
      const { d0AgreePct, ...rest } = direct.context;
      expect(stored.context).toMatchObject(rest);
      if (d0AgreePct !== null) expect(stored.context.d0AgreePct).toBe(d0AgreePct);
    }
  });

  test("sheet to break to sheet gives the sheet back", () => {
    fc.assert(
      fc.property(sheetInput, (input) => {
        const sheet = one(input);
        const wireBreak = importOf(sheet, picturesFor(sheet));
        expect(parseWireBreak(JSON.parse(JSON.stringify(wireBreak)))).toEqual(wireBreak);
        const only = (f: ObservationSheet) => ({
          ...f,
          ends: f.ends.map((e) => ({ ...e, features: e.features.map((x) => ({ ...x, photo: null })) })),
        });
        const back = throughJson(breakToSheet(wireBreak));
        expect(only(back)).toEqual(only(sheet));
        back.ends.forEach((e, i) =>
          e.features.forEach((f, k) => {
            const asked = sheet.ends[i]!.features[k]!.photo;
            if (asked !== undefined) expect(f.photo).toBe(asked);
          }),
        );
      }),
    );
  });

  test("break to sheet to break keeps ends, marks, geometry, states and notes", () => {
    fc.assert(
      fc.property(fc.array(dice, { maxLength: 30 }), (throws) => {
        let now = startBreak();
        for (const thrown of throws) now = applyEdit(now, editFor(now, thrown), AT).next;
        const sheet = throughJson(breakToSheet(now));
        const photographs = [...now.ends.machine.photographs, ...now.ends.takeUp.photographs];
        const again = importOf(sheet, photographs);
        expect(breakToSheet(again)).toEqual(sheet);
        for (const side of ["machine", "takeUp"] as const) {
          expect(again.ends[side].photographs.map((p) => p.id)).toEqual(now.ends[side].photographs.map((p) => p.id));
          const plain = (b: WireBreak) =>
            b.ends[side].marks.map((m) => ({ f: m.feature, s: m.state, g: m.geometry, given: m.given, note: m.note }));
          expect(plain(again)).toEqual(plain(now));
        }
        expect(again.context).toEqual(now.context);
        expect(again.pairing).toEqual(now.pairing);
      }),
    );
  });

  test("a frozen record, written as a sheet, is read without a fault", () => {
    const stored = parseWireBreak(
      JSON.parse(readFileSync(new URL("../../frozen/break-v1.json", import.meta.url), "utf8")),
    );
    const sheet = breakToSheet(stored);
    expect(throughJson(sheet)).toEqual(sheet);
    expect(sheet.ends[0]?.photos.map((p) => p.px_per_mm)).toEqual([812.4 / 2.6, Math.hypot(500, 1.5)]);
    expect(sheet.ends[1]?.photos.map((p) => p.px_per_mm)).toEqual([412.6, 53.7]);
    expect(sheet.ends[1]?.views).toEqual(["end_on", "side_90", "tilt_45"]);
  });

  test("the spool end is the take-up end whatever the order; the number is the sheet's own", () => {
    const b = importOf(
      one({
        id: "B-0412",
        ends: [
          { role: "spool", note: "s" },
          { role: "machine", note: "m" },
        ],
      }),
    );
    expect([b.number, b.ends.machine.note, b.ends.takeUp.note, b.rolesKnown]).toEqual(["B-0412", "m", "s", true]);
    expect([b.ends.machine.recovery, b.ends.takeUp.recovery]).toEqual(["recovered", "recovered"]);
  });

  test("an end that is not mentioned was not recovered", () => {
    const b = importOf(one({ id: "a", ends: [{ role: "spool" }] }));
    expect([b.ends.machine.recovery, b.ends.takeUp.recovery]).toEqual(["not-recovered", "recovered"]);
  });

  test("ends of unknown role take the places in their order, and the roles are not known", () => {
    const b = importOf(
      one({
        id: "a",
        ends: [
          { role: "unknown", note: "first" },
          { role: "unknown", note: "second" },
        ],
      }),
    );
    expect([b.ends.machine.note, b.ends.takeUp.note, b.rolesKnown]).toEqual(["first", "second", false]);
    const mixed = importOf(
      one({
        id: "a",
        ends: [
          { role: "unknown", note: "first" },
          { role: "machine", note: "second" },
        ],
      }),
    );
    expect([mixed.ends.machine.note, mixed.ends.takeUp.note, mixed.rolesKnown]).toEqual(["second", "first", false]);
  });

  test("a picture that is not at hand is said in the note, and no shape is lost", () => {
    const shape = { type: "ellipse", cx: 1, cy: 2, rx: 3, ry: 3, angle_deg: 0 };
    const b = importOf(
      one({
        id: "a",
        ends: [
          {
            role: "machine",
            note: "trimmed",
            photos: [
              { file: "img_01.jpg", view: "end_on", px_per_mm: 53.7 },
              { file: "img_02.jpg", view: "side_0" },
            ],
            features: [{ feature: "end_hole", photo: "img_01.jpg", geometry: shape }],
          },
        ],
      }),
    );
    expect(b.ends.machine.note).toBe("trimmed\nPictures not at hand: img_01.jpg (53.7 px/mm); img_02.jpg.");
    expect(b.ends.machine.marks[0]).toMatchObject({ photographId: null, geometry: shape });
    expect(b.ends.machine.statedViews).toEqual(["end_on", "side_0"]);
  });

  test("a shape without a picture lies on the only picture of its end", () => {
    const sheet = one({
      id: "a",
      ends: [
        {
          role: "machine",
          photos: [{ file: "x.jpg", view: "side_0", px_per_mm: 100 }],
          features: [
            {
              feature: "neck",
              geometry: {
                type: "line",
                points: [
                  [0, 0],
                  [0, 90],
                ],
              },
            },
            { feature: "nick" },
          ],
        },
      ],
    });
    const b = importOf(sheet, [photograph("px", { fileName: "x.jpg", view: "other" })]);
    expect(b.ends.machine.marks.map((m) => m.photographId)).toEqual(["px", null]);
    expect(b.ends.machine.photographs[0]).toMatchObject({
      view: "side_0",
      scale: { method: "stated", pxPerMm: { value: 100, u: 0 } },
    });
  });

  test("one picture of both ends is filed under each end with an identifier of its own", () => {
    const end = (role: string) => ({ role, photos: [{ file: "x.jpg", view: "both_ends" }] });
    const b = importOf(one({ id: "a", ends: [end("machine"), end("spool")] }), [
      photograph("px", { fileName: "x.jpg" }),
    ]);
    expect([b.ends.machine.photographs[0]?.id, b.ends.takeUp.photographs[0]?.id]).toEqual(["px", "n1"]);
    expect(parseWireBreak(b)).toEqual(b);
  });

  test("rendered breaks say so on every photograph", () => {
    const sheet = one({
      id: "a",
      ends: [{ role: "machine", photos: [{ file: "x.jpg", view: "end_on" }] }],
      context: { rendered: true },
    });
    const b = importOf(sheet, [photograph("px", { fileName: "x.jpg" })]);
    expect([b.demo, b.ends.machine.photographs[0]?.rendered]).toEqual([true, true]);
    expect(breakToSheet(b).context.rendered).toBe(true);
  });

  test("texts under keys of the mill's own, and odd draw directions, are kept in the notes", () => {
    const b = importOf(
      one({
        id: "a",
        ends: [],
        context: { notes: "n", draw_direction: "left to right", shift_crew: "night", same_line_clock: true },
      }),
    );
    expect(b.context.notes).toBe("n\ndraw direction: left to right\nsame line clock: yes\nshift crew: night");
    expect(b.context.drawDirection).toBe("recorded");
  });

  test("every context key a sheet may carry reaches the break", () => {
    const values: Readonly<Record<string, unknown>> = {
      draw_direction: "not applicable",
      machine_order: ["a"],
      transfers: ["coil"],
      passes: [{ die: "1", semi_angle_deg: 6, reduction_pct: 20 }],
      tests: { core_hv: 1 },
      mate: "no",
      reversals: 3,
      rendered: true,
    };
    const flags = new Set([
      "weld_log_clear",
      "hydrogen_anneal",
      "pickled",
      "first_trip",
      "slip_or_grab_logged",
      "repeats_in_cast",
      "same_line_clock",
      "ends_swapped_check",
    ]);
    const numbers = /(_m|_mm|_ppm|_h|_mpa|_pct|_mps)$/;
    for (const key of CONTEXT_KEYS) {
      const value = values[key] ?? (flags.has(key) ? true : numbers.test(key) ? 7 : "some text");
      const empty = importOf(one({ id: "a", ends: [] }));
      const filled = importOf(one({ id: "a", ends: [], context: { [key]: value } }));
      expect([key, JSON.stringify(undoable(filled)) === JSON.stringify(undoable(empty))]).toEqual([key, false]);
    }
  });
});
