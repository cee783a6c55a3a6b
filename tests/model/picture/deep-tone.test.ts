import { describe, expect, test } from "vitest";
import { chooseTone, orderedValues } from "../../../model/picture/choose-tone.ts";
import { uprightDeep, valuesIn, type DeepRaster } from "../../../model/picture/deep-raster.ts";
import { isTone, toneText } from "../../../model/picture/deep-tone.ts";
import { showDeep } from "../../../model/picture/show-deep.ts";
import { shownAs, shownKey } from "../../../model/picture/shown-as.ts";
import { surveyTone, TONE_BINS } from "../../../model/picture/tone-survey.ts";

const raster = (data: DeepRaster["data"], more: Partial<DeepRaster> = {}): DeepRaster => ({
  widthPx: data.length,
  heightPx: 1,
  channels: 1,
  data,
  sample: data instanceof Float32Array ? "float32" : data instanceof Int16Array ? "int16" : "uint16",
  fullScale: data instanceof Uint16Array ? 65_535 : null,
  alpha: null,
  statedRange: null,
  ...more,
});
const ramp = (length: number, make: (i: number) => number = (i) => i) =>
  Uint16Array.from({ length }, (_, i) => make(i));

describe("black and white of a deep picture", () => {
  test("a thousandth of the samples lies below black and above white", () => {
    const tone = chooseTone(raster(ramp(10_001)));
    expect(tone).toEqual({ sample: "uint16", black: 10, white: 9_990, chosen: "from-the-pixels" });
  });

  test("dead and hot pixels decide nothing", () => {
    const data = ramp(10_000, (i) => 500 + (i % 1_000));
    data[17] = 0;
    data.fill(65_535, 40, 46);
    expect(chooseTone(raster(data))).toMatchObject({ black: 500, white: 1_499 });
  });

  test("what the file states wins", () => {
    const tone = chooseTone(raster(ramp(1_000), { statedRange: { black: 100, white: 4_095 } }));
    expect(tone).toEqual({ sample: "uint16", black: 100, white: 4_095, chosen: "stated-in-file" });
  });

  test("samples that are no number, or infinite, are no values", () => {
    const data = Float32Array.from(
      { length: 3_000 },
      (_, i) => [NaN, Infinity, -Infinity, 0.25, 0.5, 0.75][i % 6] ?? 0,
    );
    expect(orderedValues(raster(data))).toHaveLength(1_500);
    expect(chooseTone(raster(data))).toMatchObject({ black: 0.25, white: 0.75 });
    expect(chooseTone(raster(Float32Array.of(NaN, NaN)))).toMatchObject({ black: 0, white: 1 });
  });

  test.each([
    ["whole numbers", ramp(50, () => 700), [699, 701]],
    ["floats", Float32Array.from({ length: 50 }, () => 0.5), [0.4995, 0.5005]],
    ["zero", new Float32Array(50), [-1, 1]],
  ])("a picture of one value is a middle grey: %s", (_, data, [black, white]) => {
    const tone = chooseTone(raster(data));
    expect(tone.black).toBeCloseTo(black ?? NaN, 9);
    expect(tone.white).toBeCloseTo(white ?? NaN, 9);
    expect([...showDeep(raster(data), tone)].slice(0, 3).every((v) => v === 127 || v === 128)).toBe(true);
  });

  test("colours that use the upper half of their numbers are shown over the whole range, darker ones are not", () => {
    const bright = raster(
      ramp(3_000, (i) => i * 20),
      { channels: 3, widthPx: 1_000 },
    );
    expect(chooseTone(bright)).toMatchObject({ black: 0, white: 65_535 });
    const dark = raster(ramp(3_000), { channels: 3, widthPx: 1_000 });
    expect(chooseTone(dark)).toMatchObject({ black: 2, white: 2_997 });
  });

  test("large pictures are judged by evenly spread samples: the same within a hundredth of a percent", () => {
    const data = ramp(3_000_000, (i) => (i * 7_919) % 60_000);
    const { black, white } = chooseTone(raster(data));
    expect(black).toBeGreaterThan(40);
    expect(black).toBeLessThan(80);
    expect(white).toBeGreaterThan(59_920);
    expect(white).toBeLessThan(59_960);
  });

  test("a tone needs two numbers in order", () => {
    expect([isTone(0, 1), isTone(1, 1), isTone(2, 1), isTone(NaN, 1), isTone(0, Infinity)]).toEqual([
      true,
      false,
      false,
      false,
      false,
    ]);
  });

  test("in words", () => {
    const tone = { sample: "uint16", black: 512, white: 30_210, chosen: "from-the-pixels" } as const;
    expect(toneText(tone)).toBe("black 512 to white 30210 of 16 bit, chosen from the pixels");
    expect(toneText({ sample: "float32", black: -0.0123456789, white: 1e20, chosen: "by-a-person" })).toBe(
      "black -0.0123457 to white 100000000000000000000 of 32-bit floating point, set by a person",
    );
  });
});

describe("the 8-bit picture of deep samples", () => {
  test.each([
    ["unsigned", Uint16Array.of(0, 100, 600, 1_100, 65_535)],
    ["signed", Int16Array.of(-32_768, 100, 600, 1_100, 32_767)],
    ["floats", Float32Array.of(-Infinity, 100, 600, 1_100, Infinity)],
  ])("%s: black and below, middle, white and above", (_, data) => {
    const rgba = showDeep(raster(data), { black: 100, white: 1_100 });
    expect([...rgba].filter((_v, i) => i % 4 === 1)).toEqual([0, 0, 128, 255, 255]);
    expect([...rgba].filter((_v, i) => i % 4 === 3)).toEqual([255, 255, 255, 255, 255]);
  });

  test("no number is black", () => {
    expect([...showDeep(raster(Float32Array.of(NaN)), { black: -1, white: 1 })]).toEqual([0, 0, 0, 255]);
  });

  test("colours and cover", () => {
    const two = raster(Uint16Array.of(0, 5, 10, 10, 5, 0), { channels: 3, widthPx: 2, alpha: Uint8Array.of(7, 200) });
    expect([...showDeep(two, { black: 0, white: 10 })]).toEqual([0, 128, 255, 7, 255, 128, 0, 200]);
  });
});

describe("values for measuring", () => {
  const grid = raster(ramp(12), { widthPx: 4, heightPx: 3 });

  test("all of them, and a stretch cut to the picture", () => {
    expect(valuesIn(grid, null)).toMatchObject({ x: 0, y: 0, widthPx: 4, heightPx: 3 });
    const part = valuesIn(grid, { x: 2, y: 1, widthPx: 9, heightPx: 9 });
    expect({ ...part, values: [...part.values] }).toEqual({
      x: 2,
      y: 1,
      widthPx: 2,
      heightPx: 2,
      values: [6, 7, 10, 11],
    });
    expect(valuesIn(grid, { x: 9, y: 0, widthPx: 2, heightPx: 2 }).values).toHaveLength(0);
  });

  // ITU-R BT.709-6, 3.2: the coefficients of luma add up to 1.
  test("colours count with their luma", () => {
    const colours = raster(Uint16Array.of(1_000, 1_000, 1_000, 1_000, 0, 0), { channels: 3, widthPx: 2 });
    expect([...valuesIn(colours, null).values].map(Math.round)).toEqual([1_000, 213]);
  });

  test.each([
    [1, [0, 1, 2, 3, 4, 5], 3],
    [2, [2, 1, 0, 5, 4, 3], 3],
    [3, [5, 4, 3, 2, 1, 0], 3],
    [4, [3, 4, 5, 0, 1, 2], 3],
    [5, [0, 3, 1, 4, 2, 5], 2],
    [6, [3, 0, 4, 1, 5, 2], 2],
    [7, [5, 2, 4, 1, 3, 0], 2],
    [8, [2, 5, 1, 4, 0, 3], 2],
  ])("orientation %i is undone", (orientation, expected, widthPx) => {
    const upright = uprightDeep(
      raster(ramp(6), { widthPx: 3, heightPx: 2, alpha: Uint8Array.from([0, 1, 2, 3, 4, 5]) }),
      orientation,
    );
    expect(upright.widthPx).toBe(widthPx);
    expect([...upright.data]).toEqual(expected);
    expect([...(upright.alpha ?? [])]).toEqual(expected);
  });
});

describe("survey for choosing black and white", () => {
  test("every sample within the edges is counted once", () => {
    const survey = surveyTone(raster(ramp(20_000, (i) => 1_000 + (i % 500))));
    expect(survey.counts).toHaveLength(TONE_BINS);
    expect(survey.counts.reduce((a, b) => a + b)).toBe(20_000);
    expect(survey.from).toBeLessThan(1_000);
    expect(survey.to).toBeGreaterThan(1_499);
    expect([survey.lowest, survey.highest]).toEqual([1_000, 1_499]);
  });

  test("the edges stay within what the file can hold", () => {
    const survey = surveyTone(raster(ramp(4_096), { fullScale: 4_095 }));
    expect([survey.from, survey.to]).toEqual([0, 4_095]);
  });

  test("the small copy keeps file units", () => {
    const survey = surveyTone(raster(ramp(600 * 300), { widthPx: 600, heightPx: 300 }));
    const { preview } = survey;
    expect([preview.widthPx, preview.heightPx]).toEqual([200, 100]);
    expect(preview.data[201]).toBe((3 * 600 + 3) & 0xffff);
  });

  test("a picture without any number has no lowest", () => {
    expect(surveyTone(raster(Float32Array.of(NaN, NaN)))).toMatchObject({ lowest: null, highest: null });
  });
});

test("two ways of showing one file have different keys, and only they travel", () => {
  const deepTone = { sample: "uint16", black: 1, white: 2, chosen: "by-a-person" } as const;
  const keys = [{}, { page: 1 }, { deepTone }, { page: 1, deepTone }, { deepTone: { ...deepTone, white: 3 } }].map(
    shownKey,
  );
  expect(new Set(keys).size).toBe(5);
  expect(shownKey({ page: 0 })).toBe(shownKey({}));
  const record = { page: 2, deepTone, hash: "x" };
  expect(shownAs(record)).toEqual({ page: 2, deepTone });
  expect(shownAs({})).toEqual({});
});
