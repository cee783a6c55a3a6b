import { describe, expect, test } from "vitest";
import {
  fittedView,
  photoPoint,
  stageMatrix,
  stagePoint,
  toPhoto,
  toPhotoStep,
  toStage,
  zoomedAt,
  type Frame,
} from "../../web/canvas/transform.ts";
import fc from "../properties.ts";

const real = (min: number, max: number) => fc.double({ min, max, noNaN: true, noDefaultInfinity: true });
const frames: fc.Arbitrary<Frame> = fc.record({
  centre: fc.tuple(real(-5000, 12000), real(-5000, 12000)).map(([x, y]) => photoPoint(x, y)),
  zoom: real(0.01, 40),
  turnDeg: fc.oneof(fc.constantFrom(0, 90, 180, 270, -90, 360), real(-720, 720)),
  widthPx: fc.integer({ min: 1, max: 4000 }),
  heightPx: fc.integer({ min: 1, max: 4000 }),
});
const places = fc.tuple(real(0, 10000), real(0, 10000)).map(([x, y]) => photoPoint(x, y));

describe("between stage and photograph", () => {
  test("there and back gives the same place at any turn, zoom and centre", () => {
    fc.assert(
      fc.property(frames, places, (frame, p) => {
        const back = toPhoto(frame, toStage(frame, p));
        expect(Math.hypot(back[0] - p[0], back[1] - p[1])).toBeLessThan(1e-6);
      }),
    );
  });

  test("distances on the stage are those of the photograph times the zoom, whatever the turn", () => {
    fc.assert(
      fc.property(frames, places, places, (frame, p, q) => {
        const [a, b] = [toStage(frame, p), toStage(frame, q)];
        const seen = Math.hypot(a[0] - b[0], a[1] - b[1]);
        const real = Math.hypot(p[0] - q[0], p[1] - q[1]) * frame.zoom;
        expect(Math.abs(seen - real)).toBeLessThan(1e-6 * Math.max(1, real));
      }),
    );
  });

  test("the matrix for drawing agrees with the conversion of places", () => {
    fc.assert(
      fc.property(frames, places, (frame, p) => {
        const [a, b, c, d, e, f] = stageMatrix(frame);
        const [x, y] = toStage(frame, p);
        expect(Math.abs(a * p[0] + c * p[1] + e - x)).toBeLessThan(1e-5);
        expect(Math.abs(b * p[0] + d * p[1] + f - y)).toBeLessThan(1e-5);
      }),
    );
  });

  test("a quarter turn clockwise shows the right side of the photograph at the bottom", () => {
    const frame: Frame = { centre: photoPoint(100, 50), zoom: 2, turnDeg: 90, widthPx: 400, heightPx: 300 };
    expect(toStage(frame, photoPoint(110, 50))).toEqual([200, 170]);
    expect(toPhoto(frame, stagePoint(200, 130))).toEqual([90, 50]);
  });

  test("zooming leaves the place under the pointer where it is", () => {
    const at = fc.tuple(real(0, 4000), real(0, 4000)).map(([x, y]) => stagePoint(x, y));
    fc.assert(
      fc.property(frames, at, real(0.2, 5), (frame, pointer, factor) => {
        const under = toPhoto(frame, pointer);
        const next = zoomedAt(frame, factor, pointer, [0.005, 60]);
        const again = toStage({ ...frame, ...next }, under);
        expect(Math.hypot(again[0] - pointer[0], again[1] - pointer[1])).toBeLessThan(1e-6 * 60 * 10000);
        expect(next.zoom).toBeGreaterThanOrEqual(0.005);
        expect(next.zoom).toBeLessThanOrEqual(60);
      }),
    );
  });

  test("a fitted picture lies wholly on the stage and touches the free margin on one side", () => {
    fc.assert(
      fc.property(frames, fc.integer({ min: 10, max: 9000 }), fc.integer({ min: 10, max: 9000 }), (frame, w, h) => {
        const fitted = { ...frame, ...fittedView(frame, w, h, 0.02) };
        const corners = [
          [0, 0],
          [w, 0],
          [0, h],
          [w, h],
        ].map(([x, y]) => toStage(fitted, photoPoint(x ?? 0, y ?? 0)));
        const xs = corners.map((c) => c[0]);
        const ys = corners.map((c) => c[1]);
        const usedX = (Math.max(...xs) - Math.min(...xs)) / frame.widthPx;
        const usedY = (Math.max(...ys) - Math.min(...ys)) / frame.heightPx;
        expect(Math.max(usedX, usedY)).toBeCloseTo(0.96, 6);
        expect(Math.min(...xs)).toBeGreaterThanOrEqual(-1e-6);
        expect(Math.max(...ys)).toBeLessThanOrEqual(frame.heightPx + 1e-6);
      }),
    );
  });

  test("one photograph pixel along the screen is one pixel long in the photograph at any turn", () => {
    fc.assert(
      fc.property(real(-720, 720), (turnDeg) => {
        expect(Math.hypot(...toPhotoStep({ turnDeg, zoom: 1 }, 1, 0))).toBeCloseTo(1, 12);
      }),
    );
  });
});
