import { describe, expect, test } from "vitest";
import type { Geometry, GeometryType, Point } from "../../model/break/geometry.ts";
import { aim, makeBench, numbersOf, PICTURE, redSquarePicture, type Aim, type Bench } from "./stage-fixture.ts";

/** Zooms, turns and device pixel ratios at which the same gesture must give the same photograph pixels. */
const AIMS: readonly (Aim & { readonly pixelRatio: number })[] = [
  { zoom: 1, turnDeg: 0, pixelRatio: 1 },
  { zoom: 0.19, turnDeg: 90, pixelRatio: 2 },
  { zoom: 0.5, turnDeg: 180, pixelRatio: 1.5 },
  { zoom: 2, turnDeg: -37, pixelRatio: 1.25 },
  { zoom: 7.5, turnDeg: 271.3, pixelRatio: 3 },
];
/** A hundredth of a stage pixel: rounding of the event coordinates, which browsers keep as 32-bit numbers. */
const TOLERANCE_STAGE_PX = 0.01;

const benchAt = (at: Aim & { readonly pixelRatio: number }): Bench => {
  const bench = makeBench({ pixelRatio: at.pixelRatio });
  aim(bench, at);
  return bench;
};

/** Places as seen from the middle of the view in stage pixels at turn 0, so that they are on the stage at any zoom. */
const spread = (at: Aim, ...steps: readonly (readonly [number, number])[]): Point[] =>
  steps.map(([x, y]): Point => [1200 + x / at.zoom, 800 + y / at.zoom]);

function expectShape(
  actual: Geometry | undefined,
  type: GeometryType,
  expected: readonly number[],
  zoom: number,
): void {
  expect(actual?.type).toBe(type);
  const numbers = actual === undefined ? [] : numbersOf(actual);
  expect(numbers).toHaveLength(expected.length);
  numbers.forEach((n, i) => expect(Math.abs(n - (expected[i] ?? NaN))).toBeLessThan(TOLERANCE_STAGE_PX / zoom));
}

describe.each(AIMS)("at zoom $zoom, turned $turnDeg°, $pixelRatio device pixels", (at) => {
  for (const pointerType of ["mouse", "pen", "touch"]) {
    test(`a click with a ${pointerType} draws a point`, () => {
      const { stage, hand, heard } = benchAt(at);
      stage.setTool({ geometry: "point", label: "cone tip" });
      const [p] = spread(at, [30, -40]);
      hand.click(p!, { pointerType });
      expect(heard.drawn).toHaveLength(1);
      expectShape(heard.drawn[0], "point", p!, at.zoom);
    });

    test(`press, drag and release with a ${pointerType} draws a line`, () => {
      const { stage, hand, heard } = benchAt(at);
      stage.setTool({ geometry: "line", label: "neck" });
      const [a, b] = spread(at, [-60, 20], [50, -45]);
      hand.drag(a!, b!, { pointerType });
      expect(heard.drawn).toHaveLength(1);
      expectShape(heard.drawn[0], "line", [...a!, ...b!], at.zoom);
    });
  }

  test("two clicks draw a line", () => {
    const { stage, hand, heard } = benchAt(at);
    stage.setTool({ geometry: "line", label: "neck" });
    const [a, b] = spread(at, [-60, 20], [50, -45]);
    hand.click(a!);
    expect(heard.drawn).toHaveLength(0);
    hand.click(b!);
    expect(heard.drawn).toHaveLength(1);
    expectShape(heard.drawn[0], "line", [...a!, ...b!], at.zoom);
  });

  test("three clicks draw an angle: arm, corner, arm", () => {
    const { stage, hand, heard } = benchAt(at);
    stage.setTool({ geometry: "angle", label: "fracture plane" });
    const points = spread(at, [-60, 0], [0, 0], [45, 60]);
    for (const p of points) hand.click(p);
    expect(heard.drawn).toHaveLength(1);
    expectShape(heard.drawn[0], "angle", points.flat(), at.zoom);
  });

  test("two dragged lines draw two edges", () => {
    const { stage, hand, heard } = benchAt(at);
    stage.setTool({ geometry: "edges", label: "wire outline" });
    const [a1, a2, b1, b2] = spread(at, [-80, -40], [80, -38], [-80, 40], [80, 44]);
    hand.drag(a1!, a2!);
    expect(heard.drawn).toHaveLength(0);
    hand.drag(b1!, b2!);
    expect(heard.drawn).toHaveLength(1);
    expectShape(heard.drawn[0], "edges", [a1!, a2!, b1!, b2!].flat(), at.zoom);
  });

  test("clicks and Enter draw a polyline; a point taken back is not in it", () => {
    const { stage, hand, heard } = benchAt(at);
    stage.setTool({ geometry: "polyline", label: "arrest lines" });
    const points = spread(at, [-70, 0], [-20, 30], [90, 80], [40, -20]);
    hand.click(points[0]!);
    hand.click(points[1]!);
    hand.click(points[2]!);
    expect(hand.key("Backspace")).toBe(true);
    hand.click(points[3]!);
    hand.key("Enter");
    expect(heard.drawn).toHaveLength(1);
    expectShape(heard.drawn[0], "polyline", [points[0]!, points[1]!, points[3]!].flat(), at.zoom);
  });

  test("clicking the first point closes a polygon", () => {
    const { stage, hand, heard } = benchAt(at);
    stage.setTool({ geometry: "polygon", label: "fibrous centre" });
    const points = spread(at, [-50, -50], [60, -40], [55, 70], [-45, 45]);
    for (const p of points) hand.click(p);
    hand.click(spread(at, [-47, -52])[0]!);
    expect(heard.drawn).toHaveLength(1);
    expectShape(heard.drawn[0], "polygon", points.flat(), at.zoom);
  });

  test("a second click on the last point ends a polygon without doubling the point", () => {
    const { stage, hand, heard } = benchAt(at);
    stage.setTool({ geometry: "polygon", label: "fibrous centre" });
    const points = spread(at, [-50, -50], [60, -40], [55, 70]);
    for (const p of points) hand.click(p);
    hand.click(points[2]!);
    expect(heard.drawn).toHaveLength(1);
    expectShape(heard.drawn[0], "polygon", points.flat(), at.zoom);
  });

  test("a traced outline becomes a polygon with few points near the hand's path", () => {
    const { stage, hand, heard } = benchAt(at);
    stage.setTool({ geometry: "polygon", label: "final zone" });
    const round = Array.from({ length: 120 }, (_, i): readonly [number, number] => {
      const a = (2 * Math.PI * i) / 120;
      return [90 * Math.cos(a), 90 * Math.sin(a)];
    });
    const path = spread(at, ...round);
    hand.down(path[0]!);
    for (const p of path.slice(1)) hand.move(p);
    hand.up(path[path.length - 1]!);
    expect(heard.drawn).toHaveLength(1);
    const shape = heard.drawn[0]!;
    if (shape.type !== "polygon") throw new Error(`a ${shape.type} came instead of a polygon`);
    expect(shape.points.length).toBeGreaterThan(8);
    expect(shape.points.length).toBeLessThan(60);
    for (const [x, y] of shape.points)
      expect(Math.abs(Math.hypot(x - 1200, y - 800) * at.zoom - 90)).toBeLessThan(2 * TOLERANCE_STAGE_PX);
  });

  test("a dragged box draws an ellipse whose axes lie along the screen", () => {
    const { stage, hand, heard } = benchAt(at);
    stage.setTool({ geometry: "ellipse", label: "hole" });
    // Corners chosen on the screen: 80 px right and 50 px down from the middle.
    const a = (at.turnDeg * Math.PI) / 180;
    const onScreen = (x: number, y: number): Point => [
      1200 + (x * Math.cos(a) + y * Math.sin(a)) / at.zoom,
      800 + (y * Math.cos(a) - x * Math.sin(a)) / at.zoom,
    ];
    hand.drag(onScreen(0, 0), onScreen(80, 50));
    expect(heard.drawn).toHaveLength(1);
    const half = ((((-at.turnDeg % 180) + 180) % 180) + 180) % 180;
    const angle = half > 90 ? half - 180 : half;
    const [cx, cy] = onScreen(40, 25);
    expectShape(heard.drawn[0], "ellipse", [cx, cy, 40 / at.zoom, 25 / at.zoom, angle], at.zoom);
  });

  test("with Alt the ellipse grows from its centre, with Shift it is round", () => {
    const { stage, hand, heard } = benchAt(at);
    stage.setTool({ geometry: "ellipse", label: "hole" });
    const [c, edge] = spread(at, [5, 5], [65, 5]);
    hand.drag(c!, edge!, { altKey: true, shiftKey: true });
    const shape = heard.drawn[0]!;
    if (shape.type !== "ellipse") throw new Error(`a ${shape.type} came instead of an ellipse`);
    expect(shape.rx).toBe(shape.ry);
    expect(Math.abs(shape.cx - c![0])).toBeLessThan(TOLERANCE_STAGE_PX / at.zoom);
    expect(Math.abs(shape.cy - c![1])).toBeLessThan(TOLERANCE_STAGE_PX / at.zoom);
  });

  test("five clicks around the rim and Enter hand the points to the fit of the caller", () => {
    const { stage, hand, heard } = benchAt(at);
    stage.setTool({ geometry: "ellipse", label: "hole" });
    const rim = spread(at, [60, 0], [20, 50], [-50, 30], [-50, -30], [20, -50]);
    for (const p of rim) hand.click(p);
    heard.fitted.length = 0;
    hand.key("Enter");
    expect(heard.drawn).toHaveLength(1);
    expect(heard.fitted).toHaveLength(1);
    heard.fitted[0]!.forEach((p, i) => {
      expect(Math.hypot(p[0] - rim[i]![0], p[1] - rim[i]![1])).toBeLessThan(TOLERANCE_STAGE_PX / at.zoom);
    });
  });

  test("with Shift a line lies on a multiple of 15° as seen on the screen", () => {
    const { stage, hand, heard } = benchAt(at);
    stage.setTool({ geometry: "line", label: "neck" });
    const [a, b] = spread(at, [-60, 20], [50, -45]);
    hand.drag(a!, b!, { shiftKey: true });
    const shape = heard.drawn[0]!;
    if (shape.type !== "line") throw new Error(`a ${shape.type} came instead of a line`);
    const [from, to] = shape.points;
    const seen = (Math.atan2(to[1] - from[1], to[0] - from[0]) * 180) / Math.PI + at.turnDeg;
    const off = Math.abs(seen / 15 - Math.round(seen / 15)) * 15;
    expect(off).toBeLessThan(1e-6);
  });

  test("Escape throws an unfinished shape away; the next one starts afresh", () => {
    const { stage, hand, heard } = benchAt(at);
    stage.setTool({ geometry: "polygon", label: "fibrous centre" });
    const points = spread(at, [-50, -50], [60, -40], [55, 70], [-45, 45]);
    hand.click(points[0]!);
    hand.click(points[1]!);
    expect(hand.key("Escape")).toBe(true);
    expect(heard.cancels).toEqual([true]);
    hand.key("Enter");
    for (const p of points.slice(1)) hand.click(p);
    stage.finish();
    expect(heard.drawn).toHaveLength(1);
    expect(heard.previews.at(-1)).toEqual([null, null]);
  });

  test("Escape during a drag throws the line away", () => {
    const { stage, hand, heard } = benchAt(at);
    stage.setTool({ geometry: "line", label: "neck" });
    const [a, b] = spread(at, [-60, 20], [50, -45]);
    hand.down(a!);
    hand.move(b!);
    hand.key("Escape");
    hand.up(b!);
    expect(heard.drawn).toEqual([]);
    expect(stage.finish()).toBe(false);
  });
});

test("a point outside the picture is placed on its edge", async () => {
  const bench = makeBench();
  const bitmap = await redSquarePicture();
  bench.stage.setPicture({ levels: [bitmap], ...PICTURE });
  aim(bench, { zoom: 1, turnDeg: 0, centre: [0, 0] });
  bench.stage.setTool({ geometry: "point", label: "cone tip" });
  bench.hand.click([-40, 50]);
  expect(bench.heard.drawn).toEqual([{ type: "point", points: [[0, 50]] }]);
  bitmap.close();
});

test("a second finger drops what the first one began and pinches instead", () => {
  const bench = makeBench();
  aim(bench, { zoom: 1, turnDeg: 0 });
  bench.stage.setTool({ geometry: "line", label: "neck" });
  const box = bench.container.getBoundingClientRect();
  const finger = (type: string, id: number, x: number, y: number): void => {
    bench.container.dispatchEvent(
      new PointerEvent(type, { bubbles: true, cancelable: true, pointerType: "touch", pointerId: id, button: 0, clientX: box.left + x, clientY: box.top + y }), // prettier-ignore
    );
  };
  finger("pointerdown", 1, 150, 150);
  finger("pointermove", 1, 170, 150);
  finger("pointerdown", 2, 250, 150);
  finger("pointermove", 2, 330, 150);
  finger("pointerup", 2, 330, 150);
  finger("pointerup", 1, 170, 150);
  expect(bench.heard.drawn).toEqual([]);
  expect(bench.stage.view.zoom).toBeCloseTo(2, 6);
  // What lay midway between the fingers (210 px) lies midway between them at the end (250 px).
  expect(bench.stage.view.centre[0]).toBeCloseTo(1200 + 10 - 50 / 2, 6);
});

test("nothing is drawn while the stage may only be looked at", () => {
  const bench = makeBench();
  aim(bench, { zoom: 1, turnDeg: 0 });
  bench.stage.setTool({ geometry: "point", label: "cone tip" });
  bench.stage.setEditable(false);
  bench.hand.click([1200, 800]);
  bench.hand.key(" ");
  expect(bench.heard.drawn).toEqual([]);
});

test("a shape ended too early says what it still needs", () => {
  const bench = makeBench();
  aim(bench, { zoom: 1, turnDeg: 0 });
  bench.stage.setTool({ geometry: "polygon", label: "fibrous centre" });
  bench.hand.click([1200, 800]);
  expect(bench.stage.finish()).toBe(false);
  expect(bench.heard.said.at(-1)).toBe("An outline needs 3 points.");
});
