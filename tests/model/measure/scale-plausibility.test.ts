import { readFileSync } from "node:fs";
import { join } from "node:path";
import sharp from "sharp";
import { describe, expect, test } from "vitest";
import type { BarRecord } from "../../../model/measure/scale-plausibility.ts";
import {
  checkBarAgainstField,
  checkMagnification,
  magnificationConstant,
  parseMagnification,
  umPerPxFromBar,
} from "../../../model/measure/scale-plausibility.ts";
import { NO_REAL_DATA, realData } from "../../real-data.ts";

describe("whether a scale can be right", () => {
  test("magnifications are read as instruments write them", () => {
    expect(["4910x", "98X", "98 ×", "98", "1.5x"].map(parseMagnification)).toEqual([4910, 98, 98, 98, 1.5]);
    expect(["", "x", "-3x", "0x"].map(parseMagnification)).toEqual([null, null, null, null]);
  });

  test("a bar with the wrong unit does not fit the instrument's constant", () => {
    const fine = { barUm: 10, barPx: 103, magnification: 1964 };
    expect(checkMagnification(fine, 190.7)).toMatchObject({ fits: true, warning: null });
    const wrong = checkMagnification({ ...fine, barUm: 10_000 }, 190.7);
    expect(wrong.fits).toBe(false);
    expect(wrong.warning).toContain("unit");
    expect(() => magnificationConstant([])).toThrow(/At least one/);
    expect(() => umPerPxFromBar(0, 10)).toThrow(/above zero/);
  });

  test("a bar that disagrees with the width of the view is noticed", () => {
    const field = { um: 3250, px: 1024 };
    expect(checkBarAgainstField({ um: 1000, fromPx: 610, toPx: 925, placingPx: 1 }, field).agrees).toBe(true);
    expect(checkBarAgainstField({ um: 1000, fromPx: 610, toPx: 900, placingPx: 1 }, field).agrees).toBe(false);
  });
});

const folder = realData();
if (folder === null) console.warn(NO_REAL_DATA);

describe.runIf(folder !== null)("real scales", () => {
  test("the bar of MV_HFV_012 fits the stated width of its view", async () => {
    const picture = sharp(join(folder ?? "", "scale", "MV_HFV_012.jpg"));
    const { data, info } = await picture.greyscale().raw().toBuffer({ resolveWithObject: true });
    const [fromPx, toPx] = barWithGap(data, info.width, info.height);
    expect(Math.abs(fromPx - 610)).toBeLessThanOrEqual(3);
    expect(Math.abs(toPx - 925)).toBeLessThanOrEqual(3);
    const check = checkBarAgainstField({ um: 1000, fromPx, toPx, placingPx: 1 }, { um: 3250, px: 1024 });
    expect(check.fieldUmPerPx).toBeCloseTo(3.174, 3);
    expect(check.umPerPx).toBeCloseTo(3.17, 1);
    expect(check.agrees).toBe(true);
  });

  test("848 of 961 real records carry a magnification, and all of them fit one constant", () => {
    const lines = readFileSync(join(folder ?? "", "scale", "uhcs_scale_metadata.csv"), "utf8")
      .trim()
      .split(/\r?\n/)
      .slice(1);
    expect(lines).toHaveLength(961);
    const toUm: Readonly<Record<string, number>> = { um: 1, nm: 1e-3 };
    const records = lines.flatMap((l): BarRecord[] => {
      const [, , , , magnificationText = "", bar = "", unit = "", px = ""] = l.split(",");
      const magnification = parseMagnification(magnificationText);
      return magnification === null
        ? []
        : [{ barUm: Number(bar) * (toUm[unit] ?? NaN), barPx: Number(px), magnification }];
    });
    expect(records).toHaveLength(848);
    const constant = magnificationConstant(records);
    expect(constant).toBeCloseTo(190.7, 0);
    expect(records.filter((r) => !checkMagnification(r, constant).fits)).toEqual([]);
    const nmForUm = records.map((r) => checkMagnification({ ...r, barUm: r.barUm * 1000 }, constant).fits);
    expect(nmForUm).not.toContain(true);
  });
});

/** The bar is drawn as two strokes with its length written between: a row of the strip with two long bright runs. */
function barWithGap(grey: Buffer, width: number, height: number): [number, number] {
  for (let y = Math.floor(height * 0.945); y < height; y++) {
    const runs: [number, number][] = [];
    let start = -1;
    for (let x = 0; x < width; x++) {
      const bright = (grey[y * width + x] ?? 0) > 128;
      if (bright && start < 0) start = x;
      if (!bright && start >= 0) {
        if (x - start > 60) runs.push([start, x]);
        start = -1;
      }
    }
    const [left, right] = runs;
    if (left && right && runs.length === 2) return [left[0], right[1]];
  }
  return [0, 0];
}
