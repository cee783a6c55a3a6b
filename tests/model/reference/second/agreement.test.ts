import { describe, expect, test } from "vitest";
import { applyEdit } from "../../../../model/break/edits.ts";
import type { Mark, SecondReading, WireBreak } from "../../../../model/break/wire-break.ts";
import { seeded } from "../../../../model/classifier/seeded.ts";
import { BREAK_TYPE_IDS, type Verdict } from "../../../../model/evidence/break-type-ids.ts";
import { krippendorffAlpha } from "../../../../model/reference/agreement/alpha.ts";
import { cohenKappa } from "../../../../model/reference/agreement/kappa.ts";
import { compareMarks } from "../../../../model/reference/second/compare-marks.ts";
import { agreementFigures, FEWEST_BREAKS, type FigureBreak } from "../../../../model/reference/second/figures.ts";
import { firstLineFor, pairsOf, settlementOf } from "../../../../model/reference/second/pairs.ts";
import { readBreakOf } from "../../../../model/reference/second/read-break.ts";
import { samePerson } from "../../../../model/reference/second/reader-name.ts";
import { AT, mark, photograph, secondReading, startBreak } from "../../break/random-breaks.ts";
import { confirmed, READERS, readBreak } from "./random-read.ts";
import fc from "../../../properties.ts";

const later = (minutes: number): string => new Date(Date.parse(AT) + 60_000 * minutes).toISOString();

describe("which readings make a pair", () => {
  test("two people always; a reading by the first reader never counts", () => {
    fc.assert(
      fc.property(readBreak, fc.constantFrom(...READERS), (wireBreak, by) => {
        for (const { first, second } of pairsOf(wireBreak)) expect(samePerson(first.by, second.by)).toBe(false);
        const own = secondReading("own", { by, at: later(-60) });
        const more: WireBreak = { ...wireBreak, readings: [...(wireBreak.readings ?? []), own] };
        const first = firstLineFor(more, own);
        if (first !== null && samePerson(first.by, by)) {
          expect(pairsOf(more).map(({ second }) => second.id)).not.toContain("own");
          expect(readBreakOf(more)).toEqual(readBreakOf(wireBreak));
        }
      }),
    );
  });

  test("the one it was made beside; before any confirmation the first that does not rest on it; else none", () => {
    const lines = [
      confirmed("c1", "torsion", "A", { resolves: ["r"] }),
      confirmed("c2", "fatigue", "A"),
      confirmed("c3", "inclusion", "B"),
    ];
    const wireBreak = { ...startBreak(), confirmations: lines };
    expect(firstLineFor(wireBreak, secondReading("r", { beside: "c3" }))?.id).toBe("c3");
    expect(firstLineFor(wireBreak, secondReading("r", { beside: null }))?.id).toBe("c2");
    expect(firstLineFor(wireBreak, secondReading("r", { beside: "gone" }))).toBeNull();
    expect(firstLineFor(startBreak(), secondReading("r"))).toBeNull();
  });

  test("of each reader the earliest, in the order of time", () => {
    const wireBreak = {
      ...startBreak(),
      confirmations: [confirmed("c1", "torsion", "A")],
      readings: [
        secondReading("late", { by: "C", beside: "c1", at: later(9) }),
        secondReading("again", { by: "b", beside: "c1", at: later(5) }),
        secondReading("early", { by: "B", beside: "c1", at: later(1) }),
      ],
    };
    expect(pairsOf(wireBreak).map(({ second }) => second.id)).toEqual(["early", "late"]);
  });
});

describe("what became of a disagreement", () => {
  const reading = secondReading("r", { by: "B", beside: "c1", at: later(10) });
  const start: WireBreak = { ...startBreak(), confirmations: [confirmed("c1", "torsion", "A")], readings: [reading] };
  const after = (...more: WireBreak["confirmations"]) =>
    settlementOf({ ...start, confirmations: [...start.confirmations, ...more] }, reading);
  test("open until a line names it, or the break is re-opened after it", () => {
    expect(after()).toEqual({ state: "open" });
    expect(after(confirmed("c2", "fatigue", "C", { at: later(20) }))).toEqual({ state: "open" });
    expect(after(confirmed("c2", "fatigue", "C", { resolves: ["r"] }))).toMatchObject({
      state: "settled",
      line: { id: "c2" },
    });
    const reopened = { kind: "reopened", id: "o", reason: "why", by: "C", at: later(20) } as const;
    expect(after(reopened)).toMatchObject({ state: "reopened", line: { id: "o" } });
    expect(after(reopened, confirmed("c3", "fatigue", "C", { at: later(30) }))).toMatchObject({
      state: "settled",
      line: { id: "c3" },
    });
    expect(after({ ...reopened, at: later(5) })).toEqual({ state: "open" });
  });
});

const D = 400;
const outline = (id: string, by: string): Mark =>
  mark(id, {
    by,
    feature: "wire_outline",
    photographId: "p",
    geometry: { type: "ellipse", cx: 800, cy: 600, rx: D / 2, ry: D / 2, angle_deg: 0 },
  });
const hole = (id: string, by: string, cx: number, r = 80): Mark =>
  mark(id, {
    by,
    feature: "end_hole",
    photographId: "p",
    geometry: { type: "ellipse", cx, cy: 600, rx: r, ry: r, angle_deg: 0 },
  });
const tip = (id: string, by: string, x: number): Mark =>
  mark(id, { by, feature: "cone_apex", photographId: "p", geometry: { type: "point", points: [[x, 600]] } });
const stated = (id: string, by: string, feature: Mark["feature"], state: Mark["state"]): Mark =>
  mark(id, { by, feature, state });

function read(first: readonly Mark[], second: readonly Mark[]): { wireBreak: WireBreak; reading: SecondReading } {
  const start = startBreak();
  const reading = secondReading("r", { by: "B", beside: "c1", marks: { machine: second, takeUp: [] } });
  const machine = {
    ...start.ends.machine,
    recovery: "recovered" as const,
    photographs: [photograph("p")],
    marks: first,
  };
  return {
    reading,
    wireBreak: {
      ...start,
      ends: { ...start.ends, machine },
      confirmations: [confirmed("c1", "torsion", "A")],
      readings: [reading],
    },
  };
}

describe("marks of two readers", () => {
  test("overlap of outlines; distance in wire diameters, by the first reader's outline; who drew what alone", () => {
    const { wireBreak, reading } = read(
      [outline("a1", "A"), hole("a2", "A", 800), tip("a3", "A", 700), stated("a4", "A", "neck", "absent")],
      [
        hole("b2", "B", 800),
        tip("b3", "B", 720),
        stated("b4", "B", "neck", "present"),
        stated("b5", "B", "swirl", "absent"),
      ],
    );
    const found = compareMarks(wireBreak, reading);
    const of = (feature: string) => found.drawn.find((pair) => pair.feature === feature);
    expect(of("end_hole")?.iou).toBeCloseTo(1, 9);
    expect(of("cone_apex")?.distanceD).toBeCloseTo(20 / D, 9);
    expect(found.firstOnly).toEqual(["wire_outline"]);
    expect(found.secondOnly).toEqual([]);
    expect(found.judged).toEqual([
      { side: "machine", feature: "end_hole", first: "present", second: "present" },
      { side: "machine", feature: "cone_apex", first: "present", second: "present" },
      { side: "machine", feature: "neck", first: "absent", second: "present" },
      { side: "machine", feature: "swirl", first: null, second: "absent" },
    ]);
    expect(found.strong).toEqual([{ by: "opposite", side: "machine", feature: "neck" }]);
  });

  test("another size, another place, or little in common differs strongly", () => {
    const one = read(
      [outline("a1", "A"), hole("a2", "A", 800, 160), tip("a3", "A", 700)],
      [hole("b2", "B", 800, 80), tip("b3", "B", 790)],
    );
    const found = compareMarks(one.wireBreak, one.reading);
    // A circle of half the radius inside another covers a quarter of it.
    expect(found.strong).toEqual([
      { by: "shape", side: "machine", feature: "end_hole", iou: expect.closeTo(0.25, 2) as number },
      { by: "place", side: "machine", feature: "cone_apex", distanceD: expect.closeTo(90 / D, 9) as number },
    ]);
    const two = read([outline("a1", "A"), hole("a2", "A", 700)], [hole("b2", "B", 950), tip("b3", "B", 720)]);
    expect(compareMarks(two.wireBreak, two.reading).strong).toEqual([{ by: "few-in-common", share: 0 }]);
  });

  test("ends swapped since: the readings still meet", () => {
    const { wireBreak, reading } = read(
      [outline("a1", "A"), hole("a2", "A", 800), stated("a4", "A", "neck", "absent")],
      [hole("b2", "B", 800), stated("b4", "B", "neck", "absent")],
    );
    const swapped = applyEdit(wireBreak, { kind: "swap-ends" }, AT).next;
    const [before, now] = [compareMarks(wireBreak, reading), compareMarks(swapped, reading)];
    expect(now.judged.map(({ first, second }) => [first, second])).toEqual(
      before.judged.map(({ first, second }) => [first, second]),
    );
    expect(now.drawn.map(({ side, iou }) => [side, iou])).toEqual([["takeUp", before.drawn[0]?.iou]]);
    expect(now.judged.every(({ side }) => side === "takeUp")).toBe(true);
  });

  test("what the second reader marked later on the bench is not the first reader's", () => {
    const { wireBreak, reading } = read([hole("x", "b", 800)], [hole("b2", "B", 800)]);
    expect(compareMarks(wireBreak, reading)).toMatchObject({ drawn: [], firstOnly: [], secondOnly: ["end_hole"] });
  });
});

const TYPES: readonly Verdict[] = [...BREAK_TYPE_IDS.slice(0, 4), "undetermined"];
const type = fc.constantFrom(...TYPES);
const state = fc.constantFrom("present", "absent", "not_assessable", null);
const figureBreak: fc.Arbitrary<FigureBreak> = fc
  .record({ a: type, b: type, judged: fc.array(fc.record({ first: state, second: state }), { maxLength: 4 }) })
  .map(({ a, b, judged }) => ({
    pairs: [
      {
        first: { by: "A", type: a, reason: "" },
        second: { by: "B", type: b, at: AT, note: "" },
        marks: {
          drawn: [],
          firstOnly: ["neck"],
          secondOnly: ["swirl", "swirl"],
          judged: judged.map((j) => ({ ...j, side: "machine", feature: "neck" })),
        },
      },
    ],
  }));
const swapped = ({ pairs }: FigureBreak): FigureBreak => ({
  pairs: pairs.map(({ first, second, marks }) => ({
    first: { by: second.by, type: second.type, reason: "" },
    second: { ...second, by: first.by, type: first.type },
    marks: {
      drawn: [],
      firstOnly: marks.secondOnly,
      secondOnly: marks.firstOnly,
      judged: marks.judged.map(({ first: f, second: s, ...rest }) => ({ ...rest, first: s, second: f })),
    },
  })),
});
const pairOf = (a: Verdict, b: Verdict, by = "B") => ({
  first: { by: "A", type: a, reason: "" },
  second: { by, type: b, at: AT, note: "" },
  marks: { drawn: [], firstOnly: [], secondOnly: [], judged: [] },
});

describe("figures of agreement", () => {
  test("swapping first and second reader keeps kappa, its interval, the weighted kappa and the shares", () => {
    fc.assert(
      fc.property(fc.array(figureBreak, { minLength: FEWEST_BREAKS, maxLength: 40 }), (breaks) => {
        const [one, other] = [agreementFigures(breaks, seeded), agreementFigures(breaks.map(swapped), seeded)];
        expect(other.same).toBe(one.same);
        if ("value" in one.kappa) {
          const b = "value" in other.kappa ? other.kappa.value : null;
          for (const key of ["kappa", "low", "high", "observed"] as const)
            expect(b?.[key]).toBeCloseTo(one.kappa.value[key], 9);
        } else expect(other.kappa).toEqual(one.kappa);
        if ("value" in one.states.kappa)
          expect("value" in other.states.kappa && other.states.kappa.value.kappa).toBeCloseTo(
            one.states.kappa.value.kappa,
            9,
          );
        expect(other.byType.map(({ share }) => share)).toEqual(one.byType.map(({ share }) => share));
        expect(other.marks.map(({ share }) => share)).toEqual(one.marks.map(({ share }) => share));
      }),
      { numRuns: 30 },
    );
  });

  test("few breaks give no kappa but say how many there are; one answer to all gives none either", () => {
    const few = Array.from({ length: 4 }, () => ({ pairs: [pairOf("torsion", "torsion")] }));
    expect(agreementFigures(few, seeded)).toMatchObject({
      breaks: 4,
      same: 4,
      kappa: { none: "too-few", have: 4, need: FEWEST_BREAKS },
      alpha: null,
    });
    const alike = Array.from({ length: 12 }, () => ({ pairs: [pairOf("torsion", "torsion")] }));
    expect(agreementFigures(alike, seeded).kappa).toEqual({ none: "one-answer" });
    expect(agreementFigures([], seeded)).toMatchObject({ breaks: 0, byType: [], marks: [] });
  });

  test("kappa takes the earliest second reading of each break, alpha every one", () => {
    const breaks: FigureBreak[] = Array.from({ length: 20 }, (_, i) => {
      const a = TYPES[i % 3]!;
      const b = TYPES[(i % 5 === 0 ? i + 1 : i) % 3]!;
      return { pairs: i % 2 === 0 ? [pairOf(a, b)] : [pairOf(a, b), pairOf(a, TYPES[(i + 1) % 3]!, "C")] };
    });
    const { kappa, alpha, readers, table } = agreementFigures(breaks, seeded);
    expect(readers).toBe(3);
    expect("value" in kappa && kappa.value.kappa).toBe(cohenKappa(table).kappa);
    expect("value" in kappa && kappa.value.breaks).toBe(20);
    const units = breaks.map(({ pairs }) => [
      TYPES.indexOf(pairs[0]!.first.type),
      ...pairs.map(({ second }) => TYPES.indexOf(second.type)),
    ]);
    expect("value" in alpha! && alpha.value.alpha).toBeCloseTo(krippendorffAlpha(units, "names").alpha, 12);
    expect("value" in alpha! && alpha.value.low <= alpha.value.alpha && alpha.value.alpha <= alpha.value.high).toBe(
      true,
    );
  });
});
