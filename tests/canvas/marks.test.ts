import { describe, expect, test } from "vitest";
import type { Geometry, Point } from "../../model/break/geometry.ts";
import { pick, pickable } from "../../web/canvas/pick.ts";
import { aim, makeBench, mark, nextFrame, numbersOf } from "./stage-fixture.ts";

/** Five hundred small marks of every geometry on a grid 25 wide and 20 high, 60 px apart. */
const GRID: readonly { readonly id: string; readonly at: Point; readonly geometry: Geometry }[] = Array.from(
  { length: 500 },
  (_, i) => {
    const at: Point = [500 + (i % 25) * 60, 250 + Math.floor(i / 25) * 60];
    const [x, y] = at;
    const shapes: readonly Geometry[] = [
      { type: "point", points: [at] },
      { type: "line", points: [[x - 12, y], [x + 12, y]] }, // prettier-ignore
      { type: "polyline", points: [[x - 12, y - 6], at, [x + 12, y + 6]] }, // prettier-ignore
      { type: "polygon", points: [[x - 12, y - 12], [x + 12, y - 12], [x, y + 12]] }, // prettier-ignore
      { type: "ellipse", cx: x, cy: y, rx: 14, ry: 9, angle_deg: (i * 37) % 180 },
      { type: "angle", points: [[x - 12, y + 10], at, [x + 12, y + 10]] }, // prettier-ignore
      { type: "edges", points: [[x - 12, y - 3], [x + 12, y - 3], [x - 12, y + 3], [x + 12, y + 3]] }, // prettier-ignore
    ];
    return { id: `m${i}`, at, geometry: shapes[i % shapes.length]! };
  },
);

describe.each([0, 90, -37.5])("with 500 marks on a picture turned %d°", (turnDeg) => {
  test("a click picks the mark under the pointer, and none between the marks", () => {
    const bench = makeBench();
    bench.stage.setMarks(GRID.map((m) => mark(m.id, m.geometry)));
    for (const index of [0, 7, 24, 101, 250, 303, 404, 446, 499]) {
      const target = GRID[index]!;
      aim(bench, { zoom: 1, turnDeg, centre: target.at });
      bench.hand.click(target.at);
      expect(bench.heard.selected.at(-1)).toBe(target.id);
      bench.hand.click([target.at[0] + 30, target.at[1] + 30]);
      expect(bench.heard.selected.at(-1)).toBeNull();
    }
  });

  test("each of the 500 is found where it is, zoomed far out as well", () => {
    const marks = GRID.map((m) => pickable(m.id, m.geometry));
    for (const m of GRID) expect(pick(marks, m.at, 8)).toBe(m.id);
  });
});

test("a line wins over the area it lies in, and a small area over the large one round it", () => {
  const marks = [
    pickable("large", { type: "ellipse", cx: 100, cy: 100, rx: 90, ry: 80, angle_deg: 0 }),
    pickable("small", { type: "polygon", points: [[60, 60], [100, 60], [100, 100], [60, 100]] }), // prettier-ignore
    pickable("line", { type: "line", points: [[120, 100], [160, 100]] }), // prettier-ignore
  ];
  expect(pick(marks, [80, 80], 4)).toBe("small");
  expect(pick(marks, [140, 102], 4)).toBe("line");
  expect(pick(marks, [140, 130], 4)).toBe("large");
  expect(pick(marks, [300, 300], 4)).toBeNull();
});

const SHAPES: readonly [Geometry, Point, Point][] = [
  [{ type: "point", points: [[1200, 800]] }, [1200, 800], [1230, 780]],
  [{ type: "line", points: [[1150, 800], [1250, 800]] }, [1250, 800], [1260, 850]], // prettier-ignore
  [{ type: "polygon", points: [[1150, 750], [1250, 750], [1200, 850]] }, [1150, 750], [1140, 740]], // prettier-ignore
  [{ type: "angle", points: [[1150, 800], [1200, 800], [1200, 850]] }, [1200, 800], [1190, 790]], // prettier-ignore
  [{ type: "edges", points: [[1100, 750], [1300, 750], [1100, 850], [1300, 850]] }, [1300, 850], [1300, 860]], // prettier-ignore
];

describe("reshaping", () => {
  for (const [geometry, handle, to] of SHAPES)
    test(`a handle of a ${geometry.type} dragged and released is one change`, () => {
      const bench = makeBench();
      aim(bench, { zoom: 1.5, turnDeg: 20 });
      bench.stage.setMarks([mark("a", geometry)]);
      bench.stage.setSelection("a");
      bench.hand.drag(handle, to, {}, 12);
      expect(bench.heard.reshaped).toHaveLength(1);
      const [id, shape] = bench.heard.reshaped[0]!;
      expect(id).toBe("a");
      const before = numbersOf(geometry);
      const i = before.findIndex((n, k) => k % 2 === 0 && n === handle[0] && before[k + 1] === handle[1]);
      const expected = before.map((n, k) => (k === i ? to[0] : k === i + 1 ? to[1] : n));
      numbersOf(shape).forEach((n, k) => expect(n).toBeCloseTo(expected[k]!, 2));
      expect(bench.heard.previews.filter(([who]) => who === "a").length).toBeGreaterThan(5);
      expect(bench.heard.drawn).toEqual([]);
    });

  const ellipse: Geometry = { type: "ellipse", cx: 1200, cy: 800, rx: 80, ry: 40, angle_deg: 0 };
  const cases: readonly [string, Point, Point, readonly number[]][] = [
    ["centre", [1200, 800], [1210, 790], [1210, 790, 80, 40, 0]],
    ["first axis", [1280, 800], [1300, 800], [1200, 800, 100, 40, 0]],
    ["second axis", [1200, 840], [1200, 860], [1200, 800, 80, 60, 0]],
    ["turn", [1200 - 80 - 26, 800], [1200, 800 - 106], [1200, 800, 80, 40, 90]],
  ];
  for (const [name, from, to, expected] of cases)
    test(`the ${name} handle of an ellipse does what it says`, () => {
      const bench = makeBench();
      aim(bench, { zoom: 1, turnDeg: 0 });
      bench.stage.setMarks([mark("a", ellipse)]);
      bench.stage.setSelection("a");
      bench.hand.drag(from, to);
      expect(bench.heard.reshaped).toHaveLength(1);
      numbersOf(bench.heard.reshaped[0]![1]).forEach((n, k) => expect(n).toBeCloseTo(expected[k]!, 2));
    });

  test("a drag on the line of the selected mark moves it whole, once", () => {
    const bench = makeBench();
    aim(bench, { zoom: 1, turnDeg: 90 });
    bench.stage.setMarks([mark("a", { type: "line", points: [[1150, 800], [1250, 800]] })]); // prettier-ignore
    bench.stage.setSelection("a");
    bench.hand.drag([1200, 800], [1207, 830]);
    expect(bench.heard.reshaped).toHaveLength(1);
    const moved = numbersOf(bench.heard.reshaped[0]![1]);
    [1157, 830, 1257, 830].forEach((n, k) => expect(moved[k]).toBeCloseTo(n, 2));
  });

  test("Escape during the drag leaves the mark as it was", () => {
    const bench = makeBench();
    aim(bench, { zoom: 1, turnDeg: 0 });
    bench.stage.setMarks([mark("a", { type: "line", points: [[1150, 800], [1250, 800]] })]); // prettier-ignore
    bench.stage.setSelection("a");
    bench.hand.down([1250, 800]);
    bench.hand.move([1270, 850]);
    expect(bench.heard.previews.at(-1)?.[0]).toBe("a");
    bench.hand.key("Escape");
    bench.hand.up([1270, 850]);
    expect(bench.heard.reshaped).toEqual([]);
    expect(bench.heard.cancels).toEqual([true]);
    expect(bench.heard.previews.at(-1)).toEqual([null, null]);
  });

  test("a drag beside the marks or on one that is not selected pans and changes none", () => {
    const bench = makeBench();
    aim(bench, { zoom: 1, turnDeg: 0 });
    bench.stage.setMarks([mark("a", { type: "line", points: [[1150, 800], [1250, 800]] })]); // prettier-ignore
    const { clientX, clientY } = bench.hand.client([1200, 800]);
    for (const [type, dx] of [
      ["pointerdown", 0],
      ["pointermove", 50],
      ["pointerup", 50],
    ] as const)
      // prettier-ignore
      bench.container.dispatchEvent(
        new PointerEvent(type, { bubbles: true, pointerId: 1, button: 0, clientX: clientX + dx, clientY }),
      );
    expect(bench.heard.reshaped).toEqual([]);
    expect(bench.heard.selected).toEqual([]);
    expect(bench.stage.view.centre).toEqual([1150, 800]);
  });

  test("a mark that may only be looked at is not reshaped", () => {
    const bench = makeBench();
    aim(bench, { zoom: 1, turnDeg: 0 });
    bench.stage.setMarks([mark("a", { type: "point", points: [[1200, 800]] })]);
    bench.stage.setSelection("a");
    bench.stage.setEditable(false);
    bench.hand.drag([1200, 800], [1230, 800]);
    expect(bench.stage.nudge(1, 0, "photograph")).toBe(false);
    expect(bench.heard.reshaped).toEqual([]);
  });
});

test("setting the selection or the view is not told back", async () => {
  const bench = makeBench();
  bench.stage.setMarks([mark("a", { type: "point", points: [[1200, 800]] })]);
  bench.stage.setSelection("a");
  bench.stage.view = { centre: [1200, 800], zoom: 2 };
  await nextFrame();
  expect(bench.heard.selected).toEqual([]);
  expect(bench.heard.views).toEqual([]);
  bench.hand.wheel([1200, 800], -100);
  expect(bench.heard.views).toHaveLength(1);
  expect(bench.heard.views[0]![1]).toBe("reader");
});

test("the wheel zooms at the pointer: the place under it stays", () => {
  const bench = makeBench();
  aim(bench, { zoom: 1, turnDeg: 90 });
  const place: Point = [1260, 790];
  const before = bench.hand.client(place);
  bench.hand.wheel(place, -240);
  const after = bench.hand.client(place);
  expect(bench.stage.view.zoom).toBeGreaterThan(1.2);
  expect(after.clientX).toBeCloseTo(before.clientX, 3);
  expect(after.clientY).toBeCloseTo(before.clientY, 3);
});
