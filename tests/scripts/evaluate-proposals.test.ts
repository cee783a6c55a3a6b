import { describe, expect, it } from "vitest";
import type { Geometry } from "../../model/break/geometry.ts";
import { corpusPictures } from "../../scripts/evaluate-proposals/corpus-truth.ts";
import { figuresOf, quantile } from "../../scripts/evaluate-proposals/figures.ts";
import { FLOORS } from "../../scripts/evaluate-proposals/floors.ts";
import type { JudgedMark } from "../../scripts/evaluate-proposals/judge.ts";
import { meanDistance, overlap } from "../../scripts/evaluate-proposals/shapes.ts";

const circle = (cx: number, r: number): Geometry => ({ type: "ellipse", cx, cy: 0, rx: r, ry: r, angle_deg: 0 });
const square: Geometry = {
  type: "polygon",
  points: [
    [0, 0],
    [10, 0],
    [10, 10],
    [0, 10],
  ],
};

describe("overlap", () => {
  it("is 1 of a shape with itself and 0 of shapes apart", () => {
    expect(overlap(circle(3, 5), circle(3, 5))).toBeCloseTo(1, 9);
    expect(overlap(circle(0, 5), circle(20, 5))).toBe(0);
  });
  it("of a smaller circle inside is the ratio of the areas", () => {
    expect(overlap(circle(0, 8), circle(0, 10))).toBeCloseTo(0.64, 3);
  });
  it("of half-covered squares is a third", () => {
    const moved: Geometry = {
      type: "polygon",
      points: [
        [5, 0],
        [15, 0],
        [15, 10],
        [5, 10],
      ],
    };
    expect(overlap(square, moved)).toBeCloseTo(1 / 3, 6);
  });
  it("distances are taken to the lines, not to their corners", () => {
    expect(
      meanDistance(
        [
          [3, 2],
          [7, 4],
        ],
        [
          [0, 0],
          [10, 0],
        ],
      ),
    ).toBe(3);
  });
});

describe("figures", () => {
  const mark = (truth: JudgedMark["truth"], confidence: number | null, value: number | null): JudgedMark => ({
    feature: "end_hole",
    file: "",
    truth,
    confidence,
    value,
  });
  const marks = [
    mark("true", 0.9, 0.95),
    mark("true", 0.9, 0.5),
    mark("true", null, null),
    mark("none", 0.9, null),
    mark("none", null, null),
    mark("unstated", 0.9, null),
  ];
  it("count what is shown, proposed, false and right", () => {
    const f = figuresOf("end_hole", marks);
    expect(f).toMatchObject({ shown: 3, proposed: 2, without: 2, falseOnes: 1 });
    expect(f.median).toBeCloseTo(0.725, 9);
    expect(f.calibration).toEqual([{ confidence: 0.9, n: 3, right: 1 }]);
  });
  it("miss the floor of false holes, and leave open what no picture shows", () => {
    const byFeature = new Map([["end_hole", figuresOf("end_hole", marks)]]);
    expect(FLOORS.find((f) => f.words.startsWith("false holes"))?.holds(byFeature)).toBe(false);
    expect(FLOORS.find((f) => f.words.startsWith("neck"))?.holds(byFeature)).toBeNull();
  });
  it("quantiles lie between neighbours", () => {
    expect(quantile([3, 1, 2, 4], 0.5)).toBe(2.5);
    expect(quantile([], 0.5)).toBeNull();
  });
});

describe("truth of a corpus", () => {
  it("null is absent, but a hidden outline is left open", () => {
    const [picture] = corpusPictures(
      {
        pictures: [
          {
            file: "a.jpg",
            view: "end_on",
            pxPerMm: 100,
            wireDiameterPx: 320,
            outline: null,
            edges: null,
            neck: null,
            hole: { polygon: square.points },
            cone: null,
            plane: null,
            lipInner: null,
          },
        ],
      },
      "folder",
    );
    expect(picture?.shapes.map((s) => s.feature)).toEqual(["end_hole"]);
    expect([...(picture?.absent ?? [])]).toEqual(["shear_lip"]);
  });
});
