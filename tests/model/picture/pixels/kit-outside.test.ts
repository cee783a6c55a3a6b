import { join } from "node:path";
import { describe, expect, it } from "vitest";
import type { Point } from "../../../../model/break/geometry.ts";
import { componentsOf } from "../../../../model/picture/pixels/components.ts";
import { conicEllipse } from "../../../../model/picture/pixels/conic-ellipse.ts";
import type { GreyImage } from "../../../../model/picture/pixels/grey.ts";
import { greyOf, newGrey } from "../../../../model/picture/pixels/grey.ts";
import { maskOver } from "../../../../model/picture/pixels/mask.ts";
import { robustEllipse } from "../../../../model/picture/pixels/robust-ellipse.ts";
import { histogramOf, otsu, otsuTwo } from "../../../../model/picture/pixels/threshold.ts";
import { readPicture } from "../../../../scripts/propose/read-picture.ts";
import outside from "../../../outside/threshold-components-ellipse.json";
import { NO_REAL_DATA, realData } from "../../../real-data.ts";

/** Libraries, versions and tolerances: tests/outside/threshold-components-ellipse.json. */
interface Figures {
  readonly otsu: number;
  readonly two: readonly number[];
  readonly patches: Readonly<Record<"4" | "8", { readonly count: number; readonly largest: readonly number[] }>>;
}

const inSteps = (image: GreyImage): GreyImage => ({
  ...image,
  data: image.data.map((v) => Math.floor(v * 255 + 0.5) / 255),
});

function compare(grey: GreyImage, theirs: Figures): void {
  const histogram = histogramOf(grey);
  // Theirs is the last grey of the dark class, ours the edge above it.
  expect(Math.abs(Math.floor(otsu(histogram)!.level * 255) - theirs.otsu)).toBeLessThanOrEqual(1);
  const two = otsuTwo(histogram)!;
  theirs.two.forEach((level, i) => expect(Math.abs(Math.floor(two[i]! * 255) - level)).toBeLessThanOrEqual(1));
  const mask = maskOver(grey, (theirs.otsu + 0.5) / 255);
  for (const n of [4, 8] as const) {
    const areas = componentsOf(mask, n).list.map((c) => c.areaPx);
    expect(areas).toHaveLength(theirs.patches[`${n}`].count);
    expect(areas.slice(0, 8)).toEqual(theirs.patches[`${n}`].largest);
  }
}

describe("thresholds and patches as scikit-image and OpenCV find them", () => {
  it("on a drawn picture", () => {
    const grey = newGrey(240, 160);
    const discs = [
      [60, 60, 31, 150],
      [150, 90, 44, 210],
      [205, 30, 12, 120],
    ] as const;
    for (let y = 0; y < 160; y++)
      for (let x = 0; x < 240; x++) {
        let v = 40 + (30 * (x + 0.5)) / 240;
        for (const [cx, cy, r, g] of discs)
          if (Math.hypot(x + 0.5 - cx, y + 0.5 - cy) < r) v = g + 10 * Math.sin((x + 0.5) / 5);
        grey.data[y * 240 + x] = Math.floor(v + 0.5) / 255;
      }
    compare(grey, outside.made);
  });
  const real = realData();
  describe.runIf(real !== null)(`on real pictures${real === null ? ` (${NO_REAL_DATA})` : ""}`, () => {
    const pictures: readonly (readonly [string, Figures])[] = Object.entries(outside.pictures);
    it.each(pictures.filter(([name]) => name.endsWith(".png")))("%s", async (name, theirs) => {
      compare(inSteps(greyOf((await readPicture(join(real ?? "", name), 9999)).raster)), theirs);
    });
    // Two decoders may differ by a step in a JPEG: levels within one step, the largest patch within one percent.
    it.each(pictures.filter(([name]) => name.endsWith(".jpg")))("%s", async (name, theirs) => {
      const grey = inSteps(greyOf((await readPicture(join(real ?? "", name), 9999)).raster));
      expect(Math.abs(Math.floor(otsu(histogramOf(grey))!.level * 255) - theirs.otsu)).toBeLessThanOrEqual(1);
      const largest = componentsOf(maskOver(grey, (theirs.otsu + 0.5) / 255), 8).list[0]!.areaPx;
      expect(Math.abs(largest / theirs.patches["8"].largest[0]! - 1)).toBeLessThan(0.01);
    });
  });
});

describe("ellipses as scikit-image and OpenCV fit them", () => {
  const ring = Array.from({ length: 72 }, (_, i): Point => {
    const t = (2 * Math.PI * i) / 72;
    const a = (25 * Math.PI) / 180;
    const [u, v] = [130 * Math.cos(t), 96 * Math.sin(t)];
    return [
      210 + u * Math.cos(a) - v * Math.sin(a) + 1.4 * Math.sin(7.3 * i),
      170 + u * Math.sin(a) + v * Math.cos(a) + 1.4 * Math.cos(5.1 * i),
    ];
  });
  const near = (mine: readonly number[], theirs: readonly number[]): void => {
    mine.slice(0, 4).forEach((v, k) => expect(Math.abs(v - theirs[k]!)).toBeLessThan(0.3));
    expect(Math.abs(mine[4]! - theirs[4]!)).toBeLessThan(0.5);
  };
  it("directly", () => {
    const e = conicEllipse(ring)!;
    near([e.cx, e.cy, e.rx, e.ry, e.angle_deg], outside.ring.opencv_direct);
  });
  it("by distances, with no point left out", () => {
    const { ellipse: e } = robustEllipse(ring, 50, 0)!;
    near([e.cx, e.cy, e.rx, e.ry, e.angle_deg], outside.ring.skimage);
  });
});
