import { describe, expect, test } from "vitest";
import type { Geometry, Point } from "../../../../model/break/geometry.ts";
import { bestMatch } from "../../../../model/reference/agreement/best-match.ts";
import { lineDistance } from "../../../../model/reference/agreement/line-distance.ts";
import { markAgreement } from "../../../../model/reference/agreement/marks.ts";
import { overlapOf } from "../../../../model/reference/agreement/overlap.ts";
import { mark } from "../../break/random-breaks.ts";
import fc from "../../../properties.ts";

const square = (x: number, y: number, side: number) => ({
  type: "polygon" as const,
  points: [
    [x, y],
    [x + side, y],
    [x + side, y + side],
    [x, y + side],
  ] as readonly Point[],
});
const line = (...points: [Point, Point]) => ({ type: "line" as const, points });

describe("overlap of areas", () => {
  test("known by hand", () => {
    expect(overlapOf(square(0, 0, 10), square(0, 0, 10)).iou).toBeCloseTo(1, 9);
    expect(overlapOf(square(0, 0, 10), square(5, 5, 10)).iou).toBeCloseTo(25 / 175, 2);
    expect(overlapOf(square(0, 0, 10), square(20, 0, 10)).iou).toBe(0);
    const circle = { type: "ellipse" as const, cx: 50, cy: 50, rx: 30, ry: 30, angle_deg: 10 };
    expect(overlapOf(circle, circle).first).toBeCloseTo(Math.PI * 900, -1);
    expect(overlapOf(circle, square(20, 20, 60)).iou).toBeCloseTo(Math.PI / 4, 3);
  });

  test("a shape without area overlaps nothing", () => {
    expect(overlapOf(square(3, 3, 0), square(0, 0, 10)).iou).toBe(0);
    expect(overlapOf(square(3, 3, 0), square(3, 3, 0)).iou).toBe(0);
  });
});

describe("distance of lines and points", () => {
  const point = (x: number, y: number) => ({ type: "point" as const, points: [[x, y]] as readonly [Point] });
  test("known by hand", () => {
    expect(lineDistance(point(0, 0), point(3, 4))).toBeCloseTo(5, 12);
    expect(lineDistance(line([0, 0], [100, 0]), line([0, 7], [100, 7]))).toBeCloseTo(7, 12);
    expect(lineDistance(line([0, 0], [100, 0]), line([100, 0], [0, 0]))).toBeCloseTo(0, 12);
    // From the whole line 0, back from the half 0 to 50: mean 25, halved.
    expect(lineDistance(line([0, 0], [100, 0]), line([0, 0], [50, 0]))).toBeCloseTo(6.25, 0);
  });
  test("edges of a wire are two strokes, in whatever order", () => {
    const edges = (a: number, b: number): Geometry & { type: "edges" } => ({
      type: "edges",
      points: [
        [0, a],
        [100, a],
        [0, b],
        [100, b],
      ],
    });
    expect(lineDistance(edges(10, 60), edges(60, 10))).toBeCloseTo(0, 12);
    expect(lineDistance(edges(10, 60), edges(12, 62))).toBeCloseTo(2, 12);
  });
});

test("best match: never worse than any order tried, small tables against every order", () => {
  const tables = fc.tuple(fc.integer({ min: 1, max: 4 }), fc.integer({ min: 1, max: 4 })).chain(([r, c]) =>
    fc.array(fc.array(fc.double({ min: -1, max: 1, noNaN: true }), { minLength: c, maxLength: c }), {
      minLength: r,
      maxLength: r,
    }),
  );
  const every = (worth: readonly (readonly number[])[], row = 0, used: readonly number[] = []): number =>
    row === worth.length
      ? 0
      : Math.max(
          every(worth, row + 1, used),
          ...worth[row]!.flatMap((w, j) => (used.includes(j) ? [] : [w + every(worth, row + 1, [...used, j])])),
        );
  fc.assert(
    fc.property(tables, (worth) => {
      const found = bestMatch(worth);
      const chosen = found.filter((j) => j >= 0);
      expect(new Set(chosen).size).toBe(chosen.length);
      const sum = found.reduce((s, j, i) => s + (j < 0 ? 0 : worth[i]![j]!), 0);
      expect(sum).toBeCloseTo(every(worth), 9);
    }),
  );
  expect(bestMatch([])).toEqual([]);
  expect(bestMatch([[]])).toEqual([-1]);
});

describe("marks of two readings", () => {
  const drawn = (id: string, geometry: Geometry, over: object = {}) =>
    mark(id, { photographId: "p1", geometry, ...over });
  const same = { iou: 0.5, distancePx: 20 };

  test("same feature, same photograph, best together; the rest is listed", () => {
    const found = markAgreement(
      [
        drawn("a1", square(0, 0, 100)),
        drawn("a2", square(30, 0, 100)),
        drawn("a3", line([0, 0], [50, 0]), { feature: "neck" }),
        drawn("a4", square(0, 0, 100), { photographId: "p2" }),
        mark("a5", { state: "absent" }),
      ],
      [
        drawn("b1", square(25, 0, 100)),
        drawn("b2", square(55, 0, 100)),
        drawn("b3", line([0, 8], [50, 8]), { feature: "neck" }),
        drawn("b4", square(0, 0, 100), { photographId: "p3" }),
        drawn("b5", square(0, 0, 100), { feature: "particle" }),
      ],
      same,
    );
    // a2 with b1 alone fits best, but then a1 and b2 stay alone.
    expect(found.pairs.map((p) => [p.first.id, p.second.id])).toEqual([
      ["a1", "b1"],
      ["a2", "b2"],
      ["a3", "b3"],
    ]);
    expect(found.pairs[2]!.distancePx).toBeCloseTo(8, 9);
    expect(found.firstOnly.map((m) => m.id)).toEqual(["a4"]);
    expect(found.secondOnly.map((m) => m.id)).toEqual(["b4", "b5"]);
    expect(found.share).toBeCloseTo(6 / 9, 12);
    expect(found.meanIou).toBeCloseTo(75 / 125, 6);
  });

  test("too far apart is no pair, an area and a line are none, and no marks are no agreement", () => {
    expect(markAgreement([drawn("a", square(0, 0, 10))], [drawn("b", square(6, 0, 10))], same).pairs).toEqual([]);
    expect(
      markAgreement([drawn("a", square(0, 0, 10))], [drawn("b", line([0, 0], [10, 0]))], same).secondOnly,
    ).toHaveLength(1);
    expect(markAgreement([], [], same)).toMatchObject({ share: null, meanIou: null, meanDistancePx: null });
  });
});
