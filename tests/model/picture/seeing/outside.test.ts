import { readFileSync } from "node:fs";
import { join } from "node:path";
import { inflateSync } from "node:zlib";
import sharp from "sharp";
import { describe, expect, test } from "vitest";
import { evenContrast } from "../../../../model/picture/pixels/local-contrast.ts";
import { readBlankFrame } from "../../../../model/picture/seeing/flat-field.ts";
import { LIGHT_OF_BYTE } from "../../../../model/picture/seeing/srgb.ts";
import { NO_REAL_DATA, realData } from "../../../real-data.ts";

/** Made by tests/outside/seeing.py, which says the programs and the tolerances. */
const others = JSON.parse(readFileSync(new URL("../../../outside/seeing.json", import.meta.url), "utf8")) as {
  readonly clahe: readonly {
    readonly w: number;
    readonly h: number;
    readonly clipLimit: number;
    readonly columns: number;
    readonly rows: number;
    readonly zlib: string;
  }[];
  readonly real: readonly {
    readonly name: string;
    readonly w: number;
    readonly h: number;
    readonly every: number;
    readonly mean: number;
    readonly values: string;
  }[];
  readonly srgbLight: readonly number[];
  readonly flatField: {
    readonly w: number;
    readonly h: number;
    readonly columns: number;
    readonly rows: number;
    readonly picks: readonly { readonly row: number; readonly column: number; readonly gains: readonly number[] }[];
  };
};
const unpacked = (text: string): Uint8Array => new Uint8Array(inflateSync(Buffer.from(text, "base64")));

const madePlane = (w: number, h: number) => ({
  widthPx: w,
  heightPx: h,
  data: Uint8Array.from({ length: w * h }, (_, i) => {
    const x = i % w;
    const y = Math.floor(i / w);
    return (40 + Math.floor((x * 60) / w) + Math.floor((y * 50) / h) + ((x * x + 3 * y * y + x * y) % 37)) % 256;
  }),
});
function difference(a: ArrayLike<number>, b: ArrayLike<number>) {
  let sum = 0;
  let most = 0;
  for (let i = 0; i < a.length; i++) {
    const d = Math.abs(a[i]! - b[i]!);
    sum += d;
    most = Math.max(most, d);
  }
  return { mean: sum / a.length, most };
}

describe("beside other programs", () => {
  test.each(others.clahe)("local contrast of a made picture $w × $h, limit $clipLimit: as OpenCV", (made) => {
    const out = evenContrast(madePlane(made.w, made.h), made);
    const { mean, most } = difference(out, unpacked(made.zlib));
    expect(mean).toBeLessThanOrEqual(0.05);
    expect(most).toBeLessThanOrEqual(1);
  });

  const folder = realData();
  if (folder === null) console.warn(NO_REAL_DATA);
  describe.runIf(folder !== null)("local contrast of real pictures: as OpenCV", () => {
    test.each(others.real)("$name", async ({ name, w, h, every, mean, values }) => {
      const { data, info } = await sharp(join(folder ?? "", name))
        .raw()
        .toBuffer({ resolveWithObject: true });
      expect([info.width, info.height]).toEqual([w, h]);
      const green = Uint8Array.from({ length: w * h }, (_, i) => data[i * info.channels + 1]!);
      const out = evenContrast({ widthPx: w, heightPx: h, data: green }, { clipLimit: 3, columns: 8, rows: 8 });
      const picked = out.filter((_, i) => i % every === 0);
      const off = difference(picked, unpacked(values));
      expect(off.mean).toBeLessThanOrEqual(0.2);
      expect(Math.abs(out.reduce((a, b) => a + b, 0) / out.length - mean)).toBeLessThanOrEqual(0.1);
    });
  });

  test("linear light of the 256 stored values: as scikit-image", () => {
    expect(others.srgbLight).toHaveLength(256);
    for (const [i, light] of others.srgbLight.entries()) expect(Math.abs(LIGHT_OF_BYTE[i]! - light)).toBeLessThan(1e-9);
  });

  test("flat field of a made blank frame: as NumPy and SciPy", () => {
    const { w, h, columns, rows, picks } = others.flatField;
    const rgba = new Uint8ClampedArray(w * h * 4);
    for (let y = 0; y < h; y++)
      for (let x = 0; x < w; x++)
        for (let k = 0; k < 3; k++)
          rgba[(y * w + x) * 4 + k] =
            200 - Math.floor(((x - 150) ** 2 + (y - 100) ** 2) / 900) + k * 4 - Math.floor((x * k) / 40);
    const field = readBlankFrame({ widthPx: w, heightPx: h, rgba });
    expect([field.columns, field.rows]).toEqual([columns, rows]);
    for (const { row, column, gains } of picks)
      for (const [k, gain] of gains.entries())
        expect(Math.abs(field.gains[(row * columns + column) * 3 + k]! / gain - 1)).toBeLessThan(1e-3);
  });
});
