import { describe, expect, test } from "vitest";
import type { WireBreak } from "../../../model/break/wire-break.ts";
import { suggest } from "../../../model/evidence/suggest.ts";
import { observe } from "../../../model/measure/observe.ts";
import {
  DEFAULT_LADDER,
  faultsOfLadder,
  ladderFrom,
  MOST_LEVELS,
  nameOfLevel,
  standingOf,
} from "../../../model/reference/ladder.ts";
import { DEFAULT_LEVELS, type ConfirmationLevel } from "../../../model/reference/levels.ts";
import { AT, photograph, secondReading, startBreak } from "../break/random-breaks.ts";

const level = (id: string, over: Partial<ConfirmationLevel> = {}): ConfirmationLevel => ({
  id,
  name: `level ${id}`,
  means: [],
  bothEndsSeen: false,
  views: [],
  secondReader: false,
  ...over,
});

/** Confirmed under the microscope, both ends photographed. */
function confirmed(): WireBreak {
  const start = startBreak();
  const end = (id: string) => ({
    ...start.ends.machine,
    recovery: "recovered" as const,
    photographs: [photograph(id)],
  });
  return {
    ...start,
    ends: { machine: end("p1"), takeUp: end("p2") },
    confirmations: [
      {
        kind: "confirmed",
        id: "c1",
        type: "central_burst",
        means: ["both-ends-microscope"],
        reason: "",
        by: "AB",
        at: AT,
        suggestion: suggest(observe(start)),
        revision: 0,
      },
    ],
  };
}

describe("a lab's own ladder", () => {
  test("survives storage; what is no ladder gives the one a new bench begins with", () => {
    const own = { levels: [level("a"), level("b", { views: ["section_long"], secondReader: true })], least: "a" };
    expect(ladderFrom(JSON.parse(JSON.stringify(own)))).toEqual(own);
    for (const wrong of [undefined, null, 7, {}, { ...own, least: "c" }, { levels: [{}], least: null }])
      expect(ladderFrom(wrong)).toBe(DEFAULT_LADDER);
  });

  test("each fault is a sentence", () => {
    expect(faultsOfLadder(DEFAULT_LADDER)).toEqual([]);
    expect(faultsOfLadder({ levels: [], least: null })).toEqual([]);
    const faults = (...levels: ConfirmationLevel[]) => faultsOfLadder({ levels, least: null });
    expect(faults(level("a", { name: "  " }))).toEqual(["Give every level a name."]);
    expect(faults(level("a", { name: "Seen" }), level("b", { name: "seen " }))).toEqual([
      "Two levels have the same name.",
    ]);
    expect(faults(level("a", { means: [[]] }))).toEqual(["Choose at least one means in each group."]);
    expect(faults(...Array.from({ length: MOST_LEVELS + 1 }, (_, i) => level(`${i}`)))).toEqual([
      `A ladder has at most ${MOST_LEVELS} levels.`,
    ]);
  });

  test("below the least level it says what is missing there, and only up to there", () => {
    const asked = (least: string | null) => standingOf(confirmed(), { levels: DEFAULT_LEVELS, least }).short;
    expect(asked(null)).toEqual([]);
    expect(asked("both-ends")).toEqual([]);
    expect(asked("section")).toEqual(["Confirm it by a longitudinal section or a transverse section."]);
    expect(asked("instrument")).toHaveLength(2);
  });

  test("a second reader's own reading counts for a level that wants one", () => {
    const ladder = { levels: [level("two", { secondReader: true })], least: null };
    expect(standingOf(confirmed(), ladder).level).toBeNull();
    const read = (over: object) => ({ ...confirmed(), readings: [secondReading("r", over)] });
    expect(standingOf(read({ type: "central_burst", by: "CD" }), ladder).level?.id).toBe("two");
    expect(standingOf(read({ type: "torsion", by: "CD" }), ladder).level).toBeNull();
    expect(standingOf(read({ type: "central_burst", by: "AB" }), ladder).level).toBeNull();
  });

  test("a level taken off the ladder still has a name in the history", () => {
    expect(nameOfLevel(DEFAULT_LADDER, "section")).toBe("plus section");
    expect(nameOfLevel({ levels: [], least: null }, "section")).toBe("section (no longer on the ladder)");
  });
});
