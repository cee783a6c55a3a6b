import { describe, expect, test } from "vitest";
import { applyEdit } from "../../../model/break/edits.ts";
import { parseWireBreak } from "../../../model/break/record-schema.ts";
import type { Confirmation, ConfirmationMeans, WireBreak } from "../../../model/break/wire-break.ts";
import type { Verdict } from "../../../model/evidence/break-type-ids.ts";
import type { FiredRule, Suggestion } from "../../../model/evidence/suggestion.ts";
import { suggest } from "../../../model/evidence/suggest.ts";
import { observe } from "../../../model/measure/observe.ts";
import { unansweredAgainst } from "../../../model/reference/answers.ts";
import { confirmedType, DEFAULT_LEVELS, levelReached, standingConfirmations } from "../../../model/reference/levels.ts";
import { AT, photograph, startBreak } from "../break/random-breaks.ts";

const NOTHING: Suggestion = suggest(observe(startBreak()));

const confirmed = (
  type: Verdict,
  means: readonly ConfirmationMeans[],
  by = "AB",
  over: Partial<Extract<Confirmation, { kind: "confirmed" }>> = {},
): Confirmation => ({
  kind: "confirmed",
  id: `c${by}${type}${means.join()}`,
  type,
  means,
  reason: "",
  by,
  at: AT,
  suggestion: NOTHING,
  revision: 0,
  ...over,
});
const reopened: Confirmation = { kind: "reopened", id: "r", reason: "a second look", by: "CD", at: AT };

function withEnds(...confirmations: Confirmation[]): WireBreak {
  const start = startBreak();
  const end = (id: string) => ({
    ...start.ends.machine,
    recovery: "recovered" as const,
    photographs: [photograph(id)],
  });
  return { ...start, ends: { machine: end("p1"), takeUp: end("p2") }, confirmations };
}

describe("the ladder", () => {
  test("each step wants what is below it as well", () => {
    const level = (...means: ConfirmationMeans[]) =>
      levelReached(withEnds(confirmed("central_burst", means))).level?.id ?? null;
    expect(level()).toBeNull();
    expect(level("both-ends-microscope")).toBe("both-ends");
    expect(level("both-ends-microscope", "transverse-section")).toBe("section");
    expect(level("both-ends-microscope", "longitudinal-section", "eds")).toBe("instrument");
    // A test without a section stays on the first step.
    expect(level("both-ends-microscope", "hardness")).toBe("both-ends");
  });

  test("says in words what the next step wants", () => {
    const found = levelReached(withEnds(confirmed("central_burst", ["both-ends-microscope"])));
    expect(found.next?.name).toBe("plus section");
    expect(found.missing).toEqual(["Confirm it by a longitudinal section or a transverse section."]);
    expect(levelReached(withEnds()).missing).toEqual(["The break is not confirmed."]);
  });

  test("an end that is lost or was never photographed keeps a break off every step", () => {
    const b = withEnds(confirmed("central_burst", ["both-ends-microscope"]));
    const lost = { ...b, ends: { ...b.ends, takeUp: { ...b.ends.takeUp, recovery: "not-recovered" as const } } };
    expect(levelReached(lost).level).toBeNull();
    expect(levelReached(lost).missing).toEqual(["The take-up end was not recovered, so both ends cannot be seen."]);
    const bare = { ...b, ends: { ...b.ends, machine: { ...b.ends.machine, photographs: [] } } };
    expect(levelReached(bare).missing).toEqual(["The machine end has no photograph: photograph it."]);
    const stated = {
      ...bare,
      ends: { ...bare.ends, machine: { ...bare.ends.machine, statedViews: ["end_on" as const] } },
    };
    expect(levelReached(stated).level?.id).toBe("both-ends");
  });

  test("means add up over confirmations of one type, and a reopening or another type begins anew", () => {
    const first = confirmed("central_burst", ["both-ends-microscope"]);
    const later = confirmed("central_burst", ["longitudinal-section"], "CD");
    expect(levelReached(withEnds(first, later)).level?.id).toBe("section");
    expect(levelReached(withEnds(first, reopened, later)).level).toBeNull();
    expect(levelReached(withEnds(first, confirmed("casting_void", ["longitudinal-section"]))).level).toBeNull();
    expect(levelReached(withEnds(first, later, reopened)).level).toBeNull();
    expect(standingConfirmations(withEnds(first, reopened, later))).toEqual([later]);
    expect(confirmedType(withEnds(first, reopened))).toBeNull();
    expect(confirmedType(withEnds(first, reopened, later))).toBe("central_burst");
  });

  test("a ladder of the lab's own: a second reader and a view", () => {
    const own = [{ ...DEFAULT_LEVELS[0]!, id: "two", secondReader: true, views: ["section_long" as const] }];
    const alone = withEnds(confirmed("central_burst", ["sem"]));
    expect(levelReached(alone, own).missing).toEqual([
      "Add a photograph: longitudinal section.",
      "Let a second reader come to the same type; so far only AB has.",
    ]);
    const cut = (b: WireBreak): WireBreak => ({
      ...b,
      ends: { ...b.ends, machine: { ...b.ends.machine, photographs: [photograph("p9", { view: "section_long" })] } },
    });
    const two = withEnds(confirmed("central_burst", ["sem"]), confirmed("central_burst", [], "CD"));
    expect(levelReached(cut(two), own).level?.id).toBe("two");
    expect(levelReached(cut(alone), own, [{ by: "AB", type: "central_burst" }]).level).toBeNull();
    expect(levelReached(cut(alone), own, [{ by: "CD", type: "casting_void" }]).level).toBeNull();
    expect(levelReached(cut(alone), own, [{ by: "CD", type: "central_burst" }]).level?.id).toBe("two");
  });
});

describe("evidence the other way must be answered", () => {
  const rule = (over: Partial<FiredRule>): FiredRule => ({
    rule: "R10",
    type: "central_burst",
    bears: "against",
    strength: "strong",
    weight: 2,
    says: "",
    reason: "",
    sources: [],
    markIds: [],
    ends: [],
    ...over,
  });
  const suggestion: Suggestion = {
    ...NOTHING,
    against: [
      rule({ rule: "R10" }),
      rule({ rule: "R10", ends: [1] }),
      rule({ rule: "R11", strength: "weak" }),
      rule({ rule: "R12", type: "casting_void" }),
      rule({ rule: "R13", strength: "note" }),
    ],
  };
  const open = (answers: readonly { rule: `R${number}`; words: string }[], type: Verdict = "central_burst") =>
    unansweredAgainst({ type, answers }, suggestion).map((r) => r.rule);

  test("every rule with a strength once, of the confirmed type only", () => {
    expect(open([])).toEqual(["R10", "R11"]);
    expect(open([], "casting_void")).toEqual(["R12"]);
    expect(open([], "torsion")).toEqual([]);
    expect(open([], "undetermined")).toEqual([]);
    expect(unansweredAgainst({ type: "central_burst" }, suggestion)).toHaveLength(2);
  });

  test("words answer it; a nod does not", () => {
    expect(open([{ rule: "R10", words: "the neck is from the pull test afterwards" }])).toEqual(["R11"]);
    expect(open([{ rule: "R10", words: "  ok ... --- !!!  " }])).toEqual(["R10", "R11"]);
    expect(open([{ rule: "R12", words: "of another type altogether" }])).toEqual(["R10", "R11"]);
  });
});

test("level and answers are kept on the record, and records without them stay as they were", () => {
  const line = confirmed("central_burst", ["sem"], "AB", {
    level: "both-ends",
    answers: [{ rule: "R10", words: "the neck is from the pull test" }],
  });
  const { next } = applyEdit(startBreak(), { kind: "add-confirmation", confirmation: line }, AT);
  const read = parseWireBreak(JSON.parse(JSON.stringify(next)));
  expect(read).toEqual(next);
  const plain = applyEdit(startBreak(), { kind: "add-confirmation", confirmation: confirmed("torsion", []) }, AT).next;
  expect(Object.keys(parseWireBreak(JSON.parse(JSON.stringify(plain))).confirmations[0]!)).not.toContain("level");
  const wrong = { ...line, answers: [{ rule: "<b>", words: "x" }] };
  expect(() => parseWireBreak({ ...startBreak(), confirmations: [wrong] })).toThrow(/answers\[0\]\.rule/);
});
