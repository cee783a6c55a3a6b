import { describe, expect, test } from "vitest";
import type { Geometry, Point } from "../../../model/break/geometry.ts";
import { applyEdit } from "../../../model/break/edits.ts";
import type { Mark, Photograph, Scale, WireBreak } from "../../../model/break/wire-break.ts";
import { END_SIDES } from "../../../model/break/wire-break.ts";
import { measureMark } from "../../../model/measure/measures.ts";
import { observe } from "../../../model/measure/observe.ts";
import {
  MICROMETER_SCALE,
  SIDE_EDGES,
  angle,
  box,
  breakWith,
  circle,
  ellipse,
  endWith,
  line,
  mark,
  photograph,
  point,
  polygon,
  polyline,
  sector,
} from "./a-break.ts";
import fc from "../../properties.ts";

/** One end with something of every kind marked on a face, two side views and a section. */
const MARKS: readonly Mark[] = [
  mark("wire_outline", "e", ellipse(1000, 700, 410, 390, 20)),
  mark("end_hole", "e", ellipse(1030, 720, 150, 130, 50)),
  mark("fibrous_zone", "e", polygon([900, 600], [1100, 620], [1080, 800], [920, 790])),
  mark("radial_marks", "e", polyline([1100, 800], [1250, 950])),
  mark("radial_marks", "e", polyline([900, 800], [760, 930])),
  mark("shear_lip", "e", sector(1000, 700, 340, 390, 20, 200)),
  mark("particle", "e", circle(1150, 640, 30)),
  mark("origin", "e", point(1250, 480)),
  mark("final_zone", "e", box(700, 800, 850, 950)),
  mark("beach_marks", "e", polyline([1100, 500], [1150, 560], [1240, 600])),
  mark("beach_marks", "e", polyline([1060, 520], [1120, 600], [1230, 640])),
  mark("ratchet_marks", "e", line([1280, 450], [1300, 430])),
  mark("swirl", "e", box(900, 650, 1000, 800)),
  mark("corrosion_pit", "e", circle(620, 700, 30)),
  mark("wire_outline", "s", SIDE_EDGES),
  mark("neck", "s", line([1000, 580], [1010, 830])),
  mark("cone_apex", "s", point(1300, 720)),
  mark("cone_flank", "s", angle([1100, 540], [1300, 720], [1100, 870])),
  mark("fracture_plane", "s", angle([950, 700], [1000, 700], [1060, 740])),
  mark("longitudinal_line", "s", line([100, 640], [1200, 650])),
  mark("surface_crack", "s", line([300, 600], [310, 780])),
  mark("surface_crack", "s", line([400, 600], [410, 780])),
  mark("twist_lines", "s", angle([500, 700], [600, 700], [700, 730])),
  mark("bend_set", "s", angle([200, 700], [700, 700], [1200, 800])),
  mark("weld_band", "s", box(500, 490, 700, 915)),
  mark("bright_patch", "s", box(300, 540, 420, 640)),
  mark("melt_bead", "s", ellipse(1300, 700, 250, 230, 10)),
  mark("wire_outline", "t", SIDE_EDGES),
  mark("neck", "t", line([1000, 560], [1000, 840])),
  mark("chevron", "l", angle([500, 600], [600, 710], [500, 800])),
  mark("chevron", "l", angle([900, 610], [1000, 700], [900, 790])),
];
const side = (id: string, view: Photograph["view"]) => photograph(id, view, { scale: MICROMETER_SCALE, axisDeg: 0 });
const PHOTOGRAPHS = [
  photograph("e", "end_on", { scale: MICROMETER_SCALE, turnDeg: 15 }),
  side("s", "side_0"),
  side("t", "side_90"),
  side("l", "section_long"),
];
const BREAK = breakWith(
  { machine: endWith(PHOTOGRAPHS, MARKS) },
  { refRaPct: 75, refRaUPct: 2, measuredDiameterMm: 2, measuredDiameterUMm: 0.005 },
);

/** A similarity of the picture plane: mirror first (left to right), then turn and grow about the origin, then shift. */
interface Move {
  readonly mirror: boolean;
  readonly turnDeg: number;
  readonly grow: number;
  readonly shift: Point;
}

function moved(m: Move): WireBreak {
  const rad = (m.turnDeg * Math.PI) / 180;
  const at = ([x, y]: Point): Point => {
    const fx = m.mirror ? -x : x;
    return [
      m.grow * (fx * Math.cos(rad) - y * Math.sin(rad)) + m.shift[0],
      m.grow * (fx * Math.sin(rad) + y * Math.cos(rad)) + m.shift[1],
    ];
  };
  const direction = (deg: number) => (m.mirror ? 180 - deg : deg) + m.turnDeg;
  const geometry = (g: Geometry): Geometry => {
    if (g.type === "ellipse") {
      const [cx, cy] = at([g.cx, g.cy]);
      return { ...g, cx, cy, rx: g.rx * m.grow, ry: g.ry * m.grow, angle_deg: direction(g.angle_deg) };
    }
    return { ...g, points: g.points.map(at) } as Geometry;
  };
  const scale = (s: Scale | null): Scale | null =>
    s?.method === "drawn-length" ? { ...s, a: at(s.a), b: at(s.b), placingPx: s.placingPx * m.grow } : s;
  const end = BREAK.ends.machine;
  return {
    ...BREAK,
    ends: {
      ...BREAK.ends,
      machine: {
        ...end,
        photographs: end.photographs.map((p) => ({
          ...p,
          widthPx: p.widthPx * m.grow,
          axisDeg: p.axisDeg === null ? null : direction(p.axisDeg),
          turnDeg: (m.mirror ? -p.turnDeg : p.turnDeg) - m.turnDeg,
          scale: scale(p.scale),
        })),
        marks: end.marks.map((k) => ({ ...k, geometry: k.geometry === null ? null : geometry(k.geometry) })),
      },
    },
  };
}

const readAll = (b: WireBreak, placingPx: number) =>
  END_SIDES.flatMap((sideName) =>
    b.ends[sideName].marks.flatMap((m) => {
      const end = b.ends[sideName];
      const own = end.photographs.find((p) => p.id === m.photographId) ?? null;
      const { measures } = measureMark(m, { photograph: own, end, side: sideName, wireBreak: b }, { placingPx });
      return measures.map((x) => ({ id: `${m.id}.${x.key}`, key: x.key, value: x.value, u: x.u }));
    }),
  );

const anyMove = fc.record({
  mirror: fc.boolean(),
  turnDeg: fc.double({ min: -360, max: 360, noNaN: true }),
  grow: fc.double({ min: 0.2, max: 5, noNaN: true }),
  shift: fc.tuple(fc.double({ min: -2000, max: 2000, noNaN: true }), fc.double({ min: -2000, max: 2000, noNaN: true })),
});

describe("turning, mirroring, rescaling and shifting a photograph", () => {
  test("leaves every measure and every uncertainty as it was; only hand and clock know a mirror", () => {
    const before = readAll(BREAK, 2);
    expect(before.length).toBeGreaterThan(60);
    fc.assert(
      fc.property(anyMove, (m) => {
        const after = readAll(moved(m), 2 * m.grow);
        expect(after.map((x) => x.id)).toEqual(before.map((x) => x.id));
        after.forEach((x, i) => {
          const was = before[i];
          if (typeof x.value !== "number" || typeof was?.value !== "number") {
            const hand = { left: "right", right: "left" } as Record<string, string>;
            const expected = m.mirror && x.key === "hand" ? hand[String(was?.value)] : was?.value;
            expect(x.value, x.id).toBe(expected);
            return;
          }
          const expected = m.mirror && x.key === "clock" ? 12 - was.value : was.value;
          expect(Math.abs(x.value - expected), x.id).toBeLessThan(1e-6 * Math.max(1, Math.abs(was.value)));
          expect(Math.abs((x.u ?? 0) - (was.u ?? 0)), x.id).toBeLessThan(0.02 * (was.u ?? 0) + 1e-6);
        });
      }),
      { numRuns: 60 },
    );
  });
});

describe("the same break looked at in another way", () => {
  test("swapping the ends gives the same measures on the other side, and the tip points the other way", () => {
    const swapped = applyEdit(BREAK, { kind: "swap-ends" }, "2026-01-02T00:00:00Z").next;
    const [one] = observe(BREAK).ends;
    const [two] = observe(swapped).ends;
    expect([one?.role, two?.role]).toEqual(["machine", "spool"]);
    const plain = (end: typeof one) =>
      end?.features.map((f) => ({ ...f, measures: { ...f.measures, apex_direction: "", tips: "" } }));
    expect(plain(two)).toEqual(plain(one));
    const apex = (end: typeof one) => end?.features.find((f) => f.feature === "cone_apex")?.measures["apex_direction"];
    expect([apex(one), apex(two)]).toEqual(["toward_spool", "toward_machine"]);
    const tips = (end: typeof one) => end?.features.find((f) => f.feature === "chevron")?.measures["tips"];
    expect([tips(one), tips(two)]).toEqual(["all_toward_spool", "all_toward_machine"]);
  });

  test("the order of marks does not matter", () => {
    fc.assert(
      fc.property(fc.shuffledSubarray([...MARKS], { minLength: MARKS.length }), (marks) => {
        const b = { ...BREAK, ends: { ...BREAK.ends, machine: { ...BREAK.ends.machine, marks } } };
        const read = (x: WireBreak) => observe(x).ends[0]?.features.map((f) => [f.feature, rounded(f.measures)]);
        expect(read(b)).toEqual(read(BREAK));
      }),
      { numRuns: 30 },
    );
  });

  test("a coarser placing makes no uncertainty smaller", () => {
    const fine = readAll(BREAK, 1);
    const coarse = readAll(BREAK, 2);
    expect(coarse).toHaveLength(fine.length);
    coarse.forEach((x, i) => expect((x.u ?? 0) - (fine[i]?.u ?? 0), x.id).toBeGreaterThanOrEqual(-1e-9));
  });
});

const rounded = (measures: Readonly<Record<string, unknown>>) =>
  Object.fromEntries(
    Object.entries(measures).map(([k, v]) => [k, typeof v === "number" ? Number(v.toPrecision(9)) : v]),
  );
