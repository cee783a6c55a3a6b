import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { clippedHighlights } from "../../../../model/picture/live/clipped.ts";
import { focusNumber } from "../../../../model/picture/live/focus-number.ts";
import { laplacianVariance, smoothGrain, tenengrad } from "../../../../model/picture/pixels/focus-measure.ts";
import { blurGrey } from "../../../../model/picture/pixels/gaussian.ts";
import { newGrey, type GreyImage } from "../../../../model/picture/pixels/grey.ts";

/** The same formula as in tests/outside/focus-number.py. */
function madePicture(turn: number): GreyImage {
  const image = newGrey(96, 64);
  for (let y = 0; y < 64; y++)
    for (let x = 0; x < 96; x++)
      image.data[y * 96 + x] =
        0.5 +
        0.2 * Math.sin(0.37 * x + 0.11 * turn * y) +
        0.15 * Math.cos(0.51 * y - 0.2 * turn * x) +
        (((x * 7 + y * 13) % 11) - 5) * 0.01;
  return image;
}
const mapped = (image: GreyImage, f: (v: number) => number): GreyImage => ({ ...image, data: image.data.map(f) });

describe("the focus number of a live picture", () => {
  test.each([0, 1, 2])("falls with every further blur (picture %i)", (turn) => {
    const sharp = madePicture(turn);
    const numbers = [0, 0.7, 1, 1.5, 2, 3, 5].map((sigma) => focusNumber(blurGrey(sharp, sigma)));
    for (const [i, n] of numbers.slice(1).entries()) expect(n).toBeLessThan(numbers[i] ?? 0);
  });

  test("does not change with the light", () => {
    const image = madePicture(1);
    for (const light of [0.2, 0.5, 1.1]) expect(focusNumber(mapped(image, (v) => v * light))).toBeCloseTo(focusNumber(image), 3); // prettier-ignore
  });

  test("does not change when the picture is turned upside down or mirrored", () => {
    const image = madePicture(2);
    const turned = { ...image, data: image.data.slice().reverse() };
    expect(focusNumber(turned)).toBeCloseTo(focusNumber(image), 3);
  });

  test("is a percentage per pixel: a ramp of 1 % of its mean per pixel gives 1", () => {
    const ramp = newGrey(101, 40);
    for (let i = 0; i < ramp.data.length; i++) ramp.data[i] = 0.4 * (1 + 0.01 * ((i % 101) - 50));
    // The outermost two columns are flattened by the smoothing.
    expect(focusNumber(ramp)).toBeCloseTo(1, 1);
  });

  test("is 0 for black and for an even field", () => {
    expect(focusNumber(newGrey(20, 20))).toBe(0);
    expect(focusNumber(mapped(newGrey(20, 20), () => 0.6))).toBe(0);
  });
});

interface Outside {
  readonly library: string;
  readonly tolerance: number;
  readonly pictures: readonly {
    readonly turn: number;
    readonly tenengrad: number;
    readonly laplacianVariance: number;
    readonly focusNumber: number;
  }[];
}
const outside = JSON.parse(
  readFileSync(new URL("../../../outside/focus-number.json", import.meta.url), "utf8"),
) as Outside;

describe(`focus measures beside ${outside.library}`, () => {
  test.each(outside.pictures)("picture $turn gives the same numbers", (found) => {
    const image = madePicture(found.turn);
    const within = (mine: number, theirs: number) => expect(Math.abs(mine / theirs - 1)).toBeLessThan(outside.tolerance); // prettier-ignore
    within(tenengrad(image), found.tenengrad);
    within(laplacianVariance(image), found.laplacianVariance);
    within(tenengrad(smoothGrain(image)) ** 0.5, found.focusNumber * 0.08 * mean(image));
    within(focusNumber(image), found.focusNumber);
  });
});
const mean = ({ data }: GreyImage) => data.reduce((sum, v) => sum + v, 0) / data.length;

describe("clipped highlights", () => {
  test("counts pixels of which one colour is at its limit, and says where they are", () => {
    const rgba = new Uint8Array([255, 0, 0, 255, 252, 252, 252, 255, 9, 254, 9, 255, 0, 0, 253, 255]);
    const found = clippedHighlights({ widthPx: 2, heightPx: 2, rgba });
    expect([...found.mask]).toEqual([1, 0, 1, 1]);
    expect(found.share).toBe(0.75);
  });

  test("more light never clips less", () => {
    const base = Uint8Array.from({ length: 400 }, (_, i) => (i * 37) % 256);
    const shares = [0.5, 0.8, 1, 1.5, 3].map((light) => {
      const rgba = base.map((v) => Math.min(255, v * light));
      return clippedHighlights({ widthPx: 10, heightPx: 10, rgba }).share;
    });
    for (const [i, s] of shares.slice(1).entries()) expect(s).toBeGreaterThanOrEqual(shares[i] ?? 0);
    expect(shares.at(-1)).toBeGreaterThan(shares[0] ?? 1);
  });
});
