import { describe, expect, test } from "vitest";
import { newGrey } from "../../../../model/picture/pixels/grey.ts";
import { evenContrast, evenGrey, tileCurves } from "../../../../model/picture/pixels/local-contrast.ts";
import fc from "../../../properties.ts";

const plane = (widthPx: number, heightPx: number, at: (x: number, y: number) => number) => ({
  widthPx,
  heightPx,
  data: Uint8Array.from({ length: widthPx * heightPx }, (_, i) => at(i % widthPx, Math.floor(i / widthPx))),
});

describe("local contrast", () => {
  test("the curve of a tile never falls and ends at white", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 40 }),
        fc.integer({ min: 1, max: 40 }),
        fc.integer({ min: 1, max: 1e6 }),
        fc.double({ min: 0.1, max: 40, noNaN: true }),
        (w, h, seed, clipLimit) => {
          const made = plane(w, h, (x, y) => (x * 37 + y * 101 + seed) % 256);
          const curves = tileCurves(made, { clipLimit, columns: 3, rows: 2 });
          return curves.every((v, i) => (i % 256 === 255 ? v === 255 : v <= curves[i + 1]!));
        },
      ),
      { numRuns: 50 },
    );
  });

  test("two close greys are driven apart, the more the higher the limit", () => {
    const made = plane(128, 128, (x, y) => (((x >> 2) + (y >> 2)) % 2 === 0 ? 100 : 110));
    const spread = (clipLimit: number): number => {
      const out = evenContrast(made, { clipLimit, columns: 4, rows: 4 });
      return Math.max(...out) - Math.min(...out);
    };
    expect(spread(2)).toBeGreaterThan(10);
    expect(spread(8)).toBeGreaterThan(spread(2));
  });

  test("a grey picture keeps its size and its range", () => {
    const image = newGrey(33, 17);
    for (let i = 0; i < image.data.length; i++) image.data[i] = (i % 50) / 100 + 0.2;
    const out = evenGrey(image);
    expect([out.widthPx, out.heightPx]).toEqual([33, 17]);
    expect(Math.min(...out.data)).toBeGreaterThanOrEqual(0);
    expect(Math.max(...out.data)).toBeLessThanOrEqual(1);
    expect(Math.max(...out.data) - Math.min(...out.data)).toBeGreaterThan(0.49);
  });
});
