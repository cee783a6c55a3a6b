import { describe, expect, test } from "vitest";
import type { Geometry, Point } from "../../../model/break/geometry.ts";
import type { BreakContext, Mark, Photograph } from "../../../model/break/wire-break.ts";
import type { FeatureId, ViewId } from "../../../model/evidence/features.ts";
import { FEATURES } from "../../../model/evidence/features.ts";
import { measuresOf } from "../../../model/measure/measures.ts";
import {
  MICROMETER_SCALE,
  SIDE_EDGES,
  angle,
  box,
  breakWith,
  circle,
  edges,
  ellipse,
  endWith,
  line,
  mark,
  photograph,
  point,
  polygon,
  polyline,
  readMark,
  sector,
} from "./a-break.ts";

/** A circular outline of radius 400 px at (1000, 700). */
const FACE: Geometry = circle(1000, 700, 400);

function onFace(marks: readonly Mark[], patch: Partial<Photograph> = {}, context: Partial<BreakContext> = {}) {
  return breakWith(
    { machine: endWith([photograph("e", "end_on", patch)], [mark("wire_outline", "e", FACE), ...marks]) },
    context,
  );
}
function onSide(marks: readonly Mark[], patch: Partial<Photograph> = {}, context: Partial<BreakContext> = {}) {
  return breakWith(
    { machine: endWith([photograph("s", "side_0", patch)], [mark("wire_outline", "s", SIDE_EDGES), ...marks]) },
    context,
  );
}
const face = (feature: FeatureId, geometry: Geometry) => readMark(onFace([mark(feature, "e", geometry)]), feature);
const side = (feature: FeatureId, geometry: Geometry, context: Partial<BreakContext> = {}) =>
  readMark(onSide([mark(feature, "s", geometry)], {}, context), feature);

describe("wire outline", () => {
  test("end-on: diameter of equal area, with the scale named and in the uncertainty", () => {
    const b = breakWith({
      machine: endWith(
        [photograph("e", "end_on", { scale: MICROMETER_SCALE })],
        [mark("wire_outline", "e", ellipse(1000, 700, 410, 390))],
      ),
    });
    const found = readMark(b, "wire_outline");
    const px = 2 * Math.sqrt(410 * 390);
    expect(found.number("d0_mm")).toBeCloseTo(px / 200, 10);
    expect(found.u("d0_mm")).toBeCloseTo((px / 200) * Math.hypot(2 / px, Math.SQRT2 / 1000, 0.001), 4);
    expect(found.get("d0_mm")).toMatchObject({ unit: "mm", given: false });
    expect(found.get("d0_mm")?.scale).toContain("stage micrometer");
    expect(found.number("ovality_pct")).toBeCloseTo(5, 10);
    expect(found.u("ovality_pct")).toBeCloseTo((100 * 2 * 2) / 800, 10);
  });

  test("from the side: distance across, even when the edges are turned and drawn in opposite ways", () => {
    const t = (30 * Math.PI) / 180;
    const turned = ([x, y]: Point): Point => [x * Math.cos(t) - y * Math.sin(t), x * Math.sin(t) + y * Math.cos(t)];
    const g = edges(turned([0, 0]), turned([800, 0]), turned([900, 300]), turned([100, 300]));
    const b = breakWith({
      machine: endWith([photograph("s", "side_0", { scale: MICROMETER_SCALE })], [mark("wire_outline", "s", g)]),
    });
    expect(readMark(b, "wire_outline").number("d0_mm")).toBeCloseTo(1.5, 10);
  });

  test("tapering edges are questioned", () => {
    const g = edges([0, 0], [800, 0], [0, 300], [800, 360]);
    const b = breakWith({
      machine: endWith([photograph("s", "side_0", { scale: MICROMETER_SCALE })], [mark("wire_outline", "s", g)]),
    });
    expect(readMark(b, "wire_outline").warnings[0]).toContain("4.3°");
  });

  test("without a scale there are no millimetres, and it says so", () => {
    const found = readMark(onFace([]), "wire_outline");
    expect(found.whyAbsent("d0_mm")).toBe("scale-missing");
    expect(found.value("ovality_pct")).toBe(0);
  });

  test("the outline that set the scale has the stated diameter and its uncertainty, no more", () => {
    const outline = mark("wire_outline", "e", FACE);
    const scale = {
      method: "wire-diameter",
      diameterMm: { value: 2, u: 0.01 },
      diameterPx: { value: 800, u: 3 },
      markId: outline.id,
    } as const;
    const b = breakWith({ machine: endWith([photograph("e", "end_on", { scale })], [outline]) });
    expect(readMark(b, "wire_outline").get("d0_mm")).toMatchObject({ value: 2, u: 0.01 });
  });

  test("outlines that cannot be measured are absent with a reason", () => {
    const flat = breakWith({
      machine: endWith([photograph("e", "end_on")], [mark("wire_outline", "e", ellipse(1, 1, 0, 5))]),
    });
    expect(readMark(flat, "wire_outline").whyAbsent("d0_mm")).toBe("degenerate-geometry");
    const same = breakWith({
      machine: endWith([photograph("s", "side_0")], [mark("wire_outline", "s", edges([0, 0], [9, 0], [0, 0], [9, 0]))]),
    });
    expect(readMark(same, "wire_outline").whyAbsent("d0_mm")).toBe("degenerate-geometry");
  });

  test("an uncertainty that was not stated stays not stated", () => {
    const b = breakWith({
      machine: endWith(
        [photograph("e", "end_on", { scale: { method: "stated", pxPerMm: { value: 400, u: 0 } } })],
        [mark("wire_outline", "e", FACE)],
      ),
    });
    expect(readMark(b, "wire_outline").get("d0_mm")).toMatchObject({ value: 2, u: null });
  });
});

describe("neck and reduction of area", () => {
  const neck = line([1000, 580], [1000, 820]);

  test("one neck on the photograph of the outline: the scale cancels and need not be known", () => {
    const found = side("neck", neck);
    expect(found.number("ra_pct")).toBeCloseTo(64, 10);
    // u(RA) = 2 (d/D)² √[(u_d/d)² + (u_D/D)²] with u_d = √2·2 px for two clicks and u_D = 2 px for two edges of two clicks each.
    expect(found.u("ra_pct")).toBeCloseTo(100 * 2 * 0.36 * Math.hypot((2 * Math.SQRT2) / 240, 2 / 400), 6);
    expect(found.whyAbsent("neck_d_mm")).toBe("scale-missing");
    expect(found.get("ra_pct")?.how).toContain("the neck taken as round; D from the edges on this photograph");
  });

  test("necks in two views at right angles: 1 − d1·d2/D²", () => {
    const b = breakWith({
      machine: endWith(
        [photograph("s", "side_0", { scale: MICROMETER_SCALE }), photograph("t", "side_90")],
        [
          mark("wire_outline", "s", SIDE_EDGES),
          mark("neck", "s", neck),
          mark("wire_outline", "t", edges([0, 0], [800, 0], [0, 200], [800, 200])),
          mark("neck", "t", line([500, 20], [500, 180])),
          mark("neck", "t", line([600, 10], [600, 190])),
        ],
      ),
    });
    const found = readMark(b, "neck");
    expect(found.number("ra_pct")).toBeCloseTo(100 * (1 - 0.6 * 0.8), 10);
    expect(found.number("neck_d_mm")).toBeCloseTo(1.2, 10);
    expect(found.get("ra_pct")?.how).toContain("two directions");
  });

  test("a line drawn aslant is taken square across, and questioned", () => {
    const found = side("neck", line([1000, 580], [1100, 820]));
    expect(found.number("ra_pct")).toBeCloseTo(64, 10);
    expect(found.warnings.join()).toContain("23° off square");
  });

  test("the ratio to the reference pull carries both uncertainties", () => {
    const found = side("neck", neck, { refRaPct: 80, refRaUPct: 2 });
    expect(found.number("ra_ratio")).toBeCloseTo(0.8, 10);
    expect(found.u("ra_ratio")).toBeCloseTo(0.8 * Math.hypot((found.u("ra_pct") ?? NaN) / 64, 2 / 80), 8);
    expect(side("neck", neck, { refRaPct: 80 }).get("ra_ratio")?.how).toContain("not stated");
    expect(side("neck", neck, { refRaPct: 0 }).whyAbsent("ra_ratio")).toBe("diameter-not-positive");
  });

  test("no outline on this photograph: the measured, then the nominal diameter at the scale", () => {
    const b = (context: Partial<BreakContext>) =>
      breakWith(
        { machine: endWith([photograph("s", "side_0", { scale: MICROMETER_SCALE })], [mark("neck", "s", neck)]) },
        context,
      );
    const measured = readMark(b({ measuredDiameterMm: 2, measuredDiameterUMm: 0.01, nominalDiameterMm: 3 }), "neck");
    expect(measured.number("ra_pct")).toBeCloseTo(64, 10);
    expect(measured.get("ra_pct")?.how).toContain("measured wire diameter");
    const unstated = readMark(b({ measuredDiameterMm: 2 }), "neck");
    expect(unstated.get("ra_pct")?.how).toContain("0.5 % taken");
    const nominal = readMark(b({ nominalDiameterMm: 2 }), "neck");
    expect(nominal.get("ra_pct")?.how).toContain("nominal");
    expect(nominal.u("ra_pct")).toBeGreaterThan(measured.u("ra_pct") ?? NaN);
    expect(readMark(b({}), "neck").whyAbsent("ra_pct")).toBe("wire-missing");
    expect(readMark(b({ nominalDiameterMm: 1 }), "neck").whyAbsent("ra_pct")).toBe("neck-exceeds-original");
  });

  test("no outline on this photograph: an outline on another photograph of the end comes before the context", () => {
    const b = breakWith(
      {
        machine: endWith(
          [
            photograph("e", "end_on", { scale: MICROMETER_SCALE }),
            photograph("s", "side_0", { scale: MICROMETER_SCALE }),
          ],
          [mark("wire_outline", "e", circle(500, 500, 200)), mark("neck", "s", neck)],
        ),
      },
      { measuredDiameterMm: 3 },
    );
    expect(readMark(b, "neck").number("ra_pct")).toBeCloseTo(64, 10);
    const typed = breakWith({
      machine: endWith(
        [photograph("s", "side_0", { scale: MICROMETER_SCALE })],
        [mark("wire_outline", null, null, { given: { d0_mm: 2 } }), mark("neck", "s", neck)],
      ),
    });
    expect(readMark(typed, "neck").number("ra_pct")).toBeCloseTo(64, 10);
    expect(readMark(typed, "neck").get("ra_pct")?.how).toContain("stated wire diameter");
  });

  test("the same known wire diameter as scale of two photographs cancels between them", () => {
    const scale = (px: number) =>
      ({
        method: "wire-diameter",
        diameterMm: { value: 2, u: 0.2 },
        diameterPx: { value: px, u: 0.001 },
        markId: null,
      }) as const;
    const b = breakWith(
      { machine: endWith([photograph("s", "side_0", { scale: scale(400) })], [mark("neck", "s", neck)]) },
      { measuredDiameterMm: 2, measuredDiameterUMm: 0.2 },
    );
    const found = readMark(b, "neck");
    expect(found.number("ra_pct")).toBeCloseTo(64, 10);
    expect(found.u("ra_pct")).toBeCloseTo(100 * 2 * 0.36 * ((2 * Math.SQRT2) / 240), 3);
  });

  test("a typed neck diameter gives a reduction of area, its uncertainty not stated", () => {
    const b = breakWith(
      { machine: endWith([], [mark("neck", null, null, { given: { neck_d_mm: 1.6 } })]) },
      { measuredDiameterMm: 2, refRaPct: 72 },
    );
    const found = readMark(b, "neck");
    expect(found.number("ra_pct")).toBeCloseTo(36, 10);
    expect(found.u("ra_pct")).toBeNull();
    expect(found.number("ra_ratio")).toBeCloseTo(0.5, 10);
    expect(found.u("ra_ratio")).toBeNull();
  });

  test("a small reduction comes with the words", () => {
    expect(side("neck", line([1000, 510], [1000, 890])).warnings.join()).toContain("little or no necking");
  });

  test("a typed reduction of area wins over the drawn one", () => {
    const b = onSide([mark("neck", "s", neck, { given: { ra_pct: 50, one_sided: true } })], {}, { refRaPct: 100 });
    const found = readMark(b, "neck");
    expect(found.get("ra_pct")).toMatchObject({ value: 50, given: true, u: null });
    expect(found.get("one_sided")).toMatchObject({ value: true, given: true, unit: null });
    expect(found.number("ra_ratio")).toBe(0.5);
  });
});

describe("cones and holes", () => {
  test("cone tip: distance from the centre end-on, from the centre line in the side view", () => {
    expect(face("cone_apex", point(1040, 730)).number("apex_offset_ratio")).toBeCloseTo(50 / 400, 10);
    const fromSide = side("cone_apex", point(1500, 740));
    expect(fromSide.number("apex_offset_ratio")).toBeCloseTo(0.2, 10);
    expect(fromSide.u("apex_offset_ratio")).toBeGreaterThan(2 / 200);
  });

  test("a tip in the centre still has an uncertainty", () => {
    const found = face("cone_apex", point(1000, 700));
    expect(found.number("apex_offset_ratio")).toBe(0);
    expect(found.u("apex_offset_ratio")).toBeCloseTo(Math.hypot(2, Math.SQRT2) / 400, 6);
  });

  test("flank, included angle, base and height against the wire axis", () => {
    // Tip at (1200, 700), arms back to the edges at 40° above and 50° below the axis.
    const back = (deg: number): Point => [1200 - 200, 700 + 200 * Math.tan((deg * Math.PI) / 180)];
    const found = side("cone_flank", angle(back(-40), [1200, 700], back(50)));
    expect(found.number("included_angle_deg")).toBeCloseTo(90, 8);
    expect(found.number("flank_angle_deg")).toBeCloseTo(45, 8);
    expect(found.number("cone_height_d")).toBeCloseTo(0.5, 8);
    const base = 200 * (Math.tan((40 * Math.PI) / 180) + Math.tan((50 * Math.PI) / 180));
    expect(found.number("cone_base_over_D")).toBeCloseTo(base / 400, 8);
  });

  test("without an axis the flank is half the included angle", () => {
    const b = breakWith({
      machine: endWith([photograph("s", "side_0")], [mark("cone_flank", "s", angle([0, 0], [100, 100], [0, 200]))]),
    });
    const found = readMark(b, "cone_flank");
    expect(found.number("flank_angle_deg")).toBeCloseTo(45, 10);
    // Each arm is √2·100 long and placed within 2 px at both ends; the shared tip is counted once.
    expect(found.u("included_angle_deg")).toBeGreaterThan((Math.SQRT2 * 2 * 180) / (Math.PI * 141.42) - 0.2);
    expect(found.whyAbsent("cone_base_over_D")).toBe("wire-missing");
  });

  test("an axis set for the photograph serves as well as edges", () => {
    const b = breakWith(
      {
        machine: endWith(
          [photograph("s", "side_0", { axisDeg: 30, scale: MICROMETER_SCALE })],
          [mark("cone_flank", "s", angle([0, 0], [100, 0], [0, 100]))],
        ),
      },
      { nominalDiameterMm: 1 },
    );
    // Arms at 180° and 135°: 30° and 75° to an axis of 30°.
    const found = readMark(b, "cone_flank");
    expect(found.number("flank_angle_deg")).toBeCloseTo((30 + 75) / 2, 8);
    expect(found.number("cone_height_d")).toBeGreaterThan(0);
  });

  test("hole end-on: equivalent diameter and offset, as ellipse and as polygon", () => {
    const round = face("end_hole", circle(1000, 720, 200));
    expect(round.number("hole_d_over_D")).toBeCloseTo(0.5, 10);
    expect(round.number("offset_ratio")).toBeCloseTo(0.05, 10);
    expect(round.u("hole_d_over_D")).toBeCloseTo(0.5 * Math.hypot(2 / 400, 2 / 800), 8);
    const square = face("end_hole", box(900, 600, 1100, 800));
    expect(square.number("hole_d_over_D")).toBeCloseTo(Math.sqrt((4 * 200 * 200) / Math.PI) / 800, 10);
    expect(square.number("offset_ratio")).toBeCloseTo(0, 10);
  });

  test("hole in a longitudinal section: mouth, depth, offset", () => {
    const b = breakWith(
      {
        machine: endWith(
          [photograph("l", "section_long", { axisDeg: 0, scale: MICROMETER_SCALE })],
          [mark("end_hole", "l", polygon([1000, 600], [1000, 800], [700, 700]))],
        ),
      },
      { measuredDiameterMm: 2, measuredDiameterUMm: 0 },
    );
    const found = readMark(b, "end_hole");
    expect(found.number("hole_d_over_D")).toBeCloseTo(0.5, 10);
    expect(found.number("depth_d")).toBeCloseTo(0.75, 10);
    expect(found.whyAbsent("offset_ratio")).toBe("wire-missing");
  });

  test("chevrons: angle, number, pitch and direction of the tips", () => {
    const v = (x: number) => angle([x - 100, 600], [x, 700], [x - 100, 800]);
    const section = (marks: readonly Mark[], axisDeg: number | null, rolesKnown = true) =>
      breakWith(
        { machine: endWith([photograph("l", "section_long", { axisDeg, scale: MICROMETER_SCALE })], marks) },
        { measuredDiameterMm: 2 },
        { rolesKnown },
      );
    const three = [v(500), v(1300), v(900)].map((g) => mark("chevron", "l", g));
    const found = readMark(section(three, 0), "chevron");
    expect(found.number("included_angle_deg")).toBeCloseTo(90, 10);
    expect(found.number("width_over_D")).toBeCloseTo(0.5, 10);
    expect(found.get("count")).toMatchObject({ value: 3, u: null, unit: "count" });
    expect(found.number("pitch_d")).toBeCloseTo(1, 10);
    expect(found.value("tips")).toBe("all_toward_spool");
    expect(readMark(section(three, 180), "chevron").value("tips")).toBe("all_toward_machine");
    const facing = mark("chevron", "l", angle([1700, 600], [1600, 700], [1700, 800]));
    expect(readMark(section([...three, facing], 0), "chevron").value("tips")).toBe("both");
    expect(readMark(section(three, 0, false), "chevron").value("tips")).toBeUndefined();
    expect(readMark(section(three, null), "chevron").value("tips")).toBeUndefined();
  });
});

describe("zones and marks of the face", () => {
  const zones: readonly FeatureId[] = [
    "bright_facets",
    "rock_candy",
    "final_zone",
    "face_damage",
    "face_deposit",
    "swirl",
    "fibrous_zone",
  ];
  test.each(zones)("%s: share of the section", (feature) => {
    const found = face(feature, box(900, 600, 1100, 800));
    expect(found.number("area_fraction")).toBeCloseTo((200 * 200) / (Math.PI * 400 * 400), 10);
    // Edge placed 2 px in or out over a perimeter of 800 px; section from two half axes of √2 px.
    expect(found.u("area_fraction")).toBeCloseTo(found.number("area_fraction") * Math.hypot(1600 / 40000, 2 / 400), 6);
  });

  test("a zone drawn beyond the outline is brought to the whole face, and says so", () => {
    const found = face("rock_candy", box(500, 200, 1500, 1200));
    expect(found.value("area_fraction")).toBe(1);
    expect(found.get("area_fraction")?.how).toContain("outside the possible range");
  });

  test("fibrous centre: equivalent diameter; swirl: distance of its centre", () => {
    expect(
      face("fibrous_zone", circle(1000, 700, 100).type === "ellipse" ? circle(1000, 700, 100) : FACE).number(
        "diameter_over_D",
      ),
    ).toBeCloseTo(0.25, 10);
    expect(face("swirl", box(1000, 600, 1200, 800)).number("center_r")).toBeCloseTo(0.25, 10);
  });

  test("radial marks: where their ridges meet", () => {
    const ray = (deg: number) => {
      const [c, s] = [Math.cos((deg * Math.PI) / 180), Math.sin((deg * Math.PI) / 180)];
      return mark("radial_marks", "e", polyline([1200 + 50 * c, 700 + 50 * s], [1200 + 300 * c, 700 + 300 * s]));
    };
    const found = readMark(onFace([ray(100), ray(180), ray(250)]), "radial_marks");
    expect(found.number("converge_r")).toBeCloseTo(0.5, 6);
    expect(found.u("converge_r")).toBeGreaterThan(0.003);
    expect(readMark(onFace([ray(100)]), "radial_marks").whyAbsent("converge_r")).toBe("too-few");
    expect(readMark(onFace([ray(100), ray(100)]), "radial_marks").whyAbsent("converge_r")).toBe("degenerate-geometry");
  });

  test("shear lip: share of the rim and mean width", () => {
    const half = face("shear_lip", sector(1000, 700, 340, 400, 20, 200));
    expect(half.number("lip_arc_fraction")).toBeCloseTo(0.5, 3);
    expect(half.number("lip_width_ratio")).toBeCloseTo(60 / 800, 3);
    const whole = face("shear_lip", sector(1000, 700, 340, 400, 0, 360));
    expect(whole.number("lip_arc_fraction")).toBeCloseTo(1, 6);
    expect(whole.number("lip_width_ratio")).toBeCloseTo(60 / 800, 3);
    const arc = face("shear_lip", polyline([1400, 700], [1000, 1100], [600, 700]));
    expect(arc.number("lip_arc_fraction")).toBeCloseTo(0.5, 6);
    expect(arc.value("lip_width_ratio")).toBeUndefined();
    expect(face("shear_lip", polyline([1400, 700], [1400, 700])).whyAbsent("lip_arc_fraction")).toBe(
      "degenerate-geometry",
    );
  });

  test("particle: size and place", () => {
    const found = face("particle", circle(1200, 700, 40));
    expect(found.number("size_over_D")).toBeCloseTo(0.1, 10);
    expect(found.number("r_over_R")).toBeCloseTo(0.5, 10);
    expect(side("particle", circle(1400, 750, 40)).number("r_over_R")).toBeCloseTo(0.25, 10);
  });

  test.each([
    [1400, 700, 3],
    [1000, 1100, 6],
    [600, 700, 9],
    [1000, 300, 12],
    [1200, 700 - 200 * Math.sqrt(3), 1],
  ])("a start at (%d, %d) stands at %d o’clock", (x, y, clock) => {
    const found = face("origin", point(x, y));
    expect(found.number("clock")).toBeCloseTo(clock, 8);
    expect(found.number("r_over_R")).toBeCloseTo(1, 8);
  });

  test("the clock follows the photograph as it is turned for display", () => {
    const turned = readMark(onFace([mark("origin", "e", point(1400, 700))], { turnDeg: 90 }), "origin");
    expect(turned.number("clock")).toBeCloseTo(6, 8);
  });

  test("at the centre there is no clock; an arc stands for its middle; starts are counted", () => {
    expect(face("origin", point(1001, 700)).whyAbsent("clock")).toBe("degenerate-geometry");
    const arc = readMark(
      onFace([
        mark("origin", "e", polyline([1300, 600], [1300, 700], [1300, 800])),
        mark("origin", "e", point(1000, 300)),
      ]),
      "origin",
    );
    expect(arc.number("clock")).toBeCloseTo(3, 8);
    expect(arc.value("count")).toBe(2);
  });

  test("arrest lines: number and spacing, in µm only at a scale", () => {
    const arcs = [0, 20, 40, 60].map((d) =>
      mark("beach_marks", "e", polyline([800 + d, 600], [800 + d, 700], [800 + d, 800])),
    );
    const found = readMark(onFace(arcs, { scale: MICROMETER_SCALE }), "beach_marks");
    expect(found.value("count")).toBe(4);
    expect(found.number("spacing_um")).toBeCloseTo(100, 8);
    expect(found.u("spacing_um")).toBeCloseTo(100 * Math.hypot((2 * Math.SQRT2) / 60, Math.SQRT2 / 1000, 0.001), 6);
    expect(readMark(onFace(arcs), "beach_marks").whyAbsent("spacing_um")).toBe("scale-missing");
    expect(readMark(onFace(arcs.slice(0, 1), { scale: MICROMETER_SCALE }), "beach_marks").whyAbsent("spacing_um")).toBe(
      "too-few",
    );
  });

  test("ratchet marks are counted", () => {
    const three = [0, 1, 2].map((i) => mark("ratchet_marks", "e", line([1380, 700 + 20 * i], [1400, 700 + 20 * i])));
    expect(readMark(onFace(three), "ratchet_marks").value("count")).toBe(3);
  });

  test("a final zone across from the start is opposite to it", () => {
    const start = mark("origin", "e", point(620, 700));
    const zone = (x: number) => mark("final_zone", "e", box(x, 600, x + 100, 800));
    expect(readMark(onFace([start, zone(1250)]), "final_zone").value("opposite_origin")).toBe(true);
    expect(readMark(onFace([start, zone(650)]), "final_zone").value("opposite_origin")).toBe(false);
    expect(readMark(onFace([zone(650)]), "final_zone").value("opposite_origin")).toBeUndefined();
    const centred = readMark(onFace([start, mark("final_zone", "e", box(950, 650, 1050, 750))]), "final_zone");
    expect(centred.value("opposite_origin")).toBeUndefined();
    const flat = readMark(onFace([start, mark("final_zone", "e", polygon([1, 1], [2, 2], [3, 3]))]), "final_zone");
    expect(flat.whyAbsent("area_fraction")).toBe("degenerate-geometry");
  });

  test("nick and pit end-on: how deep they reach in from the outline", () => {
    expect(face("nick", polygon([1410, 650], [1320, 700], [1410, 750])).number("depth_over_D")).toBeCloseTo(0.1, 6);
    expect(face("corrosion_pit", circle(1400, 700, 40)).number("depth_over_D")).toBeCloseTo(0.05, 6);
    expect(face("nick", box(1500, 650, 1550, 750)).whyAbsent("depth_over_D")).toBe("degenerate-geometry");
  });

  test("a split end-on passes through the axis or not", () => {
    expect(face("longitudinal_split", line([600, 710], [1400, 710])).value("through_axis")).toBe(true);
    expect(face("longitudinal_split", line([600, 800], [1400, 800])).value("through_axis")).toBe(false);
    const bare = breakWith({
      machine: endWith([photograph("e", "end_on")], [mark("longitudinal_split", "e", line([0, 0], [9, 9]))]),
    });
    expect(readMark(bare, "longitudinal_split").value("through_axis")).toBeUndefined();
  });

  test("ratios on a tilted view come with a warning", () => {
    const b = breakWith({
      machine: endWith(
        [photograph("t", "tilt_45")],
        [mark("wire_outline", "t", FACE), mark("end_hole", "t", circle(1000, 700, 100))],
      ),
    });
    expect(readMark(b, "end_hole").warnings.join()).toContain("Tilted view");
  });

  test("without an outline on the face, shares of the face are absent with what to do", () => {
    const b = breakWith({
      machine: endWith(
        [photograph("e", "end_on")],
        [mark("rock_candy", "e", box(0, 0, 9, 9)), mark("origin", "e", point(1, 1))],
      ),
    });
    expect(readMark(b, "rock_candy").absent[0]).toMatchObject({
      code: "wire-missing",
      key: "area_fraction",
      label: "share of the face",
    });
    expect(readMark(b, "origin").whyAbsent("r_over_R")).toBe("wire-missing");
  });
});

describe("marks on the side of the wire", () => {
  const at = (deg: number): Point => [
    1000 + 200 * Math.cos((deg * Math.PI) / 180),
    700 + 200 * Math.sin((deg * Math.PI) / 180),
  ];
  const vertex: Point = [1000, 700];

  test.each([
    [0, 45, 45],
    [180, 45, 45],
    [45, -135, 45],
    [0, 90, 90],
    [0, 5, 5],
    [0, 130, 50],
  ])("a fracture plane drawn with arms at %d° and %d° lies at %d° to the axis", (first, second, expected) => {
    expect(side("fracture_plane", angle(at(first), vertex, at(second))).number("angle_deg")).toBeCloseTo(expected, 8);
    expect(side("shear_lip", angle(at(first), vertex, at(second))).number("lip_angle_deg")).toBeCloseTo(expected, 8);
  });

  test("without an axis one arm stands for it", () => {
    const b = breakWith({
      machine: endWith([photograph("s", "side_0")], [mark("fracture_plane", "s", angle(at(20), vertex, at(80)))]),
    });
    expect(readMark(b, "fracture_plane").number("angle_deg")).toBeCloseTo(60, 8);
    expect(readMark(b, "fracture_plane").get("angle_deg")?.how).toContain("not marked");
  });

  test("twist: helix angle, turns in 100 D and hand", () => {
    const found = side("twist_lines", angle(at(0), vertex, at(14)));
    expect(found.number("helix_angle_deg")).toBeCloseTo(14, 8);
    expect(found.number("turns_per_100d")).toBeCloseTo((100 * Math.tan((14 * Math.PI) / 180)) / Math.PI, 6);
    // Axis along +x, line turned toward +y (down): with the wire upright the line rises to the right.
    expect(found.value("hand")).toBe("right");
    expect(side("twist_lines", angle(at(0), vertex, at(-14))).value("hand")).toBe("left");
    expect(side("twist_lines", angle(at(0), vertex, at(0))).value("hand")).toBeUndefined();
    const bare = breakWith({
      machine: endWith(
        [photograph("s", "side_0")],
        [mark("twist_lines", "s", angle([500, 100], [500, 500], [540, 100]))],
      ),
    });
    expect(readMark(bare, "twist_lines").value("hand")).toBe("right");
  });

  test("bend set: how far from straight", () => {
    expect(side("bend_set", angle(at(180), vertex, at(20))).number("bend_angle_deg")).toBeCloseTo(20, 8);
    expect(side("bend_set", angle(at(180), vertex, at(0))).number("bend_angle_deg")).toBeCloseTo(0, 8);
    expect(side("bend_set", angle(vertex, vertex, at(0))).whyAbsent("bend_angle_deg")).toBe("degenerate-geometry");
  });

  test("lengths along the wire over D", () => {
    expect(side("longitudinal_line", line([100, 650], [1300, 650])).number("length_d")).toBeCloseTo(3, 10);
    expect(side("longitudinal_split", polyline([100, 650], [500, 650], [1300, 650])).number("length_d")).toBeCloseTo(
      3,
      10,
    );
    for (const feature of ["heat_tint", "sliver", "drag_scoring", "bright_patch", "weld_band", "nick"] as const)
      expect(side(feature, box(100, 550, 900, 650)).number("length_d")).toBeCloseTo(2, 10);
    expect(side("weld_band", box(100, 490, 900, 910)).number("local_d_ratio")).toBeCloseTo(1.05, 10);
    expect(side("nick", box(100, 480, 300, 540)).number("depth_over_D")).toBeCloseTo(0.15, 10);
    expect(side("longitudinal_line", polyline([5, 5], [5, 5])).whyAbsent("length_d")).toBe("degenerate-geometry");
  });

  test("a line in a transverse section gives a depth", () => {
    const b = breakWith({
      machine: endWith(
        [photograph("t", "section_trans")],
        [mark("wire_outline", "t", FACE), mark("longitudinal_line", "t", line([1400, 700], [1320, 700]))],
      ),
    });
    expect(readMark(b, "longitudinal_line").number("depth_over_D")).toBeCloseTo(0.1, 10);
  });

  test("share of the circumference from the side view, wrapped round", () => {
    // From the centre line to the upper edge: a quarter of the circumference.
    expect(side("bright_patch", box(100, 500, 300, 700)).number("arc_fraction")).toBeCloseTo(0.25, 6);
    expect(side("drag_scoring", box(100, 600, 300, 800)).number("arc_fraction")).toBeCloseTo(1 / 6, 6);
    expect(side("surface_crack", line([300, 600], [300, 800])).number("arc_fraction")).toBeCloseTo(1 / 6, 6);
    expect(side("bright_patch", box(100, 500, 300, 700)).u("arc_fraction")).toBeGreaterThan(0.005);
  });

  test("cracks across the surface: number and spacing", () => {
    const cracks = [300, 900, 500, 700].map((x) => mark("surface_crack", "s", line([x, 600], [x, 800])));
    const found = readMark(onSide(cracks), "surface_crack");
    expect(found.value("count")).toBe(4);
    expect(found.number("spacing_d")).toBeCloseTo(0.5, 10);
  });

  test("side cracks and pits are counted; a pit from the side has no depth", () => {
    const cracks = [0, 1].map((i) => mark("secondary_crack", "s", line([300 + 50 * i, 600], [320 + 50 * i, 700])));
    expect(readMark(onSide(cracks), "secondary_crack").value("count")).toBe(2);
    const pit = side("corrosion_pit", circle(300, 600, 20));
    expect(pit.value("count")).toBe(1);
    expect(pit.whyAbsent("depth_over_D")).toBe("wrong-view");
  });

  test("melt bead over D", () => {
    expect(side("melt_bead", circle(1300, 700, 280)).number("bead_d_ratio")).toBeCloseTo(1.4, 10);
  });
});

describe("what is not measured", () => {
  test("a mark that is absent or cannot be assessed has no measures", () => {
    for (const state of ["absent", "not_assessable"] as const) {
      const b = onFace([mark("end_hole", "e", circle(1000, 700, 100), { state, given: { depth_d: 1 } })]);
      expect(readMark(b, "end_hole").measures).toEqual([]);
    }
  });

  test("a mark without a picture has only what was stated, and a stated value that is no number is dropped", () => {
    const b = breakWith({
      machine: endWith(
        [],
        [mark("end_hole", null, null, { given: { depth_d: 0.7, shape: "conical", hole_d_over_D: NaN } })],
      ),
    });
    expect(readMark(b, "end_hole").measures.map((m) => [m.key, m.value, m.given])).toEqual([
      ["depth_d", 0.7, true],
      ["shape", "conical", true],
    ]);
  });

  test("a shape that does not belong on the view is not measured, and it says so", () => {
    const wrong = onSide(
      [mark("end_hole", "s", circle(1000, 700, 100)), mark("neck", "s", point(1, 1), { given: { ra_pct: 30 } })],
      {},
      { refRaPct: 60 },
    );
    expect(readMark(wrong, "end_hole").warnings.join()).toContain("not measured in this shape on this view");
    expect(readMark(wrong, "neck").value("ra_ratio")).toBe(0.5);
  });

  test("an unusable scale is named", () => {
    const scale = { method: "stated", pxPerMm: { value: 0, u: 0 } } as const;
    const found = readMark(onFace([mark("end_hole", "e", circle(1000, 700, 100))], { scale }), "end_hole");
    expect(found.warnings.join()).toContain("pixels per millimetre");
    expect(found.number("hole_d_over_D")).toBeCloseTo(0.25, 10);
  });

  test("a mark still being drawn, not yet part of the end, is measured and counted with the others", () => {
    const b = onFace([mark("ratchet_marks", "e", line([1380, 700], [1400, 700]))]);
    const fresh = mark("ratchet_marks", "e", line([1380, 720], [1400, 720]));
    const end = b.ends.machine;
    const own = end.photographs[0] ?? null;
    expect(measuresOf(fresh, { photograph: own, end, side: "machine", wireBreak: b }).map((m) => m.value)).toEqual([2]);
  });

  test("the placing uncertainty can be set, and every uncertainty follows it", () => {
    const b = onFace([mark("end_hole", "e", circle(1000, 720, 200))]);
    const [one, three] = [1, 3].map(
      (placingPx) => readMark(b, "end_hole", "machine", { placingPx }).u("hole_d_over_D") ?? NaN,
    );
    expect(three).toBeCloseTo(3 * (one ?? NaN), 10);
  });

  test("a wide photograph is placed to 0.1 % of its width", () => {
    const wide = readMark(onFace([mark("end_hole", "e", circle(1000, 720, 200))], { widthPx: 6000 }), "end_hole");
    const usual = face("end_hole", circle(1000, 720, 200));
    expect(wide.u("hole_d_over_D")).toBeCloseTo(3 * (usual.u("hole_d_over_D") ?? NaN), 10);
  });
});

describe("every feature on every view it belongs to", () => {
  const shapes: Readonly<Record<Geometry["type"], readonly Geometry[]>> = {
    point: [point(0, 0), point(1000, 700)],
    line: [line([0, 0], [0, 0]), line([900, 600], [1100, 640])],
    polyline: [polyline(), polyline([3, 3]), polyline([1, 1], [1, 1]), polyline([900, 600], [950, 700], [1100, 640])],
    polygon: [polygon(), polygon([1, 1]), polygon([0, 0], [5, 5], [10, 10]), box(900, 600, 1100, 800)],
    ellipse: [ellipse(0, 0, 0, 0), ellipse(0, 0, 1e-200, 1e-200), ellipse(1000, 700, 100, 50, 30)],
    angle: [angle([1, 1], [1, 1], [1, 1]), angle([0, 0], [5, 5], [0, 0]), angle([900, 600], [1000, 700], [900, 800])],
    edges: [edges([1, 1], [1, 1], [1, 1], [1, 1]), edges([0, 0], [9, 9], [9, 9], [0, 0]), SIDE_EDGES],
  };
  const views: Readonly<Record<string, ViewId>> = { E: "end_on", S: "side_0", L: "section_long", T: "section_trans" };
  const frames: readonly (Geometry | null)[] = [
    null,
    FACE,
    SIDE_EDGES,
    ellipse(0, 0, 0, 0),
    edges([1, 1], [1, 1], [2, 2], [2, 2]),
  ];

  test("gives finite numbers or a reason, never NaN, whatever the shape and the outline", () => {
    let seen = 0;
    for (const spec of FEATURES)
      for (const [kind, types] of Object.entries(spec.geometry))
        for (const type of types)
          for (const shape of shapes[type])
            for (const outline of frames)
              for (const scale of [null, MICROMETER_SCALE]) {
                const m = mark(spec.id, "p", shape);
                const outlines = outline === null ? [] : [mark("wire_outline", "p", outline)];
                const p = photograph("p", views[kind] ?? "other", { scale });
                const b = breakWith(
                  { machine: endWith([p], [m, ...outlines]) },
                  { nominalDiameterMm: 2, refRaPct: 60 },
                );
                const { measures, absent } = readMark(b, spec.id);
                for (const x of measures) {
                  seen++;
                  if (typeof x.value === "number") expect(Number.isFinite(x.value), `${spec.id}.${x.key}`).toBe(true);
                  if (x.u !== null) expect(Number.isFinite(x.u) && x.u >= 0, `${spec.id}.${x.key}`).toBe(true);
                  expect(x.how).toMatch(/\.$/);
                  expect(
                    spec.measures.some((s) => s.key === x.key),
                    `${spec.id}.${x.key} is in the feature table`,
                  ).toBe(true);
                }
                for (const x of absent) expect(x.reason).toMatch(/\.$/);
              }
    expect(seen).toBeGreaterThan(500);
  });
});
