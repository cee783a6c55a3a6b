import { describe, expect, it } from "vitest";
import { MeasureError } from "../../../model/measure/measure-error.ts";
import { exact, reading, standardUncertainty } from "../../../model/measure/uncertain.ts";
import { PictureError } from "../../../model/picture/picture-error.ts";
import type { GreyImage } from "../../../model/picture/pixels/grey.ts";
import { newGrey, sampleGrey } from "../../../model/picture/pixels/grey.ts";
import { align, pyramidOf } from "../../../model/picture/stack/align.ts";
import { addFrame, originOfRow } from "../../../model/picture/stack/compose.ts";
import { fitCone } from "../../../model/picture/stack/cone.ts";
import { fillGaps } from "../../../model/picture/stack/fill-gaps.ts";
import type { FocusMap } from "../../../model/picture/stack/focus-map.ts";
import { focusMap, HAS_HEIGHT } from "../../../model/picture/stack/focus-map.ts";
import { focusPeak } from "../../../model/picture/stack/focus-peak.ts";
import { CELL_PX } from "../../../model/picture/stack/focus-volume.ts";
import { heightMap } from "../../../model/picture/stack/height-map.ts";
import { heightProfile } from "../../../model/picture/stack/height-profile.ts";
import { holeDepth, stepHeight } from "../../../model/picture/stack/level.ts";
import {
  contoursOf,
  contourSpacing,
  heightColours,
  heightRange,
  reliefOf,
} from "../../../model/picture/stack/relief.ts";
import { readingOrder, readSeries, referenceOf } from "../../../model/picture/stack/series.ts";
import { grainy, MADE, madeSeries } from "./stack-made.ts";

const mapOf = async (frames: readonly GreyImage[]): Promise<FocusMap> =>
  focusMap((await readSeries(frames.length, (k) => frames[k]!)).volume);
const share = (map: FocusMap): number => map.state.filter((s) => s === HAS_HEIGHT).length / map.state.length;

/** Rising from −2 at the left edge to −7 at the right. */
const ramp = (x: number): number => -2 - (5 * x) / MADE.widthPx;
const cone = (x: number, y: number): number => -2 - 0.1 * Math.hypot(x - 80, y - 60);
const blindHole = (x: number, y: number): number => (Math.hypot(x - 80, y - 60) < 30 ? -7 : -2);

describe("the sharpest place of a focus curve", () => {
  it("is found between frames to a fiftieth of a step on a Gaussian over a floor", () => {
    for (const at of [4.1, 4.5, 5.9]) {
      const curve = Array.from({ length: 12 }, (_, k) => 0.2 + 3 * Math.exp(-((k - at) ** 2) / (2 * 1.4 ** 2)));
      const peak = focusPeak(curve);
      expect(typeof peak === "string" ? NaN : Math.abs(peak.at - at)).toBeLessThan(0.02);
      expect(typeof peak === "string" ? NaN : peak.u).toBeGreaterThan(0);
    }
  });

  it("is not invented: level curves, curves that still rise at an end, and two hills have none", () => {
    expect(focusPeak([1, 1.1, 0.9, 1, 1.05, 0.95])).toBe("flat");
    expect(focusPeak([0, 0, 0, 0])).toBe("flat");
    expect(focusPeak([9, 5, 2, 1, 1, 1])).toBe("end-of-series");
    expect(focusPeak([1, 1, 1, 2, 5, 9])).toBe("end-of-series");
    expect(focusPeak([1, 5, 9, 5, 1, 1, 1, 4, 8, 4, 1, 1])).toBe("unclear");
    expect(focusPeak([1, 9])).toBe("flat");
  });
});

describe("frames are laid over each other", () => {
  it("shift and change of size come back to a tenth of a pixel, whatever the brightness", () => {
    const image = grainy(3, { widthPx: 320, heightPx: 240 });
    const moved = newGrey(320, 240);
    const [scale, dx, dy] = [1.004, 3.4, -2.2];
    for (let y = 0; y < 240; y++)
      for (let x = 0; x < 320; x++)
        moved.data[y * 320 + x] =
          0.7 * sampleGrey(image, (x + 0.5 - dx - 160) / scale + 160, (y + 0.5 - dy - 120) / scale + 120);
    const { placement } = align(pyramidOf(moved), pyramidOf(image), 320);
    expect(Math.abs(placement.dx - dx)).toBeLessThan(0.1);
    expect(Math.abs(placement.dy - dy)).toBeLessThan(0.1);
    expect(Math.abs(placement.scale - scale)).toBeLessThan(5e-4);
    expect(Math.abs(placement.gain - 0.7)).toBeLessThan(0.01);
  });

  it("frames of different places or sizes are refused in words", async () => {
    await expect(readSeries(3, (k) => grainy(k))).rejects.toThrow(/does not show the same place/);
    const odd = (k: number) => grainy(1, { widthPx: 160 + 8 * k, heightPx: 120 });
    await expect(readSeries(3, odd)).rejects.toThrow(/another size/);
    await expect(readSeries(1, () => grainy(1))).rejects.toThrow(PictureError);
    await expect(readSeries(999, () => grainy(1))).rejects.toThrow(/at most/);
  });

  it("frames are read once each, from the middle out", () => {
    expect(readingOrder(5)).toEqual([2, 3, 4, 1, 0]);
    expect([...readingOrder(8)].sort((a, b) => a - b)).toEqual([0, 1, 2, 3, 4, 5, 6, 7]);
    expect(referenceOf(8)).toBe(3);
  });
});

describe("heights of a made series", () => {
  const frames = madeSeries(10, ramp);

  it("a ramp is found, and the truth lies within two standard uncertainties for nine of ten cells", async () => {
    const map = await mapOf(frames);
    expect(share(map)).toBeGreaterThan(0.85);
    const heights = heightMap(map, { value: 10, u: 0 }, 1);
    let within = 0;
    let count = 0;
    heights.um.forEach((um, i) => {
      if (um !== um) return;
      count++;
      const truth = 10 * ramp(((i % map.columns) + 0.5) * CELL_PX);
      if (Math.abs(um - truth) <= 2 * heights.u[i]!) within++;
    });
    expect(within / count).toBeGreaterThan(0.9);
  });

  it("the order reversed mirrors the heights", async () => {
    const [up, down] = [await mapOf(frames), await mapOf([...frames].reverse())];
    let worst = 0;
    let both = 0;
    up.at.forEach((at, i) => {
      const other = down.at[i]!;
      if (at !== at || other !== other) return;
      both++;
      worst = Math.max(worst, Math.abs(at + other - 9));
    });
    expect(both).toBeGreaterThan(0.8 * up.at.length);
    expect(worst).toBeLessThan(0.35);
  });

  it("all frames equal give no height at all", async () => {
    const map = await mapOf(Array.from({ length: 6 }, () => frames[3]!));
    expect(share(map)).toBe(0);
    expect(map.at.every((v) => v !== v)).toBe(true);
  });

  it("brightness that changes from frame to frame leaves the map as it is", async () => {
    const flickering = madeSeries(10, ramp, (k) => 1 + 0.12 * Math.sin(5 * k));
    const [plain, lit] = [await mapOf(frames), await mapOf(flickering)];
    const apart = Array.from(plain.at, (v, i) => Math.abs(v - lit.at[i]!)).filter((v) => v === v);
    apart.sort((a, b) => a - b);
    expect(apart.length).toBeGreaterThan(0.8 * plain.at.length);
    expect(apart[Math.floor(0.99 * apart.length)]).toBeLessThan(0.3);
  });

  it("a face without texture has no heights", async () => {
    const blank = Array.from({ length: 6 }, (_, k) => {
      const image = grainy(50 + k);
      return { ...image, data: image.data.map((v) => 0.5 + 0.004 * (v - 0.5)) };
    });
    expect(share(await mapOf(blank))).toBeLessThan(0.03);
  });
});

describe("measures from heights", () => {
  // One step is 10 µm and one pixel 2 µm: a slope of 0.1 step per pixel is 0.5, a flank of 63.43° to the axis.
  const stepUm = { value: 10, u: 0.1 };
  const scale = reading("scale", 500, 2.5);

  it("the flank of a cone comes back within its uncertainty, with all four sources named", async () => {
    const map = heightMap(await mapOf(madeSeries(13, cone)), stepUm, 1);
    const fit = fitCone(map, "p", { kind: "circle", x: 80, y: 60, radius: 52 }, scale, 0.001);
    const truth = (Math.atan(2) * 180) / Math.PI;
    expect(fit.stands).toBe(true);
    expect(Math.abs(fit.flankDeg.value - truth)).toBeLessThan(1);
    expect(Math.abs(fit.flankDeg.value - truth)).toBeLessThan(2.5 * standardUncertainty(fit.flankDeg));
    expect([...fit.flankDeg.shares.keys()].sort()).toEqual([
      "focus-breathing:p",
      "focus-step:p",
      "heights:p:flank",
      "scale",
    ]);
    expect(Math.hypot(fit.apex[0] - 80, fit.apex[1] - 60)).toBeLessThan(2);
  });

  it("a level face is not taken for a cone, and too small an area is refused", async () => {
    const map = heightMap(await mapOf(madeSeries(10, () => -4.3)), stepUm, 1);
    const zone = { kind: "circle", x: 80, y: 60, radius: 50 } as const;
    expect(() => fitCone(map, "p", zone, scale, 0)).toThrow(MeasureError);
    expect(() => fitCone(map, "p", { ...zone, radius: 6 }, scale, 0)).toThrow(/larger area/);
    expect(() => stepHeight(map, "p", { ...zone, radius: 1 }, zone)).toThrow(/Too few/);
  });

  it("depth of a hole and height of a step come back within their uncertainty", async () => {
    const map = heightMap(await mapOf(madeSeries(10, blindHole)), stepUm, 1);
    const hole = holeDepth(map, "p", { kind: "circle", x: 80, y: 60, radius: 30 });
    expect(Math.abs(hole.depth.value - 50)).toBeLessThan(2 * standardUncertainty(hole.depth));
    const step = stepHeight(
      map,
      "p",
      { kind: "circle", x: 20, y: 60, radius: 14 },
      { kind: "circle", x: 80, y: 60, radius: 14 },
    );
    expect(Math.abs(step.value + 50)).toBeLessThan(2 * standardUncertainty(step));
    const relative = step.shares.get("focus-step:p") ?? 0;
    expect(Math.abs(relative)).toBeCloseTo(0.01 * Math.abs(step.value), 6);
  });

  it("a profile has its gaps, and relief, colours and contours follow the heights", async () => {
    const map = heightMap(await mapOf(madeSeries(10, ramp)), { value: 10, u: 0 }, 1);
    const samples = heightProfile(map, [10, 60], [150, 60]);
    const known = samples.filter((s) => s.um !== null);
    expect(known.length).toBeGreaterThan(20);
    expect(known[0]!.um!).toBeGreaterThan(known.at(-1)!.um! + 20);
    expect(heightProfile(map, [-40, -40], [-10, -10]).every((s) => s.um === null)).toBe(true);
    const range = heightRange(map)!;
    const spacing = contourSpacing(range);
    expect(spacing).toBe(10);
    const contours = contoursOf(map, range, spacing);
    const meanX = (c: (typeof contours)[number]) => c.pieces.reduce((s, p) => s + p[0], 0) / c.pieces.length;
    for (const c of contours) expect(Math.abs(10 * ramp(meanX(c)) - c.um)).toBeLessThan(3);
    const colours = heightColours(map, range);
    const middle = 15 * map.columns;
    expect(colours[4 * (middle + 5)]!).toBeGreaterThan(colours[4 * (middle + 35)]!);
    // The ramp falls to the right, so light from the right makes it brighter.
    const mean = (rgba: Uint8ClampedArray) => rgba.reduce((s, v, i) => (i % 4 === 0 ? s + v : s), 0);
    expect(mean(reliefOf(map, 0, 2))).toBeGreaterThan(mean(reliefOf(map, 180, 2)));
    expect(heightRange({ ...map, um: map.um.map(() => Number.NaN) })).toBeNull();
  });
});

describe("the composite", () => {
  it("takes every pixel from its frame of origin and is as sharp as the sharpest", async () => {
    const frames = madeSeries(10, ramp, () => 1, 0);
    const { volume, placements } = await readSeries(10, (k) => frames[k]!);
    const map = focusMap(volume);
    const { widthPx, heightPx } = MADE;
    const rgba = new Uint8ClampedArray(4 * widthPx * heightPx);
    frames.forEach((frame, k) => {
      const raster = { widthPx, heightPx, rgba: new Uint8ClampedArray(rgba.length).fill(255) };
      frame.data.forEach((v, i) => raster.rgba.fill(255 * v, 4 * i, 4 * i + 3));
      addFrame(rgba, map, k, raster, placements[k]!, 1);
    });
    const sharp = grainy(7);
    let squares = 0;
    let count = 0;
    for (let y = 8; y < heightPx - 8; y++)
      for (let x = 8; x < widthPx - 8; x++) {
        squares += (rgba[4 * (y * widthPx + x)]! / 255 - sharp.data[y * widthPx + x]!) ** 2;
        count++;
      }
    let spread = 0;
    for (const v of sharp.data) spread += (v - 0.5) ** 2;
    expect(squares / count).toBeLessThan(0.05 * (spread / sharp.data.length));
    expect(rgba.every((v, i) => i % 4 !== 3 || v === 255)).toBe(true);
    const origin = new Uint8Array(widthPx);
    originOfRow(map, 60, 1, origin);
    expect(Math.abs(origin[20]! + ramp(20))).toBeLessThanOrEqual(1);
    expect(Math.abs(origin[140]! + ramp(140))).toBeLessThanOrEqual(1);
  });

  it("gaps are closed from around, and from the given value when nothing is known", () => {
    const grid = new Float32Array(64).fill(Number.NaN);
    expect(fillGaps(grid, 8, 8, 5).every((v) => v === 5)).toBe(true);
    grid[0] = 2;
    grid[63] = 4;
    const closed = fillGaps(grid, 8, 8, 5);
    expect(closed[0]).toBe(2);
    expect(closed[63]).toBe(4);
    expect(closed.every((v) => v >= 2 && v <= 4)).toBe(true);
    expect(closed[9]!).toBeLessThan(closed[54]!);
    expect(exact(closed[9]!).value).toBeGreaterThan(1.9);
  });
});
