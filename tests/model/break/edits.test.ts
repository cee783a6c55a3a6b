import { describe, expect, test } from "vitest";
import {
  applyEdit,
  type Edit,
  EditError,
  findMark,
  findPhotograph,
  refilePhotograph,
  takeOutPhotograph,
} from "../../../model/break/edits.ts";
import { newBreak } from "../../../model/break/new-break.ts";
import type { WireBreak } from "../../../model/break/wire-break.ts";
import { parseWireBreak } from "../../../model/break/record-schema.ts";
import { startOf } from "../../../model/reference/merge/history.ts";
import {
  AT,
  confirmation,
  dice,
  editFor,
  mark,
  photograph,
  secondReading,
  startBreak,
  undoable,
} from "./random-breaks.ts";
import fc from "../../properties.ts";

const apply = (b: WireBreak, ...edits: Edit[]): WireBreak => edits.reduce((now, e) => applyEdit(now, e, AT).next, b);

/** Two photographs on the machine end with three marks, one photograph on the take-up end with one. */
const filled = (): WireBreak =>
  apply(
    startBreak(),
    { kind: "add-photograph", side: "machine", index: 0, photograph: photograph("p1") },
    { kind: "add-photograph", side: "machine", index: 1, photograph: photograph("p2", { view: "side_0" }) },
    { kind: "add-photograph", side: "takeUp", index: 0, photograph: photograph("p3") },
    { kind: "add-mark", side: "machine", index: 0, mark: mark("m1", { photographId: "p1" }) },
    { kind: "add-mark", side: "machine", index: 1, mark: mark("m2", { photographId: "p2", feature: "neck" }) },
    { kind: "add-mark", side: "machine", index: 2, mark: mark("m3", { photographId: "p1", feature: "shear_lip" }) },
    { kind: "add-mark", side: "takeUp", index: 0, mark: mark("m4", { photographId: "p3" }) },
  );

describe("edits and their inverses", () => {
  test("a field that a record may leave out is left out again by undo, also through JSON", () => {
    const seeing = { exposureEv: 1, contrast: 0, localContrast: 0, flatField: null, neutral: null };
    const start = filled();
    const { next, inverse } = applyEdit(start, { kind: "set-photograph", photographId: "p1", patch: { seeing } }, AT);
    expect(findPhotograph(next, "p1")?.photograph.seeing).toEqual(seeing);
    const stored = JSON.parse(JSON.stringify(inverse)) as Edit;
    expect(findPhotograph(applyEdit(next, stored, AT).next, "p1")?.photograph).not.toHaveProperty("seeing");
  });

  test("random edits, all undone in reverse order, give back the start", () => {
    fc.assert(
      fc.property(fc.array(dice, { maxLength: 40 }), (throws) => {
        const start = filled();
        let now = start;
        const inverses: Edit[] = [];
        for (const thrown of throws) {
          const { next, inverse } = applyEdit(now, editFor(now, thrown), AT);
          expect(inverse).not.toBeNull();
          inverses.push(inverse!);
          now = next;
        }
        expect(now.revision).toBe(start.revision + throws.length);
        for (const inverse of inverses.reverse()) now = applyEdit(now, inverse, AT).next;
        expect(undoable(now)).toEqual(undoable(start));
      }),
      { numRuns: 300 },
    );
  });

  test("an edit never changes the record it was given", () => {
    fc.assert(
      fc.property(fc.array(dice, { maxLength: 12 }), (throws) => {
        let now = filled();
        for (const thrown of throws) {
          const before = structuredClone(now);
          const { next } = applyEdit(now, editFor(now, thrown), AT);
          expect(now).toEqual(before);
          now = next;
        }
      }),
    );
  });

  test("the inverse of an inverse is the edit itself in its effect", () => {
    fc.assert(
      fc.property(fc.array(dice, { maxLength: 10 }), dice, (throws, last) => {
        let now = filled();
        for (const thrown of throws) now = applyEdit(now, editFor(now, thrown), AT).next;
        const forth = applyEdit(now, editFor(now, last), AT);
        const back = applyEdit(forth.next, forth.inverse!, AT);
        expect(undoable(applyEdit(back.next, back.inverse!, AT).next)).toEqual(undoable(forth.next));
      }),
    );
  });

  test("edits survive being stored as JSON", () => {
    fc.assert(
      fc.property(fc.array(dice, { maxLength: 12 }), (throws) => {
        let now = filled();
        let stored = now;
        for (const thrown of throws) {
          const edit = editFor(now, thrown);
          now = applyEdit(now, edit, AT).next;
          stored = applyEdit(stored, JSON.parse(JSON.stringify(edit)) as Edit, AT).next;
        }
        expect(stored).toEqual(now);
      }),
    );
  });

  test("a confirmation is only ever added: it has no inverse, alone or inside a group", () => {
    const alone = applyEdit(startBreak(), { kind: "add-confirmation", confirmation: confirmation("c1") }, AT);
    expect(alone.inverse).toBeNull();
    expect(alone.next.confirmations.map((c) => c.id)).toEqual(["c1"]);
    const grouped = applyEdit(
      alone.next,
      {
        kind: "together",
        edits: [
          { kind: "set-number", number: "X" },
          { kind: "add-confirmation", confirmation: confirmation("c2") },
        ],
      },
      AT,
    );
    expect(grouped.inverse).toBeNull();
    expect(grouped.next.confirmations.map((c) => c.id)).toEqual(["c1", "c2"]);
  });

  test("a second reading is only ever added, and once; the first one puts the list there", () => {
    const add = { kind: "add-reading", reading: secondReading("r1") } as const;
    expect("readings" in startBreak()).toBe(false);
    const once = applyEdit(startBreak(), add, AT);
    expect(once.inverse).toBeNull();
    expect(once.next.readings?.map(({ id }) => id)).toEqual(["r1"]);
    expect(() => applyEdit(once.next, add, AT)).toThrow("already there");
    expect(parseWireBreak(JSON.parse(JSON.stringify(once.next)))).toEqual(once.next);
    expect(startOf(once.next, [{ edit: add, inverse: null }])).toEqual({ ...startBreak(), revision: 0 });
  });

  test("the light of a photograph is written, changed and left out again", () => {
    const start = applyEdit(
      startBreak(),
      { kind: "add-photograph", side: "machine", index: 0, photograph: photograph("p1") },
      AT,
    ).next;
    const lit = applyEdit(start, { kind: "set-photograph", photographId: "p1", patch: { light: "ring light" } }, AT);
    expect(lit.next.ends.machine.photographs[0]?.light).toBe("ring light");
    expect("light" in applyEdit(lit.next, lit.inverse!, AT).next.ends.machine.photographs[0]!).toBe(false);
  });

  test("an edit counts the revision and keeps the time it was given", () => {
    const next = applyEdit(startBreak(), { kind: "set-number", number: "B-7" }, "2026-03-02T09:30:00Z").next;
    expect(next).toMatchObject({ revision: 1, updatedAt: "2026-03-02T09:30:00Z", createdAt: AT, number: "B-7" });
  });

  test("swapping the ends carries photographs and marks along, and a second swap brings them back", () => {
    const once = apply(filled(), { kind: "swap-ends" });
    expect(once.ends.takeUp).toEqual(filled().ends.machine);
    expect(undoable(apply(once, { kind: "swap-ends" }))).toEqual(undoable(filled()));
  });
});

describe("filing a photograph under the other end", () => {
  test("takes all its marks along, in order, and leaves the others", () => {
    const b = filled();
    const after = apply(b, refilePhotograph(b, "p1", "takeUp"));
    expect(after.ends.machine.photographs.map((p) => p.id)).toEqual(["p2"]);
    expect(after.ends.machine.marks.map((m) => m.id)).toEqual(["m2"]);
    expect(after.ends.takeUp.photographs.map((p) => p.id)).toEqual(["p3", "p1"]);
    expect(after.ends.takeUp.marks.map((m) => m.id)).toEqual(["m4", "m1", "m3"]);
  });

  test("keeps every mark whatever was drawn before", () => {
    fc.assert(
      fc.property(fc.array(dice, { maxLength: 25 }), fc.nat(), fc.boolean(), (throws, pick, toMachine) => {
        let now = filled();
        for (const thrown of throws) now = applyEdit(now, editFor(now, thrown), AT).next;
        const all = [...now.ends.machine.photographs, ...now.ends.takeUp.photographs];
        const chosen = all[pick % Math.max(1, all.length)];
        if (!chosen) return;
        const { next, inverse } = applyEdit(
          now,
          refilePhotograph(now, chosen.id, toMachine ? "machine" : "takeUp"),
          AT,
        );
        const marksOf = (b: WireBreak) => [...b.ends.machine.marks, ...b.ends.takeUp.marks].map((m) => m.id).sort();
        expect(marksOf(next)).toEqual(marksOf(now));
        for (const m of marksOf(next)) {
          const place = findMark(next, m)!;
          const on = place.mark.photographId;
          if (on !== null) expect(findPhotograph(next, on)?.side).toBe(place.side);
        }
        expect(undoable(applyEdit(next, inverse!, AT).next)).toEqual(undoable(now));
      }),
    );
  });

  test("filing it where it already is changes nothing", () => {
    const b = filled();
    expect(undoable(apply(b, refilePhotograph(b, "p1", "machine")))).toEqual(undoable(b));
  });
});

describe("taking a photograph out", () => {
  test("takes its marks out with it, and undo brings all of them back where they were", () => {
    const b = filled();
    const { next, inverse } = applyEdit(b, takeOutPhotograph(b, "p1"), AT);
    expect(findPhotograph(next, "p1")).toBeNull();
    expect(next.ends.machine.marks.map((m) => m.id)).toEqual(["m2"]);
    expect(undoable(applyEdit(next, inverse!, AT).next)).toEqual(undoable(b));
  });
});

describe("edits that name something that is not there", () => {
  const code = (b: WireBreak, edit: Edit): string => {
    try {
      applyEdit(b, edit, AT);
    } catch (error) {
      if (error instanceof EditError) return error.code;
      throw error;
    }
    return "none";
  };
  const cases: readonly (readonly [string, Edit, string])[] = [
    ["a photograph that was taken out", { kind: "remove-photograph", photographId: "gone" }, "photograph-missing"],
    [
      "moving an unknown photograph",
      { kind: "move-photograph", photographId: "gone", to: "machine", index: 0 },
      "photograph-missing",
    ],
    [
      "setting an unknown photograph",
      { kind: "set-photograph", photographId: "gone", patch: { turnDeg: 90 } },
      "photograph-missing",
    ],
    ["an unknown mark", { kind: "remove-mark", markId: "gone" }, "mark-missing"],
    ["setting an unknown mark", { kind: "set-mark", markId: "gone", patch: { note: "x" } }, "mark-missing"],
    [
      "a photograph that still carries marks",
      { kind: "remove-photograph", photographId: "p1" },
      "photograph-has-marks",
    ],
    [
      "moving a photograph without its marks",
      { kind: "move-photograph", photographId: "p1", to: "takeUp", index: 0 },
      "photograph-has-marks",
    ],
    [
      "the same photograph twice",
      { kind: "add-photograph", side: "takeUp", index: 0, photograph: photograph("p1") },
      "already-there",
    ],
    ["the same mark twice", { kind: "add-mark", side: "takeUp", index: 0, mark: mark("m1") }, "already-there"],
    [
      "a mark on a photograph of the other end",
      { kind: "add-mark", side: "takeUp", index: 0, mark: mark("m9", { photographId: "p1" }) },
      "photograph-missing",
    ],
    [
      "a mark set onto a photograph of the other end",
      { kind: "set-mark", markId: "m1", patch: { photographId: "p3" } },
      "photograph-on-other-end",
    ],
    ["a place beyond the list", { kind: "add-mark", side: "takeUp", index: 7, mark: mark("m9") }, "index-out-of-range"],
    [
      "a place that is no whole number",
      { kind: "add-mark", side: "takeUp", index: 0.5, mark: mark("m9") },
      "index-out-of-range",
    ],
  ];
  test.each(cases)("%s is refused with its own code", (_name, edit, expected) => {
    const b = filled();
    const before = structuredClone(b);
    expect(code(b, edit)).toBe(expected);
    expect(b).toEqual(before);
  });

  test("a group is applied whole or not at all", () => {
    const b = filled();
    const group: Edit = {
      kind: "together",
      edits: [
        { kind: "set-number", number: "X" },
        { kind: "remove-mark", markId: "gone" },
      ],
    };
    expect(code(b, group)).toBe("mark-missing");
    expect(b.number).toBe("B-0001");
  });
});

test("a new break knows nothing and says so", () => {
  const b = newBreak("id", "B-9", AT);
  expect(b.revision).toBe(0);
  expect(b.ends.machine.recovery).toBe("awaited");
  expect(b.context.drawDirection).toBe("not-recorded");
  expect(Object.values(b.context).filter((v) => v === false)).toEqual([]);
});
