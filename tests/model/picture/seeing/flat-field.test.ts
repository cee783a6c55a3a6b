import { describe, expect, test } from "vitest";
import type { Raster } from "../../../../model/picture/pixels/grey.ts";
import { checkFits, readBlankFrame } from "../../../../model/picture/seeing/flat-field.ts";
import { see } from "../../../../model/picture/seeing/see.ts";
import { SeeingError, type SeeingErrorCode } from "../../../../model/picture/seeing/seeing-error.ts";
import { lightOf, storedOf } from "../../../../model/picture/seeing/srgb.ts";
import { PLAIN_VIEW } from "../../../../model/picture/view-settings.ts";

const W = 192;
const H = 128;
type Light = (x: number, y: number) => readonly [number, number, number];

const pictureOf = (light: Light): Raster => {
  const rgba = new Uint8ClampedArray(W * H * 4);
  for (let y = 0; y < H; y++)
    for (let x = 0; x < W; x++)
      rgba.set(
        [...light(x, y).map((l) => Math.round(255 * storedOf(Math.min(1, Math.max(0, l))))), 255],
        (y * W + x) * 4,
      );
  return { widthPx: W, heightPx: H, rgba };
};
/** Half the light in the corners, and a warmer right side. */
const lamp: Light = (x, y) => {
  const r2 = ((x - W / 2) ** 2 + (y - H / 2) ** 2) / ((W / 2) ** 2 + (H / 2) ** 2);
  const level = 0.6 * (1 - 0.5 * r2);
  return [level * (1 + (0.2 * x) / W), level, level * (1 - (0.2 * x) / W)];
};

describe("flat field", () => {
  test("makes an evenly grey thing grey everywhere, within two levels, corners included", () => {
    const field = readBlankFrame(pictureOf(lamp));
    const thing = pictureOf((x, y) => lamp(x, y).map((l) => 0.4 * l) as [number, number, number]);
    const shown = see(thing, PLAIN_VIEW, { field, gains: null });
    for (let c = 0; c < 3; c++) {
      const values = [...shown.rgba].filter((_, i) => i % 4 === c);
      const mean = values.reduce((a, b) => a + b, 0) / values.length;
      expect(Math.max(...values) - mean).toBeLessThanOrEqual(2);
      expect(mean - Math.min(...values)).toBeLessThanOrEqual(2);
    }
  });

  test("keeps the mean of the blank frame's light", () => {
    const frame = pictureOf(lamp);
    const shown = see(frame, PLAIN_VIEW, { field: readBlankFrame(frame), gains: null });
    const mean = ({ rgba }: Raster) => {
      let sum = 0;
      for (let at = 0; at < rgba.length; at += 4) sum += lightOf(rgba[at]! / 255);
      return sum / (rgba.length / 4);
    };
    expect(mean(shown)).toBeCloseTo(mean(frame), 2);
  });

  test("of a small copy fits the full size", () => {
    const field = readBlankFrame(pictureOf(lamp), { widthPx: 6000, heightPx: 4000 });
    expect(() => checkFits(field, { widthPx: 6000, heightPx: 4000 })).not.toThrow();
    expect(codeOf(() => checkFits(field, { widthPx: 4000, heightPx: 6000 }))).toBe("blank-size-differs");
  });

  const spot = (x: number, y: number): boolean => (x - 95) ** 2 + (y - 60) ** 2 < 25 ** 2;
  test.each<readonly [SeeingErrorCode, Light]>([
    ["blank-clipped", (x) => (x < 10 ? [1.2, 1.2, 1.2] : [0.8, 0.8, 0.8])],
    ["blank-dark", () => [0.004, 0.004, 0.004]],
    ["blank-uneven", (x) => [0.9 * (1 - x / W) ** 2, 0.5, 0.5]],
    ["blank-structured", (x, y) => (spot(x, y) ? [0.2, 0.2, 0.2] : [0.5, 0.5, 0.5])],
  ])("of a frame that is not blank is refused: %s", (code, light) => {
    expect(codeOf(() => readBlankFrame(pictureOf(light)))).toBe(code);
  });
});

function codeOf(work: () => unknown): SeeingErrorCode | null {
  try {
    work();
  } catch (error) {
    if (error instanceof SeeingError) return error.code;
    throw error;
  }
  return null;
}
