import { describe, expect, test } from "vitest";
import type { Point } from "../../model/break/geometry.ts";
import { LABEL_HEIGHT, placeLabels, type LabelWish } from "../../web/canvas/labels.ts";
import { distanceToStrokes } from "../../web/canvas/outline.ts";
import { roundBar } from "../../web/canvas/scale-bar.ts";
import { simplified } from "../../web/canvas/simplify.ts";
import fc from "../properties.ts";

const points = fc.array(fc.tuple(fc.integer({ min: 0, max: 500 }), fc.integer({ min: 0, max: 500 })), {
  minLength: 2,
  maxLength: 80,
});

describe("simplifying a traced line", () => {
  test("no point that was left out is farther from the new line than the tolerance", () => {
    fc.assert(
      fc.property(points, fc.integer({ min: 1, max: 30 }), (path, tolerance) => {
        const few = simplified(path, tolerance);
        expect(few[0]).toEqual(path[0]);
        expect(few.at(-1)).toEqual(path.at(-1));
        for (const p of path)
          expect(distanceToStrokes(p, [{ points: few, closed: false }])).toBeLessThanOrEqual(tolerance + 1e-9);
      }),
    );
  });

  test("points on a straight line leave its ends only", () => {
    const path = Array.from({ length: 50 }, (_, i): Point => [i * 3, i * 2]);
    expect(simplified(path, 0.5)).toEqual([[0, 0], [147, 98]]); // prettier-ignore
  });
});

describe("the scale bar", () => {
  test("has a round length that fits, with its true length in pixels", () => {
    fc.assert(
      fc.property(fc.double({ min: 0.5, max: 1e6, noNaN: true }), fc.constantFrom("mm", "in"), (pxPerMm, unit) => {
        const bar = roundBar(pxPerMm, unit);
        expect(bar.lengthPx).toBeLessThanOrEqual(200 + 1e-9);
        expect(bar.lengthPx).toBeGreaterThan(200 / 2.5 - 1e-9);
        const [number, name] = bar.text.split(" ");
        const mm = Number(number) * (name === "µm" ? 0.001 : name === "in" ? 25.4 : 1);
        expect(mm * pxPerMm).toBeCloseTo(bar.lengthPx, 3);
        expect(Number(number).toExponential()).toMatch(/^[125]e/);
      }),
    );
  });

  test("120 px per mm gives a bar of 1 mm, 4,000 px per mm one of 50 µm", () => {
    expect(roundBar(120, "mm")).toEqual({ lengthPx: 120, text: "1 mm", parts: 5 });
    expect(roundBar(4000, "mm").text).toBe("50 µm");
    expect(roundBar(120, "in").text).toBe("0.05 in");
  });
});

describe("labels", () => {
  const stage = { widthPx: 600, heightPx: 400 };
  const wish = (id: string, x: number, y: number, must = false): LabelWish => ({ id, left: x - 5, right: x + 5, top: y - 5, bottom: y + 5, width: 90, must }); // prettier-ignore

  test("do not overlap each other and stay on the stage", () => {
    const spot = fc.tuple(fc.integer({ min: 0, max: 600 }), fc.integer({ min: 0, max: 400 }));
    fc.assert(
      fc.property(fc.array(spot, { maxLength: 60 }), (spots) => {
        const placed = placeLabels(spots.map(([x, y], i) => wish(`${i}`, x, y)), stage, null); // prettier-ignore
        placed.forEach((a, i) => {
          expect(a.x).toBeGreaterThanOrEqual(0);
          expect(a.x + a.width).toBeLessThanOrEqual(600);
          for (const b of placed.slice(i + 1)) {
            const apart =
              a.x + a.width <= b.x || b.x + b.width <= a.x || a.y + LABEL_HEIGHT <= b.y || b.y + LABEL_HEIGHT <= a.y;
            expect(apart).toBe(true);
          }
        });
      }),
    );
  });

  test("keep off the pointer and shift down where another label is", () => {
    const [free] = placeLabels([wish("a", 100, 200)], stage, null);
    expect(free).toEqual({ id: "a", x: 115, y: 189, width: 90 });
    const [first, second] = placeLabels([wish("a", 300, 200), wish("b", 302, 200)], stage, null);
    expect(second!.y > first!.y || second!.x + 90 <= first!.x).toBe(true);
    const [away] = placeLabels([wish("a", 300, 200)], stage, [350, 200]);
    expect(away!.x + away!.width <= 332 || away!.y >= 218).toBe(true);
  });

  test("a label that must be shown is shown even in a full corner", () => {
    const placed = placeLabels([wish("a", 598, 398, true)], { widthPx: 95, heightPx: 30 }, [50, 15]);
    expect(placed).toHaveLength(1);
    expect(placed[0]!.x).toBeGreaterThanOrEqual(0);
  });
});
