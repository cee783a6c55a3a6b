import { describe, expect, test } from "vitest";
import type { Geometry, Point } from "../../model/break/geometry.ts";
import { aim, makeBench, mark, numbersOf, PICTURE, redSquarePicture, type Bench } from "./stage-fixture.ts";

const AIMS = [
  { zoom: 1, turnDeg: 0, pixelRatio: 1 },
  { zoom: 0.25, turnDeg: 90, pixelRatio: 2 },
  { zoom: 4, turnDeg: 33.5, pixelRatio: 1.5 },
] as const;

const close = (g: Geometry | undefined, expected: readonly number[]): void => {
  const numbers = g === undefined ? [] : numbersOf(g);
  expect(numbers).toHaveLength(expected.length);
  numbers.forEach((n, i) => expect(n).toBeCloseTo(expected[i] ?? NaN, 6));
};

describe.each(AIMS)("by keyboard at zoom $zoom, turned $turnDeg°, $pixelRatio device pixels", (at) => {
  const bench = (): Bench => {
    const made = makeBench({ pixelRatio: at.pixelRatio });
    aim(made, at);
    made.container.focus();
    return made;
  };
  const a = (at.turnDeg * Math.PI) / 180;
  /** Where the cursor is after steps along the screen, from the middle. */
  const after = (right: number, down: number): Point => [
    1200 + (right * Math.cos(a) + down * Math.sin(a)) / at.zoom,
    800 + (down * Math.cos(a) - right * Math.sin(a)) / at.zoom,
  ];

  test("arrows go 10, with Shift 50 screen pixels, with Alt one pixel of the photograph", () => {
    const { stage, hand } = bench();
    hand.key("ArrowRight");
    hand.key("ArrowDown", { shiftKey: true });
    const [x, y] = after(10, 50);
    expect(stage.cursor.at?.[0]).toBeCloseTo(x, 6);
    expect(stage.cursor.at?.[1]).toBeCloseTo(y, 6);
    const before = stage.cursor.at!;
    hand.key("ArrowLeft", { altKey: true });
    const step = [stage.cursor.at![0] - before[0], stage.cursor.at![1] - before[1]] as const;
    expect(Math.hypot(...step)).toBeCloseTo(1, 9);
    expect(step[0]).toBeCloseTo(-Math.cos(a), 9);
  });

  test("Space places a point", () => {
    const { stage, hand, heard } = bench();
    stage.setTool({ geometry: "point", label: "cone tip" });
    hand.key("ArrowRight");
    hand.key(" ");
    close(heard.drawn[0], after(10, 0));
    expect(heard.drawn).toHaveLength(1);
  });

  test("two places draw a line", () => {
    const { stage, hand, heard } = bench();
    stage.setTool({ geometry: "line", label: "neck" });
    hand.key("Enter");
    hand.key("ArrowDown", { shiftKey: true });
    hand.key("Enter");
    expect(heard.drawn).toHaveLength(1);
    close(heard.drawn[0], [...after(0, 0), ...after(0, 50)]);
    expect(heard.said).toContain("neck: started, 1 point.");
  });

  test("three places and Enter draw a polygon; Backspace takes a point back", () => {
    const { stage, hand, heard } = bench();
    stage.setTool({ geometry: "polygon", label: "final zone" });
    hand.key(" ");
    hand.key("ArrowRight", { shiftKey: true });
    hand.key(" ");
    hand.key("ArrowDown");
    hand.key(" ");
    hand.key("Backspace");
    expect(heard.said.at(-1)).toBe("2 points.");
    hand.key("ArrowDown", { shiftKey: true });
    hand.key(" ");
    hand.key("Enter");
    expect(heard.drawn).toHaveLength(1);
    close(heard.drawn[0], [...after(0, 0), ...after(50, 0), ...after(50, 60)]);
  });

  test("two corners and Enter draw an ellipse in their box", () => {
    const { stage, hand, heard } = bench();
    stage.setTool({ geometry: "ellipse", label: "hole" });
    hand.key(" ");
    hand.key("ArrowRight", { shiftKey: true });
    hand.key("ArrowDown");
    hand.key(" ");
    hand.key("Enter");
    const angle = at.turnDeg === 0 ? 0 : at.turnDeg === 90 ? 90 : -at.turnDeg;
    close(heard.drawn[0], [...after(25, 5), 25 / at.zoom, 5 / at.zoom, angle]);
  });

  test("angle and edges take three and four places", () => {
    const { stage, hand, heard } = bench();
    stage.setTool({ geometry: "angle", label: "fracture plane" });
    for (const key of ["ArrowRight", "ArrowDown", "ArrowLeft"]) {
      hand.key(key);
      hand.key(" ");
    }
    close(heard.drawn[0], [...after(10, 0), ...after(10, 10), ...after(0, 10)]);
    stage.setTool({ geometry: "edges", label: "wire outline" });
    for (const key of ["ArrowUp", "ArrowRight", "ArrowRight", "ArrowRight"]) {
      hand.key(key);
      hand.key(" ");
    }
    close(heard.drawn[1], [...after(0, 0), ...after(10, 0), ...after(20, 0), ...after(30, 0)]);
    expect(heard.drawn).toHaveLength(2);
  });

  test("arrows move the selected mark; each key let go is one change", () => {
    const { stage, hand, heard } = bench();
    const line: Geometry = { type: "line", points: [[1200, 800], [1210, 800]] }; // prettier-ignore
    stage.setMarks([mark("a", line)]);
    stage.setSelection("a");
    hand.key("ArrowRight");
    expect(heard.reshaped).toHaveLength(1);
    expect(heard.reshaped[0]![0]).toBe("a");
    const [x, y] = after(10, 0);
    close(heard.reshaped[0]![1], [x, y, x + 10, y]);
    hand.key("ArrowDown", { altKey: true });
    expect(heard.reshaped).toHaveLength(2);
    expect(heard.drawn).toEqual([]);
  });

  test("full stop and comma step through the handles, and arrows move only that one", () => {
    const { stage, hand, heard } = bench();
    stage.setMarks([mark("a", { type: "line", points: [[1200, 800], [1210, 800]] })]); // prettier-ignore
    stage.setSelection("a");
    hand.key(".");
    expect(heard.said.at(-1)).toBe("point 1 of 2.");
    hand.key(".");
    expect(heard.said.at(-1)).toBe("point 2 of 2.");
    hand.key("ArrowRight", { altKey: true });
    close(heard.reshaped[0]![1], [1200, 800, 1210 + Math.cos(a), 800 - Math.sin(a)]);
    hand.key(".");
    expect(heard.said.at(-1)).toBe("whole mark.");
    hand.key(",");
    expect(heard.said.at(-1)).toBe("point 2 of 2.");
  });
});

test("a held arrow key is one change, and Escape before it is let go undoes it", () => {
  const bench = makeBench();
  aim(bench, { zoom: 1, turnDeg: 0 });
  bench.container.focus();
  bench.stage.setMarks([mark("a", { type: "point", points: [[1200, 800]] })]);
  bench.stage.setSelection("a");
  const send = (type: string, key: string): boolean =>
    bench.container.dispatchEvent(new KeyboardEvent(type, { key, bubbles: true, cancelable: true }));
  for (let i = 0; i < 5; i++) send("keydown", "ArrowRight");
  expect(bench.heard.reshaped).toEqual([]);
  expect(bench.heard.previews.at(-1)).toEqual(["a", { type: "point", points: [[1250, 800]] }]);
  send("keyup", "ArrowRight");
  expect(bench.heard.reshaped).toEqual([["a", { type: "point", points: [[1250, 800]] }]]);
  send("keydown", "ArrowLeft");
  send("keydown", "Escape");
  send("keyup", "ArrowLeft");
  expect(bench.heard.reshaped).toHaveLength(1);
  expect(bench.heard.cancels).toEqual([true]);
  expect(bench.stage.selection).toBe("a");
});

test("the cursor stays in the picture and the view follows it", async () => {
  const bench = makeBench();
  const bitmap = await redSquarePicture();
  bench.stage.setPicture({ levels: [bitmap], ...PICTURE });
  aim(bench, { zoom: 1, turnDeg: 0, centre: [150, 150] });
  for (let i = 0; i < 6; i++) bench.hand.key("ArrowLeft", { shiftKey: true });
  expect(bench.stage.cursor.at).toEqual([0, 150]);
  for (let i = 0; i < 10; i++) bench.hand.key("ArrowRight", { shiftKey: true });
  expect(bench.stage.cursor.at).toEqual([500, 150]);
  expect(Math.abs(500 - bench.stage.view.centre[0])).toBeLessThanOrEqual(176);
  bitmap.close();
});

test("Space or Enter without a tool selects the mark under the cursor, Escape lets it go", () => {
  const bench = makeBench();
  aim(bench, { zoom: 1, turnDeg: 0 });
  bench.stage.setMarks([mark("a", { type: "point", points: [[1210, 800]] })]);
  bench.hand.key("ArrowRight");
  bench.hand.key("Enter");
  expect(bench.heard.selected).toEqual(["a"]);
  bench.hand.key("Escape");
  expect(bench.heard.selected).toEqual(["a", null]);
  expect(bench.heard.cancels).toEqual([false]);
});

test("plus, minus and zero zoom and fit; keys with Ctrl and letters are left to the screen", async () => {
  const bench = makeBench();
  const bitmap = await redSquarePicture();
  bench.stage.setPicture({ levels: [bitmap], ...PICTURE });
  const fitted = bench.stage.view;
  bench.hand.key("+");
  expect(bench.stage.view.zoom).toBeCloseTo(fitted.zoom * 1.25, 9);
  bench.hand.key("-");
  expect(bench.stage.view.zoom).toBeCloseTo(fitted.zoom, 9);
  bench.stage.panBy(40, 10);
  bench.hand.key("0");
  expect(bench.stage.view).toEqual(fitted);
  expect(bench.hand.key("z", { ctrlKey: true })).toBe(false);
  expect(bench.hand.key("k")).toBe(false);
  expect(bench.hand.key("Backspace")).toBe(false);
  bitmap.close();
});

test("Space held with the pointer pans and places nothing", () => {
  const bench = makeBench();
  aim(bench, { zoom: 1, turnDeg: 0 });
  bench.stage.setTool({ geometry: "point", label: "cone tip" });
  bench.container.focus();
  const send = (type: string): boolean =>
    bench.container.dispatchEvent(new KeyboardEvent(type, { key: " ", bubbles: true, cancelable: true }));
  send("keydown");
  // The picture follows the hand, so that the same photograph place stays under it.
  const from = bench.hand.client([1200, 800]);
  const at = (type: string, dx: number): void => {
    bench.container.dispatchEvent(
      new PointerEvent(type, { bubbles: true, cancelable: true, pointerId: 1, button: 0, clientX: from.clientX + dx, clientY: from.clientY }), // prettier-ignore
    );
  };
  at("pointerdown", 0);
  at("pointermove", 30);
  at("pointermove", 60);
  at("pointerup", 60);
  send("keyup");
  expect(bench.heard.drawn).toEqual([]);
  expect(bench.stage.view.centre).toEqual([1140, 800]);
});

test("screens can bind the same to keys of their own", () => {
  const bench = makeBench();
  aim(bench, { zoom: 2, turnDeg: 0 });
  bench.stage.setTool({ geometry: "polyline", label: "arrest lines" });
  bench.stage.cursor.move(0, 0, "screen");
  bench.stage.cursor.place();
  bench.stage.cursor.move(20, 0, "screen");
  bench.stage.cursor.place();
  bench.stage.cursor.move(0, 5, "photograph");
  bench.stage.cursor.place();
  expect(bench.stage.takeBack()).toBe(true);
  expect(bench.stage.finish()).toBe(true);
  expect(bench.heard.drawn).toEqual([{ type: "polyline", points: [[1200, 800], [1210, 800]] }]); // prettier-ignore
  expect(bench.stage.cancel()).toBe(false);
  expect(bench.stage.takeBack()).toBe(false);
});
