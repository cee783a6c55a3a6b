import { describe, expect, it } from "vitest";
import type { Geometry, Point } from "../../../model/break/geometry.ts";
import type { Raster } from "../../../model/picture/pixels/grey.ts";
import type { SideProposals } from "../../../model/picture/propose/side.ts";
import { proposeSide } from "../../../model/picture/propose/side.ts";
import type { MadeWire } from "./made-wire.ts";
import { mirrored, noiseAt, photograph, quarterTurn, raster } from "./made-wire.ts";

const look = (picture: Raster): SideProposals =>
  proposeSide({ raster: picture, view: "side", pxPerMm: null, wireMm: null });

function shape<T extends Geometry["type"]>(found: SideProposals, feature: string, type: T) {
  const geometry = found.marks.find((m) => m.feature === feature)?.geometry;
  expect(geometry?.type, `${feature} in ${found.marks.map((m) => m.feature).join(", ")}: ${found.says ?? ""}`).toBe(
    type,
  );
  return geometry as Extract<Geometry, { type: T }>;
}

const long = (a: Point, b: Point): number => Math.hypot(b[0] - a[0], b[1] - a[1]);
const fromLine = (p: Point, a: Point, b: Point): number =>
  Math.abs((b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])) / long(a, b);
const turnBetween = (a: number, b: number): number => Math.abs(((((a - b + 180) % 360) + 360) % 360) - 180);
/** Angle at a corner, degrees. */
const corner = ([a, v, b]: readonly [Point, Point, Point]): number => {
  const [p, q] = [a, b].map((e) => Math.atan2(e[1] - v[1], e[0] - v[0]) * (180 / Math.PI)) as [number, number];
  return turnBetween(p, q);
};
/** Distance between two edges, px. */
const apart = (edges: Extract<Geometry, { type: "edges" }>): number =>
  fromLine(edges.points[2], edges.points[0], edges.points[1]);

const WIRE: MadeWire = {
  widthPx: 480,
  heightPx: 320,
  diameterPx: 110,
  deg: 0,
  breakAt: [330, 160],
  neck: 1,
  face: { kind: "square" },
  card: 90,
  metal: [210, 212, 215],
};
const COPPER = [205, 135, 95] as const;

describe("a made side view", () => {
  for (const [deg, breakAt] of [
    [0, [330, 160]],
    [137, [190, 200]],
    [-118, [210, 110]],
  ] as const)
    it(`gives edges, direction and silhouette of a wire turned by ${deg}°`, () => {
      const found = look(photograph({ ...WIRE, deg, breakAt, metal: deg === 0 ? COPPER : WIRE.metal }));
      const edges = shape(found, "wire_outline", "edges");
      expect(Math.abs(apart(edges) - 110)).toBeLessThan(1.2);
      const [c, s] = [Math.cos((deg * Math.PI) / 180), Math.sin((deg * Math.PI) / 180)];
      for (const [x, y] of edges.points)
        expect(Math.abs(Math.abs(c * (y - breakAt[1]) - s * (x - breakAt[0])) - 55)).toBeLessThan(1.1);
      expect(turnBetween(found.axisDeg ?? 999, deg)).toBeLessThan(0.5);
      const beyond = (found.silhouette ?? []).map(([x, y]) => c * (x - breakAt[0]) + s * (y - breakAt[1]));
      expect(Math.abs(Math.max(...beyond))).toBeLessThan(3);
    });

  it("gives the neck of a thinned wire and nothing more on a dark ground", () => {
    const found = look(photograph({ ...WIRE, neck: 0.7, card: 22, metal: COPPER }));
    const [a, b] = shape(found, "neck", "line").points;
    expect(Math.abs(long(a, b) / (0.7 * 110) - 1)).toBeLessThan(0.03);
    expect(found.marks.map((m) => m.feature)).not.toContain("cone_flank");
  });

  it("gives flanks and tip of a cone", () => {
    const found = look(photograph({ ...WIRE, face: { kind: "cone", deg: 40 } }));
    const flanks = shape(found, "cone_flank", "angle");
    expect(Math.abs(corner(flanks.points) / 2 - 40)).toBeLessThan(4);
    const [tip] = shape(found, "cone_apex", "point").points;
    const height = (0.4 * 110) / Math.tan((40 * Math.PI) / 180);
    expect(long(tip, [330 + height, 160])).toBeLessThan(5);
    expect(found.marks.map((m) => m.feature)).not.toContain("fracture_plane");
  });

  it("gives the plane of a slant as [along the plane, on the axis, along the axis]", () => {
    const found = look(photograph({ ...WIRE, face: { kind: "slant", deg: 55 } }));
    const plane = shape(found, "fracture_plane", "angle");
    const deg = corner(plane.points);
    expect(Math.abs(Math.min(deg, 180 - deg) - 55)).toBeLessThan(4);
    expect(long(plane.points[1], [330, 160])).toBeLessThan(4);
    expect(fromLine(plane.points[2], [0, 160], [480, 160])).toBeLessThan(1.5);
    expect(found.marks.map((m) => m.feature)).not.toContain("cone_flank");
  });

  it("gives every mark a confidence and the name of its finder", () => {
    const { marks } = look(photograph(WIRE));
    expect(marks.length).toBeGreaterThan(1);
    for (const m of marks) {
      expect(m.confidence).toBeGreaterThan(0.5);
      expect(m.confidence).toBeLessThan(1);
      expect(m.finder).toMatch(/^side \d/);
    }
  });
});

describe("the same wire seen otherwise", () => {
  const wire = { ...WIRE, deg: 12, neck: 0.8, breakAt: [300, 170] as const };
  const picture = photograph(wire);
  const plain = look(picture);
  const neckOf = (found: SideProposals): number => {
    const [a, b] = shape(found, "neck", "line").points;
    return long(a, b);
  };

  it("turns with the picture", () => {
    const turned = look(quarterTurn(picture));
    expect(turnBetween(turned.axisDeg ?? 999, (plain.axisDeg ?? 0) + 90)).toBeLessThan(0.3);
    expect(neckOf(turned) / neckOf(plain)).toBeCloseTo(1, 1.7);
  });

  it("is mirrored with the picture", () => {
    const swapped = look(mirrored(picture));
    expect(turnBetween(swapped.axisDeg ?? 999, 180 - (plain.axisDeg ?? 0))).toBeLessThan(0.3);
    expect(apart(shape(swapped, "wire_outline", "edges"))).toBeCloseTo(apart(shape(plain, "wire_outline", "edges")), 0);
  });

  it("stays when the picture is darker", () => {
    const dark = { ...picture, rgba: Uint8ClampedArray.from(picture.rgba, (v, i) => (i % 4 === 3 ? v : 0.7 * v)) };
    expect(neckOf(look(dark)) / neckOf(plain)).toBeCloseTo(1, 1.7);
    expect(turnBetween(look(dark).axisDeg ?? 999, plain.axisDeg ?? 0)).toBeLessThan(0.3);
  });
});

describe("grounds and lights that mislead", () => {
  const GREY = [140, 140, 142] as const;
  const GREEN = [0.62, 1.12, 0.8] as const;
  /** Largest distance of the outline from the wire's own edges and its flat end, px. */
  const astray = ({ silhouette }: SideProposals, { breakAt, diameterPx }: MadeWire): number =>
    Math.max(
      ...(silhouette ?? [[0, 0] as const]).map(([x, y]) =>
        Math.min(Math.abs(Math.abs(y - breakAt[1]) - diameterPx / 2), Math.abs(x - breakAt[0]), x),
      ),
    );

  it.each<readonly [string, Partial<MadeWire>]>([
    ["a grey wire as bright as its green ground", { metal: GREY, card: 136, tint: GREEN }],
    ["a grey wire in a hard shadow on green", { metal: GREY, card: 110, tint: GREEN, shadowPx: 1 }],
    ["copper in a hard shadow on grey", { metal: COPPER, card: 150, shadowPx: 1 }],
    ["copper on a brushed ground", { metal: COPPER, card: 120, brushed: 0.12 }],
  ])("%s keeps its outline", (_, change) => {
    const wire = { ...WIRE, ...change };
    const found = look(photograph(wire));
    expect(Math.abs(apart(shape(found, "wire_outline", "edges")) - 110)).toBeLessThan(2);
    expect(astray(found, wire)).toBeLessThan(5);
  });

  it("outlines a grey wire on a brushed ground rightly or not at all", () => {
    const outlined = [0.01, 0.03, 0.06, 0.12, 0.2].filter((brushed) => {
      const wire = { ...WIRE, card: 90, brushed };
      const found = look(photograph(wire));
      if (found.marks.length === 0) return false;
      expect(astray(found, wire)).toBeLessThan(5);
      return true;
    });
    expect(outlined.length).toBeGreaterThan(0);
  });

  it("has no neck where the edge runs on without a corner", () => {
    const found = look(photograph({ ...WIRE, widthPx: 560, breakAt: [470, 160], face: { kind: "nose" } }));
    shape(found, "wire_outline", "edges");
    expect(found.marks.map((m) => m.feature)).not.toContain("neck");
  });
});

describe("a picture without a broken wire", () => {
  const grey = (v: number): readonly number[] => [v, v, v];
  const blobs = (x: number, y: number): number => 110 + 25 * noiseAt(x >> 4, y >> 4) + noiseAt(x, y);
  const cases: readonly (readonly [string, Raster])[] = [
    ["blank", raster(300, 200, () => [120, 120, 120])],
    ["noise", raster(300, 200, (x, y) => grey(120 + 12 * noiseAt(x, y)))],
    ["texture", raster(300, 200, (x, y) => grey(blobs(x, y)))],
    ["a wire that runs through", photograph({ ...WIRE, breakAt: [900, 160] })],
    ["a disc away from the rim", raster(300, 200, (x, y) => grey(Math.hypot(x - 150, y - 100) < 60 ? 200 : 60))],
    ["three pixels", raster(3, 1, () => [9, 9, 9])],
  ];
  for (const [name, picture] of cases)
    it(`has nothing proposed and says why: ${name}`, () => {
      const found = look(picture);
      expect(found.marks).toEqual([]);
      expect(found.axisDeg).toBeNull();
      expect(found.silhouette).toBeNull();
      expect(found.says).toMatch(/\.$/);
    });
});
