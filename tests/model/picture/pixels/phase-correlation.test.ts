import { readFileSync } from "node:fs";
import { join } from "node:path";
import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { fft, fft2, newComplex } from "../../../../model/picture/pixels/fft.ts";
import type { GreyImage } from "../../../../model/picture/pixels/grey.ts";
import { newGrey, shrinkGrey } from "../../../../model/picture/pixels/grey.ts";
import { phaseCorrelate } from "../../../../model/picture/pixels/phase-correlation.ts";
import { NO_REAL_DATA, realData } from "../../../real-data.ts";
import fc from "../../../properties.ts";

interface Shifts {
  readonly dx: number;
  readonly dy: number;
  readonly opencv: readonly [number, number];
  readonly skimage: readonly [number, number];
}
/** Written by tests/outside/phase-correlation.py with NumPy, OpenCV and scikit-image. */
const outside = JSON.parse(
  readFileSync(new URL("../../../outside/phase-correlation.json", import.meta.url), "utf8"),
) as {
  readonly size: number;
  readonly transform: { readonly w: number; readonly h: number; readonly re: number[]; readonly im: number[] };
  readonly spots: readonly Shifts[];
  readonly real: readonly (Shifts & {
    readonly name: string;
    readonly by: number;
    readonly ox: number;
    readonly oy: number;
  })[];
};

/** Bright spots at fixed places, moved by any part of a pixel; the same formula as in the Python script. */
function madeSpots(w: number, h: number, dx = 0, dy = 0): GreyImage {
  const image = newGrey(w, h);
  let seed = 12345;
  const next = (): number => (seed = (seed * 1103 + 12849) % 65536) / 65536;
  for (let n = 0; n < 150; n++) {
    const sx = next() * w;
    const sy = next() * h;
    const height = 0.3 + 0.7 * next();
    for (let y = 0; y < h; y++)
      for (let x = 0; x < w; x++)
        image.data[y * w + x]! +=
          height * Math.exp(-((x + 0.5 - sx - dx) ** 2 + (y + 0.5 - sy - dy) ** 2) / (2 * 1.3 ** 2));
  }
  return image;
}

describe("Fourier transform", () => {
  it("gives the spectrum NumPy gives", () => {
    const { w, h, re, im } = outside.transform;
    const z = { re: Float64Array.from(madeSpots(w, h).data), im: new Float64Array(w * h) };
    fft2(z, w, h);
    const largest = Math.max(...re.map(Math.abs));
    // The picture is made with 32-bit numbers here and 64-bit numbers there.
    re.forEach((value, i) => expect(Math.abs(z.re[7 * i]! - value)).toBeLessThan(1e-6 * largest));
    im.forEach((value, i) => expect(Math.abs(z.im[7 * i]! - value)).toBeLessThan(1e-6 * largest));
  });

  it("comes back to where it began, and keeps the energy (Parseval)", () => {
    fc.assert(
      fc.property(
        fc
          .integer({ min: 0, max: 8 })
          .chain((bits) =>
            fc.array(fc.float({ min: -1, max: 1, noNaN: true }), { minLength: 2 ** bits, maxLength: 2 ** bits }),
          ),
        (values) => {
          const z = { re: Float64Array.from(values), im: Float64Array.from(values).reverse() };
          const before = { re: z.re.slice(), im: z.im.slice() };
          fft(z);
          const energy = z.re.reduce((sum, r, i) => sum + r * r + z.im[i]! ** 2, 0) / values.length;
          const wanted = before.re.reduce((sum, r, i) => sum + r * r + before.im[i]! ** 2, 0);
          expect(energy).toBeCloseTo(wanted, 8);
          fft(z, true);
          values.forEach((_, i) => {
            expect(z.re[i]).toBeCloseTo(before.re[i]!, 10);
            expect(z.im[i]).toBeCloseTo(before.im[i]!, 10);
          });
        },
      ),
      { numRuns: 40 },
    );
  });

  it("refuses lengths that are no power of two", () => {
    expect(() => fft(newComplex(12))).toThrow(RangeError);
  });
});

describe("phase correlation", () => {
  const still = madeSpots(128, 128);

  it.each(outside.spots)("finds a shift of $dx, $dy within 0.1 px, as OpenCV and scikit-image do", (wanted) => {
    const found = phaseCorrelate(still, madeSpots(128, 128, wanted.dx, wanted.dy));
    expect(Math.hypot(found.dx - wanted.dx, found.dy - wanted.dy)).toBeLessThan(0.1);
    expect(Math.hypot(found.dx - wanted.skimage[0], found.dy - wanted.skimage[1])).toBeLessThan(0.1);
    // OpenCV takes the middle of a 5 × 5 field round the peak and errs more itself.
    const own = Math.hypot(wanted.opencv[0] - wanted.dx, wanted.opencv[1] - wanted.dy);
    expect(Math.hypot(found.dx - wanted.opencv[0], found.dy - wanted.opencv[1])).toBeLessThan(0.1 + own);
  });

  it("is not moved by brightness and contrast", () => {
    const moved = madeSpots(128, 128, 4.5, -2.25);
    const plain = phaseCorrelate(still, moved);
    const other = phaseCorrelate(still, { ...moved, data: moved.data.map((v) => 0.2 + 0.4 * v) });
    expect(other.dx).toBeCloseTo(plain.dx, 5);
    expect(other.dy).toBeCloseTo(plain.dy, 5);
  });

  it("refuses two sizes", () => {
    expect(() => phaseCorrelate(newGrey(8, 8), newGrey(8, 16))).toThrow(RangeError);
  });
});

const folder = realData();
if (folder === null) console.warn(NO_REAL_DATA);
describe.runIf(folder !== null)("phase correlation of real metal surfaces", () => {
  it.each(outside.real)(
    "$name: within 0.1 px of the truth and of scikit-image",
    async ({ name, by, ox, oy, ...wanted }) => {
      const { data, info } = await sharp(join(folder!, name)).removeAlpha().raw().toBuffer({ resolveWithObject: true });
      const crop = (x0: number, y0: number): GreyImage => {
        const part = newGrey(outside.size * by, outside.size * by);
        for (let y = 0; y < part.heightPx; y++)
          for (let x = 0; x < part.widthPx; x++)
            part.data[y * part.widthPx + x] = data[((y0 + y) * info.width + x0 + x) * info.channels + 1]! / 255;
        return shrinkGrey(part, by);
      };
      const found = phaseCorrelate(crop(12, 12), crop(12 + ox, 12 + oy));
      expect(Math.hypot(found.dx - wanted.dx, found.dy - wanted.dy)).toBeLessThan(0.1);
      expect(Math.hypot(found.dx - wanted.skimage[0], found.dy - wanted.skimage[1])).toBeLessThan(0.1);
    },
  );
});
