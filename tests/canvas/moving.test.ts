import { expect, test } from "vitest";
import { covers } from "../../web/canvas/moving-marks.ts";
import type { Frame } from "../../web/canvas/transform.ts";
import { aim, makeBench, mark, nextFrame } from "./stage-fixture.ts";

test("many marks stay on their places while the picture is panned and zoomed", async () => {
  const bench = makeBench({ pixelRatio: 1 });
  aim(bench, { zoom: 1, turnDeg: 0 });
  const line = (i: number) => mark(`m${i}`, { type: "line", points: [[100, 20 * i], [300, 20 * i]] }); // prettier-ignore
  const across = mark("across", { type: "line", points: [[1000, 800], [1400, 800]] }); // prettier-ignore
  bench.stage.setMarks([...Array.from({ length: 150 }, (_, i) => line(i)), across]);
  const ctx = bench.container.querySelectorAll("canvas")[1]?.getContext("2d");
  const blueAt = (x: number, y: number): number => ctx?.getImageData(Math.round(x), Math.round(y), 1, 1).data[2] ?? 0;
  bench.hand.down([1200, 700]);
  bench.hand.move([1200, 705]);
  await nextFrame();
  for (let step = 0; step < 12; step++) {
    bench.hand.move([1195, 712]);
    bench.hand.wheel([1200, 800], step % 2 === 0 ? -90 : 40);
    await nextFrame();
    const { clientX, clientY } = bench.hand.client([1200, 800]);
    if (clientY - 11 < 5 || clientY - 11 > 295) break;
    const column = [-1, 0, 1].map((dy) => blueAt(clientX - 7, clientY - 11 + dy));
    expect(Math.max(...column)).toBeGreaterThan(150);
    expect(blueAt(clientX - 7, clientY - 11 + 12)).toBe(0);
  }
});

test("a picture of the marks serves only a view that it fills and that is not stretched much", () => {
  const taken: Frame = { centre: [500, 500], zoom: 1, turnDeg: 0, widthPx: 600, heightPx: 450 };
  const stage = { turnDeg: 0, widthPx: 400, heightPx: 300 };
  expect(covers(taken, { ...stage, centre: [500, 500], zoom: 1 })).toBe(true);
  expect(covers(taken, { ...stage, centre: [599, 500], zoom: 1 })).toBe(true);
  expect(covers(taken, { ...stage, centre: [601, 500], zoom: 1 })).toBe(false);
  expect(covers(taken, { ...stage, centre: [500, 500], zoom: 0.66 })).toBe(false);
  expect(covers(taken, { ...stage, centre: [500, 500], zoom: 1.8 })).toBe(false);
  expect(covers(taken, { ...stage, centre: [500, 500], zoom: 1, turnDeg: 1 })).toBe(false);
});
