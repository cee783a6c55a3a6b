import { describe, expect, test } from "vitest";
import type { Point } from "../../model/break/geometry.ts";
import { levelFor } from "../../web/canvas/paint-picture.ts";
import { aim, HEIGHT, makeBench, mark, nextFrame, PICTURE, redSquarePicture, WIDTH, type Bench } from "./stage-fixture.ts"; // prettier-ignore

const LAYERS = { picture: 0, marks: 1, live: 2 } as const;

/** Colour of a layer at a stage place, 0–255 each. */
function colourAt(bench: Bench, layer: keyof typeof LAYERS, x: number, y: number, pixelRatio: number): number[] {
  const canvas = bench.container.querySelectorAll("canvas")[LAYERS[layer]];
  const ctx = canvas?.getContext("2d");
  if (ctx === null || ctx === undefined) throw new Error(`The ${layer} layer has no canvas.`);
  return [...ctx.getImageData(Math.round(x * pixelRatio), Math.round(y * pixelRatio), 1, 1).data];
}

/** Number of pixels of a layer that are not empty, within a box of stage pixels. */
function inkIn(bench: Bench, layer: keyof typeof LAYERS, x: number, y: number, width: number, height: number): number {
  const ctx = bench.container.querySelectorAll("canvas")[LAYERS[layer]]?.getContext("2d");
  const data = ctx?.getImageData(x, y, width, height).data ?? [];
  let ink = 0;
  for (let i = 3; i < data.length; i += 4) if ((data[i] ?? 0) > 0) ink++;
  return ink;
}

describe.each([
  { zoom: 1, turnDeg: 0, pixelRatio: 1 },
  { zoom: 0.5, turnDeg: 90, pixelRatio: 2 },
  { zoom: 1.5, turnDeg: -30, pixelRatio: 1.5 },
])("at zoom $zoom, turned $turnDeg°, $pixelRatio device pixels", ({ zoom, turnDeg, pixelRatio }) => {
  test("the picture is drawn where the marks think it is, from every level", async () => {
    const bitmap = await redSquarePicture();
    const half = await createImageBitmap(bitmap, { resizeWidth: 1200, resizeHeight: 800 });
    for (const levels of [[bitmap], [bitmap, half], [half]]) {
      const bench = makeBench({ pixelRatio });
      bench.stage.setPicture({ levels, ...PICTURE });
      aim(bench, { zoom, turnDeg });
      await nextFrame();
      const look = (p: Point): number[] => {
        const { clientX, clientY } = bench.hand.client(p);
        return colourAt(bench, "picture", clientX - 7, clientY - 11, pixelRatio);
      };
      expect(look([1210, 810])[1]).toBeLessThan(20);
      expect(look([1290, 890])[1]).toBeLessThan(20);
      for (const outside of [
        [1190, 850],
        [1250, 790],
        [1190, 790],
      ] as const)
        // prettier-ignore
        expect(look(outside)[1]).toBeGreaterThan(110);
    }
    bitmap.close();
    half.close();
  });
});

test("the coarsest level that still has a pixel for every device pixel is used", async () => {
  const canvas = new OffscreenCanvas(8, 8);
  canvas.getContext("2d");
  const level = (width: number) => createImageBitmap(canvas, { resizeWidth: width, resizeHeight: width });
  const levels = await Promise.all([level(800), level(400), level(200)]);
  const picture = { levels, widthPx: 800, heightPx: 800 };
  expect([1, 0.6, 0.5, 0.3, 0.25, 0.1, 4].map((k) => levelFor(picture, k)?.width)).toEqual([800, 800, 400, 400, 200, 200, 800]); // prettier-ignore
  for (const bitmap of levels) bitmap.close();
});

test("the device pixel ratio sets the size of the canvas and nothing else", () => {
  const bench = makeBench({ pixelRatio: 2.5 });
  const canvas = bench.container.querySelector("canvas");
  expect([canvas?.width, canvas?.height]).toEqual([WIDTH * 2.5, HEIGHT * 2.5]);
});

test("a mark has a light core on a dark halo; an absent one has gaps", async () => {
  const bench = makeBench({ pixelRatio: 1 });
  aim(bench, { zoom: 1, turnDeg: 0 });
  const across = { type: "line", points: [[1010, 800], [1390, 800]] } as const; // prettier-ignore
  bench.stage.setMarks([mark("a", across)]);
  await nextFrame();
  const [r, g, b] = colourAt(bench, "marks", 100, 150, 1);
  expect([r! < g!, g! < b!, b! > 180]).toEqual([true, true, true]);
  const halo = colourAt(bench, "marks", 100, 152, 1);
  expect(Math.max(...halo.slice(0, 3))).toBeLessThan(110);
  expect(halo[3]).toBeGreaterThan(40);
  const solid = inkIn(bench, "marks", 20, 148, 160, 5);
  bench.stage.setMarks([mark("a", across, { state: "absent" })]);
  await nextFrame();
  const dashed = inkIn(bench, "marks", 20, 148, 160, 5);
  bench.stage.setMarks([mark("a", across, { state: "not_assessable" })]);
  await nextFrame();
  const dotted = inkIn(bench, "marks", 20, 148, 160, 5);
  expect(dashed).toBeLessThan(solid * 0.8);
  expect(Math.abs(dotted - dashed)).toBeGreaterThan(solid * 0.03);
});

test("labels go while the picture moves and come back after", async () => {
  const bench = makeBench({ pixelRatio: 1 });
  aim(bench, { zoom: 1, turnDeg: 0 });
  bench.stage.setMarks([mark("a", { type: "point", points: [[1200, 800]] }, { measureText: "0.42 ± 0.01 mm" })]);
  await nextFrame();
  expect(inkIn(bench, "marks", 220, 130, 170, 40)).toBeGreaterThan(1500);
  bench.hand.down([1100, 700]);
  bench.hand.move([1105, 700]);
  await nextFrame();
  expect(inkIn(bench, "marks", 230, 130, 170, 40)).toBe(0);
  bench.hand.up([1105, 700]);
  await nextFrame();
  expect(inkIn(bench, "marks", 230, 130, 170, 40)).toBeGreaterThan(1500);
});

test("the magnifier shows while a point is placed by keyboard, and goes with the pointer", async () => {
  const bench = makeBench({ pixelRatio: 1 });
  const bitmap = await redSquarePicture();
  bench.stage.setPicture({ levels: [bitmap], ...PICTURE });
  aim(bench, { zoom: 1, turnDeg: 0, centre: [1250, 850] });
  bench.stage.setTool({ geometry: "point", label: "cone tip" });
  bench.hand.key("ArrowLeft");
  await nextFrame();
  // Four times as large as the picture, the red square fills the magnifier.
  expect(inkIn(bench, "live", 256, 216, 60, 60)).toBe(3600);
  expect(colourAt(bench, "live", 262, 226, 1).slice(0, 2)).toEqual([255, 0]);
  bench.hand.move([1200, 800]);
  await nextFrame();
  expect(inkIn(bench, "live", 256, 216, 60, 60)).toBe(0);
  bitmap.close();
});

test("the wire axis and the scale bar are drawn when given and gone when taken away", async () => {
  const bench = makeBench({ pixelRatio: 1 });
  aim(bench, { zoom: 1, turnDeg: 90 });
  bench.stage.setAxis([[1100, 800], [1200, 800]]); // prettier-ignore
  bench.stage.setScaleBar({ pxPerMm: 500, unit: "mm" });
  await nextFrame();
  // Level in the photograph, upright on the stage turned by a quarter.
  expect(inkIn(bench, "marks", 198, 10, 5, 30)).toBeGreaterThan(60);
  expect(inkIn(bench, "marks", 100, 148, 60, 5)).toBe(0);
  // 500 px/mm: the longest round bar within 200 px is 0.2 mm, 100 px.
  expect(inkIn(bench, "marks", 20, 278, 96, 8)).toBeGreaterThan(200);
  expect(inkIn(bench, "marks", 124, 278, 60, 8)).toBe(0);
  bench.stage.setAxis(null);
  bench.stage.setScaleBar(null);
  await nextFrame();
  expect(inkIn(bench, "marks", 0, 0, WIDTH, HEIGHT)).toBe(0);
});
