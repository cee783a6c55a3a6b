import { describe, expect, test } from "vitest";
import type { Observations, ObservedFeature } from "../../../model/evidence/observations.ts";
import { describeReduction, readReduction } from "../../../model/evidence/reduction.ts";
import { weigh } from "../../../model/evidence/suggest.ts";
import { ALUMINIUM, both, COPPER, end, neck, NOTHING_KNOWN, observed, present, skinStart } from "./observed.ts";

// The limits are common practice, no source: they stand in the table of limits, and are asked for here at their edges.

const fired = (o: Observations): ReadonlySet<string> => {
  const s = weigh(o);
  return new Set([...s.gates, ...s.for, ...s.against, ...s.notes].map((f) => f.rule));
};

describe("a reduction of area", () => {
  const HARD = { ...NOTHING_KNOWN, ...COPPER };
  const ratio = (value: number, u = 0) => present("neck", { ra_ratio: value }, { ra_ratio: u });
  const pct = (value: number, u = 0) => present("neck", { ra_pct: value }, { ra_pct: u });
  const state = (necks: readonly ObservedFeature[], d0: number | null = null, context = HARD) =>
    readReduction(necks, d0, context)?.state ?? null;

  test.each([
    [0.7, "full"],
    [0.699, "grey"],
    [0.301, "grey"],
    [0.3, "suppressed"],
  ])("of ratio %d is %s", (value, expected) => expect(state([ratio(value)])).toBe(expected));

  test.each([
    [0.75, 0.05, "full"],
    [0.75, 0.051, "grey"],
    [0.25, 0.05, "suppressed"],
    [0.25, 0.051, "grey"],
  ])("of ratio %d with uncertainty %d is %s", (value, u, expected) => expect(state([ratio(value, u)])).toBe(expected));

  test("is compared with the reference pull where there is one, uncertainty included", () => {
    const context = { ...HARD, refRaPct: 80 };
    expect(readReduction([pct(60)], null, context)).toMatchObject({ state: "full", ratio: 0.75, pct: 60 });
    expect(state([pct(60, 4)], null, context)).toBe("full");
    expect(state([pct(60, 4.1)], null, context)).toBe("grey");
    expect(state([pct(60)], null, { ...HARD, refRaPct: 0 })).toBe("full");
    expect(readReduction([pct(60)], null, { ...HARD, refRaPct: 0 })?.ratio).toBeNull();
  });

  test("without a reference pull is compared with the class of the wire", () => {
    expect(state([pct(45)])).toBe("full");
    expect(state([pct(44)])).toBe("grey");
    expect(state([pct(16)])).toBe("grey");
    expect(state([pct(15)])).toBe("suppressed");
    expect(state([pct(60)], null, NOTHING_KNOWN)).toBeNull();
  });

  test("comes from the diameters when only those are known: 2.00 mm to 1.60 mm is 36 %", () => {
    const necks = [present("neck", { neck_d_mm: 1.6 })];
    expect(readReduction(necks, 2, HARD)?.pct).toBeCloseTo(36, 9);
    expect(readReduction(necks, 0, HARD)).toBeNull();
    expect(readReduction(necks, null, HARD)).toBeNull();
  });

  test("of two necks is their mean, with the larger uncertainty", () => {
    expect(readReduction([pct(20), pct(40)], null, HARD)?.pct).toBe(30);
    expect(state([ratio(0.74, 0.01), ratio(0.76, 0.06)])).toBe("grey");
  });

  test("that was not measured is none", () => expect(readReduction([present("neck")], 2, HARD)).toBeNull());

  test("is told in percent, by its reference, and as little when it is", () => {
    const told = (f: ObservedFeature, refRaPct: number | null = null) => {
      const r = readReduction([f], null, { ...HARD, refRaPct });
      return r === null ? null : describeReduction(r);
    };
    expect(told(pct(62), 72)).toBe("reduction of area 62 % (0.86 of the reference pull)");
    expect(told(ratio(0.5))).toBe("reduction of area 0.5 of the reference pull");
    expect(told(pct(15))).toMatch(/^reduction of area 15 %/);
    expect(told(pct(14))).toMatch(/^little or no necking, reduction of area 14 %/);
    expect(told(pct(50))).toContain("hard-drawn copper, no reference pull");
  });
});

describe("a slant plane at a nick", () => {
  const nick = present("nick", { at_origin: true });
  const at = (measures: Readonly<Record<string, number | string>>) =>
    fired(both(ALUMINIUM, neck(0.2), present("fracture_plane", measures), nick, skinStart)).has("R64");

  test.each([
    [29, false],
    [30, true],
    [75, true],
    [76, false],
  ])("with no profile named, at %d° speaks for the skin: %s", (angle, expected) =>
    expect(at({ angle_deg: angle })).toBe(expected),
  );

  test("may be slant or stepped by name, at any angle, but not flat", () => {
    expect(at({ profile: "slant" })).toBe(true);
    expect(at({ profile: "stepped" })).toBe(true);
    expect(at({ profile: "flat", angle_deg: 45 })).toBe(false);
    expect(at({})).toBe(false);
  });
});

describe("faces that a machine read not to fit", () => {
  const note = (...features: readonly ObservedFeature[]) =>
    fired(both({ ...COPPER, mateReading: "do-not-fit" }, ...features)).has("R109");

  test("are a note, unless a face melted or was hit after the break", () => {
    expect(note(neck(0.2))).toBe(true);
    expect(note(neck(0.2), present("melt_bead"))).toBe(false);
    expect(note(neck(0.2), present("face_damage", { area_fraction: 0.8 }))).toBe(false);
  });

  test("are none once a person judged the same", () =>
    expect(fired(both({ ...COPPER, mate: "no", mateReading: "do-not-fit" }, neck(0.2))).has("R109")).toBe(false));
});

describe("a single slant plane", () => {
  const plane = (angle: number, share: number) => present("fracture_plane", { angle_deg: angle, area_fraction: share });
  const on = (f: ObservedFeature, mate: "yes" | "no" | "unsure" | null = null) =>
    fired(both({ ...ALUMINIUM, mate }, neck(0.2), f)).has("R63");

  test.each([
    [34, 0.9, false],
    [35, 0.9, true],
    [55, 0.9, true],
    [56, 0.9, false],
    [45, 0.8, true],
    [45, 0.79, false],
  ])("at %d° over %d of the face speaks for shear: %s", (angle, share, expected) =>
    expect(on(plane(angle, share))).toBe(expected),
  );

  test("says nothing where the ends may not belong together", () => {
    expect(on(plane(45, 0.9), "yes")).toBe(true);
    expect(on(plane(45, 0.9), "no")).toBe(false);
    expect(on(plane(45, 0.9), "unsure")).toBe(false);
  });
});

test("a particle that went away in cleaning is not counted, and the report names its end and its mark", () => {
  const gone = present("particle", { present_after_clean: false });
  const s = weigh(observed([end("machine", neck(0.2)), end("spool", neck(0.2), gone)], COPPER));
  expect(s.gates.find((g) => g.rule === "R39")).toMatchObject({ ends: [1], markIds: ["particle-mark"] });
  expect(s.for.filter((f) => f.type === "inclusion")).toEqual([]);
});
