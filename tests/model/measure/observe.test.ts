import { describe, expect, test } from "vitest";
import type { Geometry } from "../../../model/break/geometry.ts";
import type { BreakContext, FaceFit, Mark, Photograph, WireBreak } from "../../../model/break/wire-break.ts";
import type { FeatureId, ViewId } from "../../../model/evidence/features.ts";
import type { ObservedFeature } from "../../../model/evidence/observations.ts";
import { diameterDifferencePct, observe } from "../../../model/measure/observe.ts";
import { measureWarnings, stateConflicts } from "../../../model/measure/warnings.ts";
import {
  MICROMETER_SCALE,
  SIDE_EDGES,
  box,
  breakWith,
  circle,
  edges,
  endWith,
  line,
  mark,
  photograph,
  point,
  polyline,
} from "./a-break.ts";

const FACE: Geometry = circle(1000, 700, 400);
const seen = (b: WireBreak, feature: FeatureId, end = 0): ObservedFeature | undefined =>
  observe(b).ends[end]?.features.find((f) => f.feature === feature);
const onFace = (marks: readonly Mark[], views: readonly ViewId[] = ["end_on"], context: Partial<BreakContext> = {}) =>
  breakWith(
    {
      machine: endWith(
        views.map((v) => photograph(v, v)),
        [...views.map((v) => mark("wire_outline", v, FACE)), ...marks],
      ),
    },
    context,
  );

describe("observations of a break", () => {
  test("roles, recovery and views", () => {
    const b = breakWith({
      machine: endWith([photograph("a", "end_on"), photograph("b", "end_on"), photograph("c", "side_0")], []),
      takeUp: endWith([], [], { recovery: "not-recovered" }),
    });
    expect(observe(b).id).toBe("break-1");
    expect(observe(b).ends).toEqual([
      { role: "machine", recovered: true, views: ["end_on", "side_0"], features: [] },
      { role: "spool", recovered: false, views: [], features: [] },
    ]);
    expect(observe({ ...b, rolesKnown: false }).ends.map((e) => e.role)).toEqual(["unknown", "unknown"]);
  });

  test("an end nobody has said anything about is left out; one with a mark counts as there", () => {
    expect(observe(breakWith({})).ends).toEqual([]);
    const b = breakWith({ takeUp: endWith([], [mark("end_hole", null, null)], { recovery: "awaited" }) });
    expect(observe(b).ends.map((e) => [e.role, e.recovered])).toEqual([["spool", true]]);
  });

  test("seen once is present, with the marks it came from; absent and not assessable stay apart", () => {
    const present = mark("end_hole", "end_on", circle(1000, 700, 100));
    const b = onFace([
      mark("end_hole", null, null, { state: "absent" }),
      present,
      mark("particle", null, null, { state: "absent" }),
      mark("particle", null, null, { state: "not_assessable" }),
      mark("beach_marks", null, null, { state: "not_assessable" }),
    ]);
    expect(seen(b, "end_hole")).toMatchObject({ state: "present", markIds: [present.id] });
    expect(seen(b, "particle")).toMatchObject({ state: "absent", measures: {} });
    expect(seen(b, "beach_marks")?.state).toBe("not_assessable");
    expect(seen(b, "nick")).toBeUndefined();
    expect(stateConflicts(b, "machine").map((w) => w.code)).toEqual(["states-differ"]);
    expect(stateConflicts(b, "machine")[0]?.says).toContain("“hole” is marked both as present and as absent");
  });

  test("given measures win, computed ones fill in, uncertainty only where it is known", () => {
    const b = onFace([
      mark("end_hole", "end_on", circle(1000, 700, 100), {
        given: { hole_d_over_D: 0.4, depth_d: 0.9, shape: "conical", floor_seen: true },
      }),
    ]);
    const hole = seen(b, "end_hole");
    expect(hole?.measures).toEqual({
      hole_d_over_D: 0.4,
      depth_d: 0.9,
      shape: "conical",
      floor_seen: true,
      offset_ratio: 0,
    });
    expect(Object.keys(hole?.uncertainty ?? {})).toEqual(["offset_ratio"]);
  });

  test("a measure given on one mark is not mixed with one computed on another", () => {
    const b = onFace([
      mark("end_hole", "end_on", circle(1000, 700, 300)),
      mark("end_hole", null, null, { given: { hole_d_over_D: 0.2 } }),
    ]);
    expect(seen(b, "end_hole")?.measures["hole_d_over_D"]).toBe(0.2);
  });

  test("several marks of one feature: areas add, the largest hole counts with its own offset, counts are not doubled", () => {
    const lines = (view: string, n: number) =>
      Array.from({ length: n }, (_, i) =>
        mark("ratchet_marks", view, line([1380, 600 + 30 * i], [1400, 600 + 30 * i])),
      );
    const b = onFace(
      [
        mark("rock_candy", "end_on", box(800, 600, 900, 800)),
        mark("rock_candy", "end_on", box(1100, 600, 1200, 800)),
        mark("end_hole", "end_on", circle(1000, 740, 200)),
        mark("end_hole", "end_on", circle(1200, 700, 40)),
        ...lines("end_on", 3),
        ...lines("other-shot", 2),
      ],
      ["end_on"],
    );
    const end = { ...b.ends.machine, photographs: [...b.ends.machine.photographs, photograph("other-shot", "end_on")] };
    const two = { ...b, ends: { ...b.ends, machine: end } };
    expect(seen(two, "rock_candy")?.measures["area_fraction"]).toBeCloseTo(40000 / (Math.PI * 160000), 10);
    expect(seen(two, "end_hole")?.measures["hole_d_over_D"]).toBeCloseTo(0.5, 10);
    expect(seen(two, "end_hole")?.measures["offset_ratio"]).toBeCloseTo(0.1, 10);
    expect(seen(two, "ratchet_marks")?.measures["count"]).toBe(3);
  });

  test("zones that add up to more than the face are the whole face", () => {
    const zone = () => mark("face_damage", "end_on", box(700, 400, 1300, 1000));
    expect(seen(onFace([zone(), zone()]), "face_damage")?.measures["area_fraction"]).toBe(1);
  });

  test("the tilted view counts only where there is no other", () => {
    const straight = mark("end_hole", "end_on", circle(1000, 700, 100));
    const tilted = mark("end_hole", "tilt_45", circle(1000, 700, 200));
    expect(seen(onFace([straight, tilted], ["end_on", "tilt_45"]), "end_hole")?.measures["hole_d_over_D"]).toBeCloseTo(
      0.25,
      10,
    );
    expect(seen(onFace([tilted], ["end_on", "tilt_45"]), "end_hole")?.measures["hole_d_over_D"]).toBeCloseTo(0.5, 10);
  });

  test("angles of several marks are averaged; what they share does not average out", () => {
    const plane = (deg: number) =>
      mark("fracture_plane", "s", {
        type: "angle",
        points: [
          [900, 700],
          [1000, 700],
          [1000 + 100 * Math.cos((deg * Math.PI) / 180), 700 + 100 * Math.sin((deg * Math.PI) / 180)],
        ],
      });
    const b = (marks: readonly Mark[]) =>
      breakWith({ machine: endWith([photograph("s", "side_0", { axisDeg: 0 })], marks) });
    const one = seen(b([plane(50)]), "fracture_plane");
    const two = seen(b([plane(40), plane(50)]), "fracture_plane");
    expect(two?.measures["angle_deg"]).toBeCloseTo(45, 8);
    expect(two?.uncertainty["angle_deg"]).toBeGreaterThan(1);
    expect(two?.uncertainty["angle_deg"]).toBeLessThan(one?.uncertainty["angle_deg"] ?? NaN);
  });

  test("two necks at right angles: one reduction of area, and the diameter of equal section", () => {
    const b = breakWith(
      {
        machine: endWith(
          [
            photograph("s", "side_0", { scale: MICROMETER_SCALE }),
            photograph("t", "side_90", { scale: MICROMETER_SCALE }),
          ],
          [
            mark("wire_outline", "s", SIDE_EDGES),
            mark("wire_outline", "t", SIDE_EDGES),
            mark("neck", "s", line([1000, 600], [1000, 800])),
            mark("neck", "t", line([1000, 540], [1000, 860])),
          ],
        ),
      },
      { refRaPct: 80, refRaUPct: 1 },
    );
    const neck = seen(b, "neck");
    expect(neck?.measures["ra_pct"]).toBeCloseTo(60, 10);
    expect(neck?.measures["ra_ratio"]).toBeCloseTo(0.75, 10);
    expect(neck?.measures["neck_d_mm"]).toBeCloseTo(Math.sqrt(1 * 1.6), 10);
    expect(neck?.uncertainty["neck_d_mm"]).toBeGreaterThan(0);
    const marks = b.ends.machine.marks.map((m) => (m.feature === "neck" ? { ...m, given: { neck_d_mm: 1.3 } } : m));
    const typed = { ...b, ends: { ...b.ends, machine: { ...b.ends.machine, marks } } };
    expect(seen(typed, "neck")?.measures["neck_d_mm"]).toBe(1.3);
  });

  test("a cone tip points away from the end it stands on, when the roles are recorded", () => {
    const b = breakWith({
      machine: endWith([], [mark("cone_apex", null, null)]),
      takeUp: endWith([], [mark("cone_apex", null, null)]),
    });
    expect(seen(b, "cone_apex", 0)?.measures["apex_direction"]).toBe("toward_spool");
    expect(seen(b, "cone_apex", 1)?.measures["apex_direction"]).toBe("toward_machine");
    expect(seen({ ...b, rolesKnown: false }, "cone_apex")?.measures["apex_direction"]).toBeUndefined();
  });

  test("starts at 12 and 1 o’clock are not averaged to 6:30", () => {
    const b = onFace([mark("origin", "end_on", point(1000, 300)), mark("origin", "end_on", point(1200, 354))]);
    expect(seen(b, "origin")?.measures["clock"]).toBe(12);
    expect(seen(b, "origin")?.measures["count"]).toBe(2);
  });

  test("texts: the latest stands; flags: true once is true", () => {
    const b = breakWith({
      machine: endWith(
        [],
        [
          mark("particle", null, null, { given: { colour: "grey", magnetic: false } }),
          mark("particle", null, null, { given: { colour: "black", magnetic: true } }),
        ],
      ),
    });
    expect(seen(b, "particle")?.measures).toEqual({ colour: "black", magnetic: true });
  });

  test("context: measured diameter before nominal, draw direction only when recorded, facts of the pair", () => {
    const b = (context: Partial<BreakContext>) =>
      observe(breakWith({}, context, { pairing: { mate: "yes", d0AgreePct: 1.2 } })).context;
    expect(b({ nominalDiameterMm: 2 }).wireMm).toBe(2);
    expect(b({ nominalDiameterMm: 2, measuredDiameterMm: 1.98 }).wireMm).toBe(1.98);
    expect(b({ drawDirection: "recorded" }).drawDirectionKnown).toBe(true);
    expect(b({ drawDirection: "not-recorded" }).drawDirectionKnown).toBe(false);
    expect(b({ drawDirection: "not-applicable" }).drawDirectionKnown).toBe(false);
    expect(b({ metal: "copper", oxygenPpm: 200, tests: { oxide_on_plane: true } })).toMatchObject({
      metal: "copper",
      oxygenPpm: 200,
      tests: { oxide_on_plane: true },
      mate: "yes",
      d0AgreePct: 1.2,
      reversals: null,
    });
  });
});

describe("kept comparison of the faces", () => {
  const fit: FaceFit = {
    machinePhotographId: "m",
    takeUpPhotographId: "t",
    turnDeg: 12,
    shiftD: [0, 0],
    scale: 1,
    score: 0.02,
    says: "do-not-fit",
    finder: "test",
  };
  const pairing = { mate: null, d0AgreePct: null, fit };
  const ends = {
    machine: endWith([photograph("m", "end_on")], []),
    takeUp: endWith([photograph("t", "end_on")], []),
  };

  test("is read as kept, also after the ends changed places", () => {
    expect(observe(breakWith(ends, {}, { pairing })).context.mateReading).toBe("do-not-fit");
    const swapped = { machine: ends.takeUp, takeUp: ends.machine };
    expect(observe(breakWith(swapped, {}, { pairing })).context.mateReading).toBe("do-not-fit");
  });

  test("counts no longer when one of its photographs was taken out or both lie under one end", () => {
    const without = { ...ends, takeUp: endWith([], []) };
    expect(observe(breakWith(without, {}, { pairing })).context.mateReading).toBeNull();
    const together = { machine: endWith([photograph("m", "end_on"), photograph("t", "end_on")], []) };
    expect(observe(breakWith(together, {}, { pairing })).context.mateReading).toBeNull();
    expect(observe(breakWith(ends)).context.mateReading).toBeNull();
  });
});

describe("wire diameters of the two ends", () => {
  const profile: Photograph["scale"] = {
    method: "profile",
    profileId: "p",
    name: "2.5×",
    pxPerMm: { value: 200, u: 10 },
  };
  const withDiameters = (a: number, b: number, scale: Photograph["scale"]) =>
    breakWith({
      machine: endWith(
        [photograph("a", "side_0", { scale })],
        [mark("wire_outline", "a", edges([0, 0], [900, 0], [0, a], [900, a]))],
      ),
      takeUp: endWith(
        [photograph("b", "side_0", { scale })],
        [mark("wire_outline", "b", edges([0, 0], [900, 0], [0, b], [900, b]))],
      ),
    });

  test("are compared when both have a scale; a common profile does not count twice", () => {
    const found = diameterDifferencePct(withDiameters(400, 408, profile));
    expect(found?.differencePct).toBeCloseTo(100 * (8 / 404), 8);
    expect(found?.u).toBeCloseTo(100 * Math.hypot(2 / 400, 2 / 408), 1);
    expect(observe(withDiameters(400, 408, profile)).context.d0AgreePct).toBeCloseTo(100 * (8 / 404), 8);
  });

  test("are not compared through a scale that takes the diameter for granted", () => {
    const scale = {
      method: "wire-diameter",
      diameterMm: { value: 2, u: 0.01 },
      diameterPx: { value: 400, u: 2 },
      markId: null,
    } as const;
    expect(diameterDifferencePct(withDiameters(400, 408, scale))).toBeNull();
    expect(diameterDifferencePct(withDiameters(400, 408, null))).toBeNull();
  });

  test("typed diameters are compared too", () => {
    const typed = (d: number) => endWith([], [mark("wire_outline", null, null, { given: { d0_mm: d } })]);
    const b = breakWith({ machine: typed(2), takeUp: typed(2.1) });
    expect(diameterDifferencePct(b)?.differencePct).toBeCloseTo(100 * (0.1 / 2.05), 8);
    expect(measureWarnings(b).map((w) => w.code)).toEqual(["diameters-differ"]);
  });
});

describe("warnings about scale and measures", () => {
  const codes = (b: WireBreak, facts = {}) => measureWarnings(b, facts).map((w) => w.code);
  const one = (patch: Partial<Photograph>, marks: readonly Mark[] = [], context: Partial<BreakContext> = {}) =>
    breakWith({ machine: endWith([photograph("s", "side_0", patch)], marks) }, context);

  test("no scale, an unusable one, one without uncertainty", () => {
    expect(codes(one({ scale: null }))).toEqual(["no-scale"]);
    expect(codes(one({ scale: null, view: "other" }))).toEqual([]);
    expect(codes(one({ scale: { method: "stated", pxPerMm: { value: 0, u: 0 } } }))).toEqual(["scale-unusable"]);
    expect(codes(one({ scale: { method: "stated", pxPerMm: { value: 50, u: 0 } } }))).toEqual([
      "uncertainty-not-stated",
    ]);
    expect(codes(one({ scale: { method: "stated", pxPerMm: { value: 50, u: 1 } } }))).toEqual([]);
    expect(codes(one({ scale: MICROMETER_SCALE }))).toEqual([]);
  });

  test("an overdue profile is named with its date", () => {
    const b = one({ scale: { method: "profile", profileId: "p", name: "2.5×", pxPerMm: { value: 200, u: 1 } } });
    const profiles = [{ id: "p", name: "2.5×", dueAt: "2026-02-01T00:00:00Z" }];
    expect(codes(b, { profiles, now: "2026-03-01T00:00:00Z" })).toEqual(["profile-overdue"]);
    expect(measureWarnings(b, { profiles, now: "2026-03-01T00:00:00Z" })[0]?.says).toContain("2026-02-01");
    expect(codes(b, { profiles, now: "2026-01-01T00:00:00Z" })).toEqual([]);
    expect(codes(b)).toEqual([]);
  });

  test("a scale that rests on the nominal diameter alone", () => {
    const scale = {
      method: "wire-diameter",
      diameterMm: { value: 2, u: 0.01 },
      diameterPx: { value: 400, u: 2 },
      markId: null,
    } as const;
    expect(codes(one({ scale }, [], { nominalDiameterMm: 2 }))).toEqual(["nominal-diameter-only"]);
    expect(codes(one({ scale }, [], { nominalDiameterMm: 2, measuredDiameterMm: 2 }))).toEqual([]);
  });

  test("a neck wider than the wire, an impossible reduction of area, a diameter far from nominal", () => {
    const wide = [mark("wire_outline", "s", SIDE_EDGES), mark("neck", "s", line([1000, 400], [1000, 1000]))];
    expect(codes(one({ scale: MICROMETER_SCALE }, wide))).toEqual(["neck-exceeds-original"]);
    const deep = [mark("wire_outline", "s", SIDE_EDGES), mark("neck", "s", line([1000, 650], [1000, 750]))];
    expect(codes(one({ scale: MICROMETER_SCALE }, deep, { refRaPct: 50, refRaUPct: 1 }))).toEqual([
      "reduction-implausible",
    ]);
    expect(
      codes(one({ scale: MICROMETER_SCALE }, deep, { refRaPct: 90, refRaUPct: 1, nominalDiameterMm: 2.01 })),
    ).toEqual([]);
    expect(
      codes(one({ scale: MICROMETER_SCALE }, deep, { refRaPct: 90, refRaUPct: 1, nominalDiameterMm: 2.05 })),
    ).toEqual(["scale-disagrees-with-wire"]);
    expect(codes(one({ scale: MICROMETER_SCALE }, deep, { nominalDiameterMm: 3 }))).toEqual(["diameter-off-nominal"]);
    expect(codes(one({ scale: MICROMETER_SCALE }, deep, { nominalDiameterMm: 1 }))).toEqual(["diameter-off-nominal"]);
  });

  test("beach lines drawn without a scale stay silent here: the mark itself says what is missing", () => {
    const b = one({ scale: MICROMETER_SCALE, view: "end_on" }, [mark("beach_marks", "s", polyline([1, 1], [2, 2]))]);
    expect(codes(b)).toEqual([]);
  });
});
