import { describe, expect, test } from "vitest";
import { JOINT_AND_CYCLING_ACTIONS } from "../../../model/evidence/actions/joint-and-cycling.ts";
import type { Observations } from "../../../model/evidence/observations.ts";
import { weigh } from "../../../model/evidence/suggest.ts";
import { weighBreak } from "../../../model/evidence/weigh.ts";
import { absent, both, COPPER, end, neck, observed, present, STEEL } from "./observed.ts";

const fired = (o: Observations, rule: string): boolean => {
  const s = weigh(o);
  return [...s.gates, ...s.for, ...s.against, ...s.notes].some((f) => f.rule === rule);
};

describe("a logged slip speaks for overload", () => {
  const on = (slipOrGrabLogged: boolean | null, ratio: number) =>
    fired(both({ ...COPPER, slipOrGrabLogged }, neck(ratio)), "R33");

  test("with a full neck", () => expect(on(true, 0.8)).toBe(true));
  test("not with a neck that is less than full", () => expect(on(true, 0.6)).toBe(false));
  test("not without a log", () => {
    expect(on(false, 0.8)).toBe(false);
    expect(on(null, 0.8)).toBe(false);
  });
});

describe("twisted draw lines speak for torsion", () => {
  const lines = (deg: number) => present("twist_lines", { helix_angle_deg: deg, hand: "right" });
  const on = (o: Observations) => fired(o, "R55");

  test("from 5° to the axis, on both ends", () => {
    expect(on(both(COPPER, neck(0.1), lines(5)))).toBe(true);
    expect(on(both(COPPER, neck(0.1), lines(4.9)))).toBe(false);
    expect(on(observed([end("machine", neck(0.1), lines(20)), end("spool", neck(0.1))], COPPER))).toBe(false);
  });

  test("not where the wire necked, nor where swirl was looked for in vain", () => {
    expect(on(both(COPPER, neck(0.9), lines(20)))).toBe(false);
    expect(on(both(COPPER, neck(0.1), lines(20), absent("swirl")))).toBe(false);
  });
});

describe("the other wires are asked about", () => {
  const action = JOINT_AND_CYCLING_ACTIONS.find((a) => a.id === "other-wires");
  const asked = (process: string | null, tests: Readonly<Record<string, boolean>>, arcs = true) => {
    const o = both({ ...STEEL, process, tests }, neck(0.9), ...(arcs ? [present("beach_marks")] : []));
    return action?.open(o, weighBreak(o));
  };

  test("where the wire served in a rope and arrest lines are in question", () => {
    expect(asked("rope in service", {})).toBe(true);
  });
  test("not for wire still in the mill, not without arrest lines, not twice", () => {
    expect(asked(null, {})).toBe(false);
    expect(asked("rope in service", {}, false)).toBe(false);
    expect(asked("rope in service", { other_wires_fatigue: false })).toBe(false);
    expect(asked(null, { other_wires_fatigue: true })).toBe(false);
  });
});
