import { describe, expect, test } from "vitest";
import type { Raster } from "../../../../model/picture/pixels/grey.ts";
import { lightnessOf, lightOfLightness } from "../../../../model/picture/seeing/lightness-contrast.ts";
import { neutralGains, patchBox } from "../../../../model/picture/seeing/neutral.ts";
import { see } from "../../../../model/picture/seeing/see.ts";
import { SeeingError } from "../../../../model/picture/seeing/seeing-error.ts";
import { LIGHT_OF_BYTE, LIGHT_STEPS, lightOf, storedOf } from "../../../../model/picture/seeing/srgb.ts";
import { contrasted, lightTable, toneTables } from "../../../../model/picture/seeing/tone.ts";
import { signed, viewWords } from "../../../../model/picture/seeing/view-words.ts";
import { isPlainView, PLAIN_VIEW, type ViewSettings } from "../../../../model/picture/view-settings.ts";
import type { FlatField } from "../../../../model/picture/seeing/flat-field.ts";
import fc from "../../../properties.ts";

const NO_AIDS = { field: null, gains: null };

const raster = (widthPx: number, heightPx: number, at: (x: number, y: number) => readonly number[]): Raster => {
  const rgba = new Uint8ClampedArray(widthPx * heightPx * 4);
  for (let y = 0; y < heightPx; y++)
    for (let x = 0; x < widthPx; x++) rgba.set([...at(x, y), 255], (y * widthPx + x) * 4);
  return { widthPx, heightPx, rgba };
};
const anyRaster = fc
  .record({ widthPx: fc.integer({ min: 1, max: 24 }), heightPx: fc.integer({ min: 1, max: 24 }) })
  .chain(({ widthPx, heightPx }) =>
    fc
      .uint8Array({ minLength: widthPx * heightPx * 4, maxLength: widthPx * heightPx * 4 })
      .map((rgba): Raster => ({ widthPx, heightPx, rgba })),
  );
const anySettings = fc.record({
  exposureEv: fc.double({ min: -4, max: 4, noNaN: true }),
  contrast: fc.double({ min: -1, max: 1, noNaN: true }),
  localContrast: fc.double({ min: 0, max: 1, noNaN: true }),
});
const withSettings = (patch: Partial<ViewSettings>): ViewSettings => ({ ...PLAIN_VIEW, ...patch });
const evenField = ({ widthPx, heightPx }: Raster): FlatField => ({
  widthPx,
  heightPx,
  columns: 2,
  rows: 2,
  gains: new Float32Array(12).fill(1),
});

describe("sRGB", () => {
  test("linear light of stored values is that of the standard", () => {
    // IEC 61966-2-1:1999: the curve's own constants; 0.2140 for 0.5 is its widely printed worked value.
    expect(lightOf(0)).toBe(0);
    expect(lightOf(1)).toBe(1);
    expect(lightOf(0.04045)).toBeCloseTo(0.0031308, 7);
    expect(lightOf(0.5)).toBeCloseTo(0.21404, 5);
    expect(lightOf(10 / 255)).toBeCloseTo(0.0030353, 7); // 10 / 255 / 12.92
  });

  test("every stored value finds itself again through light, also in steps", () => {
    const table = lightTable(0);
    for (let i = 0; i < 256; i++) {
      expect(Math.round(255 * storedOf(LIGHT_OF_BYTE[i]!))).toBe(i);
      expect(table[(LIGHT_OF_BYTE[i]! * LIGHT_STEPS + 0.5) | 0]).toBe(i);
    }
  });

  test("lightness of middle grey: 18.42 % of the light is L* 50", () => {
    // CIE 15:2004, 8.2.1.1: Y = ((50 + 16) / 116)³.
    expect(lightOfLightness(0.5)).toBeCloseTo((66 / 116) ** 3, 12);
    fc.assert(
      fc.property(fc.double({ min: 0, max: 1, noNaN: true }), (y) => {
        expect(lightOfLightness(lightnessOf(y))).toBeCloseTo(y, 6);
      }),
    );
  });
});

describe("a photograph seen", () => {
  test("with settings that change nothing is the same byte for byte", () => {
    fc.assert(
      fc.property(anyRaster, (photograph) => {
        expect(see(photograph, PLAIN_VIEW, NO_AIDS).rgba).toEqual(photograph.rgba);
        expect(see(photograph, PLAIN_VIEW, { field: evenField(photograph), gains: [1, 1, 1] }).rgba).toEqual(
          photograph.rgba,
        );
      }),
      { numRuns: 30 },
    );
  });

  test("is new: the photograph and its cover are left as they are, and the same settings give the same again", () => {
    fc.assert(
      fc.property(anyRaster, anySettings, (photograph, patch) => {
        const before = photograph.rgba.slice();
        const shown = see(photograph, withSettings(patch), NO_AIDS);
        expect(photograph.rgba).toEqual(before);
        expect(shown.rgba.filter((_, i) => i % 4 === 3)).toEqual(before.filter((_, i) => i % 4 === 3));
        expect(see(photograph, withSettings(patch), NO_AIDS).rgba).toEqual(shown.rgba);
      }),
      { numRuns: 30 },
    );
  });

  test("one stop brighter has twice the light, and never swaps brighter and darker", () => {
    const [table] = toneTables({ exposureEv: 1, contrast: 0 }, [1, 1, 1]);
    for (let i = 0; i < 256; i++) {
      const doubled = Math.min(1, 2 * LIGHT_OF_BYTE[i]!);
      expect(Math.abs(table[i]! - 255 * storedOf(doubled))).toBeLessThanOrEqual(0.5);
    }
    fc.assert(
      fc.property(anySettings, ({ exposureEv, contrast }) => {
        const tables = [...toneTables({ exposureEv, contrast }, [1, 0.5, 2]), lightTable(contrast)];
        for (const values of tables)
          for (let i = 1; i < values.length; i++) if (values[i]! < values[i - 1]!) return false;
        return true;
      }),
      { numRuns: 20 },
    );
  });

  test("brighter settings never show a darker pixel", () => {
    fc.assert(
      fc.property(anyRaster, fc.double({ min: -4, max: 3, noNaN: true }), (photograph, exposureEv) => {
        const less = see(photograph, withSettings({ exposureEv }), NO_AIDS).rgba;
        const more = see(photograph, withSettings({ exposureEv: exposureEv + 0.5 }), NO_AIDS).rgba;
        return less.every((v, i) => more[i]! >= v);
      }),
    );
  });

  test("contrast keeps mid-grey; more of it also keeps black and white", () => {
    for (const contrast of [-1, -0.3, 0, 0.4, 1]) expect(contrasted(0.5, contrast)).toBeCloseTo(0.5, 12);
    for (const contrast of [0, 0.4, 1]) expect([contrasted(0, contrast), contrasted(1, contrast)]).toEqual([0, 1]);
    expect(contrasted(0.6, 0.5)).toBeGreaterThan(0.6);
    expect(contrasted(0.6, -0.5)).toBeLessThan(0.6);
  });

  test("local contrast spreads a flat-lit detail and keeps its hue", () => {
    const photograph = raster(64, 64, (x, y) => (((x >> 1) + (y >> 1)) % 2 === 0 ? [60, 40, 30] : [72, 48, 36]));
    const shown = see(photograph, withSettings({ localContrast: 1 }), NO_AIDS).rgba;
    const red = shown.filter((_, i) => i % 4 === 0);
    expect(Math.max(...red) - Math.min(...red)).toBeGreaterThan(16);
    for (let at = 0; at < shown.length; at += 4 * 61) {
      const [r, g, b] = [0, 1, 2].map((c) => LIGHT_OF_BYTE[shown[at + c]!]!) as [number, number, number];
      const [pr, pg, pb] = [0, 1, 2].map((c) => LIGHT_OF_BYTE[photograph.rgba[at + c]!]!) as [number, number, number];
      expect(r / g).toBeCloseTo(pr / pg, 0);
      expect(b / g).toBeCloseTo(pb / pg, 1);
    }
  });
});

describe("colour neutral by a grey patch", () => {
  const around = (photograph: Raster, patch: { x: number; y: number; radiusPx: number }) => {
    const box = patchBox(patch, photograph.widthPx, photograph.heightPx);
    const part = box ?? { left: 0, top: 0, widthPx: 0, heightPx: 0 };
    const cut = raster(part.widthPx, part.heightPx, (x, y) => {
      const at = ((part.top + y) * photograph.widthPx + part.left + x) * 4;
      return [...photograph.rgba.slice(at, at + 3)];
    });
    const { widthPx, heightPx } = photograph;
    return { raster: cut, left: part.left, top: part.top, widthPx, heightPx };
  };

  test("makes the patch neutral within one level, with and without a flat field", () => {
    const level = fc.integer({ min: 100, max: 180 });
    fc.assert(
      fc.property(fc.tuple(level, level, level), fc.boolean(), (colour, uneven) => {
        const photograph = raster(20, 16, () => colour);
        const patch = { x: 14, y: 9, radiusPx: 3 };
        const gains = Float32Array.from({ length: 12 }, (_, i) => 1 + 0.03 * (i % 3));
        const field = uneven ? { ...evenField(photograph), gains } : null;
        const found = neutralGains(around(photograph, patch), patch, field);
        const neutral = { ...patch };
        const shown = see(photograph, withSettings({ neutral }), { field, gains: found });
        const at = (9 * 20 + 14) * 4;
        const [r, g, b] = shown.rgba.slice(at, at + 3);
        expect(Math.max(r!, g!, b!) - Math.min(r!, g!, b!)).toBeLessThanOrEqual(1);
      }),
    );
  });

  test("of a grey patch changes nothing", () => {
    const photograph = raster(9, 9, () => [120, 120, 120]);
    const patch = { x: 4, y: 4, radiusPx: 2 };
    for (const gain of neutralGains(around(photograph, patch), patch, null)) expect(gain).toBeCloseTo(1, 12);
  });

  test.each([
    ["patch-outside", [120, 120, 120], { x: -30, y: 4, radiusPx: 2 }],
    ["patch-clipped", [255, 200, 190], { x: 4, y: 4, radiusPx: 2 }],
    ["patch-dark", [9, 12, 14], { x: 4, y: 4, radiusPx: 2 }],
    ["patch-coloured", [220, 30, 30], { x: 4, y: 4, radiusPx: 2 }],
  ] as const)("is refused in words: %s", (code, colour, patch) => {
    const photograph = raster(9, 9, () => colour);
    const refusal = refusalOf(() => neutralGains(around(photograph, patch), patch, null));
    expect(refusal.code).toBe(code);
    expect(SeeingError.from(refusal.plain())).toMatchObject({ code, next: refusal.next });
    expect(refusal.next).toMatch(/\.$/);
  });
});

function refusalOf(work: () => unknown): SeeingError {
  try {
    work();
  } catch (error) {
    if (error instanceof SeeingError) return error;
    throw error;
  }
  throw new Error("It was expected to be refused.");
}

describe("view settings in words", () => {
  test("name what is changed and nothing else", () => {
    expect(viewWords(undefined)).toBeNull();
    expect(viewWords(PLAIN_VIEW)).toBeNull();
    expect(isPlainView({ ...PLAIN_VIEW, contrast: 0.1 })).toBe(false);
    expect(
      viewWords({
        ...PLAIN_VIEW,
        exposureEv: 0.7,
        localContrast: 0.4,
        flatField: { hash: "0", fileName: "blank.tif" },
      }),
    ).toBe("+0.7 stops, local contrast 0.4, flat field from blank.tif");
    const neutral = { x: 1, y: 1, radiusPx: 1 };
    expect(viewWords({ ...PLAIN_VIEW, exposureEv: -1, contrast: -0.25, neutral })).toBe(
      "−1 stop, contrast −0.25, colours neutral by a grey patch",
    );
    const from = { hash: "0", fileName: "card.jpg", gains: [1, 1, 1] as const };
    expect(viewWords({ ...PLAIN_VIEW, neutral: { ...neutral, from } })).toBe(
      "colours neutral by a grey patch of card.jpg",
    );
    expect(signed(-0.001)).toBe("0");
  });
});
