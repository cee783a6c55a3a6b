import { describe, expect, test } from "vitest";
import type { Geometry, Point } from "../../../../model/break/geometry.ts";
import type { Mark, Photograph } from "../../../../model/break/wire-break.ts";
import { cropPixels, windowOf } from "../../../../model/reference/export/crop-pixels.ts";
import { cropOf, type CropFrame, isCropPx } from "../../../../model/reference/export/crops.ts";
import fc from "../../../properties.ts";

const photograph = (view: Photograph["view"], axisDeg: number | null = null): Photograph =>
  ({ id: "p", view, axisDeg, widthPx: 6000, heightPx: 6000 }) as Photograph;
const mark = (feature: Mark["feature"], geometry: Geometry): Mark =>
  ({ feature, geometry, state: "present", photographId: "p" }) as Mark;
const rad = (deg: number): number => (deg * Math.PI) / 180;
/** The middle of a crop in the photograph. */
const middleOf = ({ x, y, width, height, turnDeg }: CropFrame): Point => {
  const [c, s] = [Math.cos(rad(turnDeg)), Math.sin(rad(turnDeg))];
  return [x + (c * width - s * height) / 2, y + (s * width + c * height) / 2];
};
const framed = (marks: readonly Mark[], shown: Photograph, pxPerDiameter: number): CropFrame => {
  const frame = cropOf({ marks }, shown, { pxPerDiameter });
  if (typeof frame === "string") throw new Error(frame);
  return frame;
};

const pxs = fc.integer({ min: 64, max: 1024 });
const place = fc.double({ min: 2000, max: 4000, noNaN: true });
const radius = fc.double({ min: 10, max: 1500, noNaN: true });

describe("end-on", () => {
  test("the crop lies round the outline wherever it is, whatever its size and turn, at the stated size", () => {
    fc.assert(
      fc.property(
        pxs,
        place,
        place,
        radius,
        fc.double({ min: 0.8, max: 1, noNaN: true }),
        fc.integer({ min: 0, max: 180 }),
        (px, cx, cy, rx, oval, angle_deg) => {
          const ellipse: Geometry = { type: "ellipse", cx, cy, rx, ry: rx * oval, angle_deg };
          const frame = framed([mark("wire_outline", ellipse)], photograph("end_on"), px);
          const diameter = 2 * rx * Math.sqrt(oval);
          const side = Math.round(1.25 * px);
          expect([frame.outWidth, frame.outHeight, frame.turnDeg]).toEqual([side, side, 0]);
          // Exactly px pixels of the crop to one diameter.
          expect(frame.width).toBeCloseTo((side * diameter) / px, 2);
          expect(frame.height).toBe(frame.width);
          middleOf(frame).forEach((v, k) => expect(v).toBeCloseTo([cx, cy][k]!, 2));
        },
      ),
    );
  });
});

/** Edges 3 diameters long toward the break and a neck a little beyond them, about a middle. */
const side = (cx: number, cy: number, diameter: number, turn: number, tip: number, swapped: boolean) => {
  const at = (u: number, v: number): Point => [
    cx + diameter * (u * Math.cos(rad(turn)) - v * Math.sin(rad(turn))),
    cy + diameter * (u * Math.sin(rad(turn)) + v * Math.cos(rad(turn))),
  ];
  const [a, b] = [[at(-3, -0.5), at(0, -0.5)] as const, [at(-3, 0.5), at(0, 0.5)] as const];
  const points = swapped ? ([...a, b[1], b[0]] as const) : ([...a, ...b] as const);
  const marks = [
    mark("wire_outline", { type: "edges", points }),
    mark("neck", { type: "line", points: [at(tip, -0.3), at(tip, 0.3)] }),
  ];
  return { marks, at };
};

describe("from the side", () => {
  test("the crop follows the wire: its turn, its place, its size; the break lies to the right", () => {
    fc.assert(
      fc.property(
        pxs,
        place,
        place,
        fc.double({ min: 20, max: 600, noNaN: true }),
        fc.double({ min: -179.9, max: 179.9, noNaN: true }),
        fc.double({ min: 0, max: 1.5, noNaN: true }),
        fc.boolean(),
        (px, cx, cy, diameter, turn, tip, swapped) => {
          const { marks, at } = side(cx, cy, diameter, turn, tip, swapped);
          const frame = framed(marks, photograph("side_0", turn), px);
          expect([frame.outWidth, frame.outHeight]).toEqual([Math.round(2.5 * px), Math.round(1.25 * px)]);
          expect(frame.width).toBeCloseTo((frame.outWidth * diameter) / px, 2);
          expect(Math.cos(rad(frame.turnDeg - turn))).toBeCloseTo(1, 6);
          middleOf(frame).forEach((v, k) => expect(v).toBeCloseTo(at(tip - 0.75, 0)[k]!, 1));
        },
      ),
    );
  });

  test("the set direction wins over the one that follows from the picture", () => {
    const { marks } = side(3000, 3000, 200, 0, 0.5, false);
    expect(framed(marks, photograph("side_90", 0), 256).turnDeg).toBe(0);
    expect(Math.abs(framed(marks, photograph("side_90", 180), 256).turnDeg)).toBe(180);
  });
});

test("what cannot be cropped says why", () => {
  const circle = (rx: number, cx = 3000): Geometry => ({ type: "ellipse", cx, cy: 3000, rx, ry: rx, angle_deg: 0 });
  const of = (marks: readonly Mark[], shown: Photograph) => cropOf({ marks }, shown, { pxPerDiameter: 256 });
  expect(of([], photograph("section_long"))).toBe("other-view");
  expect(of([], photograph("end_on"))).toBe("no-outline");
  expect(of([{ ...mark("wire_outline", circle(300)), state: "absent" }], photograph("end_on"))).toBe("no-outline");
  expect(of([{ ...mark("wire_outline", circle(300)), photographId: "q" }], photograph("end_on"))).toBe("no-outline");
  expect(of([mark("wire_outline", circle(7))], photograph("end_on"))).toBe("outline-unfit");
  expect(of([mark("wire_outline", circle(300, -1))], photograph("end_on"))).toBe("outline-unfit");
  expect(of([side(3000, 3000, 200, 0, 0.5, false).marks[0]!], photograph("side_0"))).toBe("no-end");
  expect([63, 64, 64.5, 1024, 1025, NaN].map(isCropPx)).toEqual([false, true, false, true, false, false]);
});

describe("pixels", () => {
  const [widthPx, heightPx] = [40, 30];
  const picture = { widthPx, heightPx };
  const ramp = Uint8ClampedArray.from({ length: 4 * widthPx * heightPx }, (_, i) => {
    const [x, y] = [(i >> 2) % widthPx, Math.floor((i >> 2) / widthPx)];
    return [5 * x, 7 * y, 100, 255][i % 4]!;
  });
  const whole = { x: 0, y: 0, width: widthPx, height: heightPx };
  const frame = (over: Partial<CropFrame>): CropFrame => ({
    x: 4,
    y: 6,
    width: 20,
    height: 10,
    turnDeg: 0,
    outWidth: 20,
    outHeight: 10,
    pxPerDiameter: 64,
    diameter: 64,
    stretchY: 1,
    ...over,
  });
  const cut = (f: CropFrame) => cropPixels({ ...picture, rgba: ramp }, whole, picture, f);

  test("at the photograph's own scale the pixels are the photograph's", () => {
    const out = cut(frame({}));
    for (let row = 0; row < 10; row++)
      for (let column = 0; column < 20; column++)
        expect([...out.subarray(4 * (row * 20 + column), 4 * (row * 20 + column) + 4)]).toEqual([
          5 * (4 + column),
          7 * (6 + row),
          100,
          255,
        ]);
  });

  test("half as fine: means of four; outside: grey; a quarter turn: rows run down", () => {
    expect(cut(frame({ outWidth: 10, outHeight: 5 }))[0]).toBe(Math.round(5 * 4.5));
    expect([...cut(frame({ x: -30 })).subarray(0, 4)]).toEqual([128, 128, 128, 255]);
    const turned = cut(frame({ x: 30, y: 2, turnDeg: 90 }));
    expect([...turned.subarray(0, 3)]).toEqual([5 * 29, 7 * 2, 100]);
    expect([...turned.subarray(4, 7)]).toEqual([5 * 29, 7 * 3, 100]);
  });

  test("what lies behind transparent pixels is grey", () => {
    const clear = cropPixels({ ...picture, rgba: new Uint8ClampedArray(ramp.length) }, whole, picture, frame({}));
    expect([...clear.subarray(0, 4)]).toEqual([128, 128, 128, 255]);
  });

  test("a part of the photograph is enough", () => {
    const f = frame({ x: 20.4, y: 3.2, turnDeg: 37, width: 12, height: 6 });
    const { x, y, width, height } = windowOf(f, picture);
    expect(width * height).toBeLessThan(widthPx * heightPx);
    const rgba = new Uint8ClampedArray(4 * width * height);
    for (let row = 0; row < height; row++)
      rgba.set(ramp.subarray(4 * ((y + row) * widthPx + x), 4 * ((y + row) * widthPx + x + width)), 4 * row * width);
    const part = cropPixels({ widthPx: width, heightPx: height, rgba }, { x, y, width, height }, picture, f);
    expect([...part]).toEqual([...cut(f)]);
  });
});
