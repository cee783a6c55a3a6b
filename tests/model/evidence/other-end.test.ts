import { describe, expect, test } from "vitest";
import { END_ACTIONS } from "../../../model/evidence/actions/ends.ts";
import type { ObservedEnd, Observations } from "../../../model/evidence/observations.ts";
import { weighBreak } from "../../../model/evidence/weigh.ts";
import { cone, COPPER, end, flat, hole, lost, neck, observed } from "./observed.ts";

const bare = (role: "machine" | "spool"): ObservedEnd => ({ ...end(role), views: [] });

function asked(id: string, o: Observations) {
  const action = END_ACTIONS.find((a) => a.id === id);
  if (action === undefined) throw new Error(`no action ${id}`);
  const w = weighBreak(o);
  const outcomes = action.outcomes(o, w);
  return {
    open: action.open(o, w),
    text: action.text(o, w),
    answers: outcomes.map((x) => x.says),
    after: (says: string) => outcomes.find((x) => x.says === says)?.then(o),
  };
}

describe.each([
  ["machine", 0],
  ["spool", 1],
] as const)("the %s end is not in hand", (role, index) => {
  const other = role === "machine" ? "spool" : "machine";
  const missing = (...shown: Parameters<typeof end> extends [unknown, ...infer F] ? F : never) => {
    const kept = end(other, ...shown);
    return observed(index === 0 ? [lost(role), kept] : [kept, lost(role)], COPPER);
  };

  test("a hole on its partner could meet a cone, a hole, a particle, or neither", () => {
    const { open, answers } = asked("find-other-end", missing(neck(0.2), hole()));
    expect(open).toBe(true);
    expect(answers).toEqual([
      "it carries a cone that fits",
      "it has a hole as well",
      "a particle sits on it",
      "it shows neither hole nor cone",
      "it cannot be read or found",
    ]);
  });

  test("a cone that fits a hole has its width, and stands on the end that was found", () => {
    const o = missing(neck(0.2), hole({ hole_d_over_D: 0.45 }));
    const found = asked("find-other-end", o).after("it carries a cone that fits");
    expect(found?.ends[1 - index]).toEqual(o.ends[1 - index]);
    expect(found?.ends[index]).toMatchObject({ role, recovered: true });
    const flank = found?.ends[index]?.features.find((f) => f.feature === "cone_flank");
    expect(flank?.measures["cone_base_over_D"]).toBe(0.45);
  });

  test("a cone on its partner could meet a hollow or another point", () => {
    const o = missing(neck(0.2), ...cone(0.55));
    const { answers, after } = asked("find-other-end", o);
    expect(answers).toEqual(["it has a hollow that fits", "it is drawn to a point too", "it cannot be read or found"]);
    const hollow = after("it has a hollow that fits")?.ends[index]?.features.find((f) => f.feature === "end_hole");
    expect(hollow?.measures["hole_d_over_D"]).toBe(0.55);
  });

  test("a plain partner could be mirrored, a socket could face it, or nothing be learned", () => {
    const o = missing(neck(0.8), flat);
    const { answers, after } = asked("find-other-end", o);
    expect(answers).toEqual(["it mirrors the first end", "it has a socket or a hole", "it cannot be read or found"]);
    expect(after("it mirrors the first end")?.ends[index]?.features).toEqual(o.ends[1 - index]?.features);
    expect(after("it cannot be read or found")).toBe(o);
  });

  test("what fits the found cone decides more than the hole alone", () => {
    const o = missing(neck(0.2), hole());
    const found = asked("find-other-end", o).after("it carries a cone that fits");
    expect(weighBreak(o).verdict).toBe("undetermined");
    expect(found && weighBreak(found).support.get("central_burst")).toBeGreaterThan(
      weighBreak(o).support.get("central_burst") ?? 0,
    );
  });
});

test("the end to find, or to look at, is called by its role", () => {
  const lostMachine = asked("find-other-end", observed([lost("machine"), end("spool", flat)], COPPER)).text;
  const lostSpool = asked("find-other-end", observed([end("machine", flat), lost("spool")], COPPER)).text;
  expect(lostMachine).toContain("machine end");
  expect(lostSpool).toContain("take-up end");
  const look = (o: Observations) => asked("look-at-other-end", o);
  expect(look(observed([bare("machine"), end("spool", flat)], COPPER)).text).toContain("machine end");
  expect(look(observed([end("machine", flat), bare("spool")], COPPER)).text).toContain("take-up end");
  expect(look(observed([end("machine", flat), end("spool", flat)], COPPER)).open).toBe(false);
});
