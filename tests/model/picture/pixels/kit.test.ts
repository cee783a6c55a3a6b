import { describe, expect, it } from "vitest";
import type { Point } from "../../../../model/break/geometry.ts";
import { softBlur } from "../../../../model/picture/pixels/box-blur.ts";
import { componentsOf, maskOfComponent } from "../../../../model/picture/pixels/components.ts";
import { conicEllipse } from "../../../../model/picture/pixels/conic-ellipse.ts";
import { evenly, outerContour, polygonArea, refineContour } from "../../../../model/picture/pixels/contour.ts";
import { edgeOnNormal, gradientOf } from "../../../../model/picture/pixels/gradient.ts";
import { blurGrey } from "../../../../model/picture/pixels/gaussian.ts";
import { newGrey } from "../../../../model/picture/pixels/grey.ts";
import type { Mask } from "../../../../model/picture/pixels/mask.ts";
import { fillHoles, maskOver, notMask } from "../../../../model/picture/pixels/mask.ts";
import { offEllipse, robustEllipse } from "../../../../model/picture/pixels/robust-ellipse.ts";
import { histogramOf, otsu, otsuTwo } from "../../../../model/picture/pixels/threshold.ts";
import { fitEllipse } from "../../../../model/measure/outline.ts";

const drawn = (...rows: readonly string[]): Mask => ({
  widthPx: rows[0]!.length,
  heightPx: rows.length,
  data: Uint8Array.from(rows.join(""), (c) => (c === "#" ? 1 : 0)),
});

const greyFrom = (widthPx: number, heightPx: number, at: (x: number, y: number) => number) => {
  const image = newGrey(widthPx, heightPx);
  for (let y = 0; y < heightPx; y++)
    for (let x = 0; x < widthPx; x++) image.data[y * widthPx + x] = at(x + 0.5, y + 0.5);
  return image;
};

describe("thresholds", () => {
  it("part two flat greys between them, with full separation", () => {
    const image = greyFrom(10, 10, (x) => (x < 4 ? 50 / 255 : 200 / 255));
    const found = otsu(histogramOf(image))!;
    expect(found.level * 255).toBeGreaterThan(50);
    expect(found.level * 255).toBeLessThan(200);
    expect(found.separation).toBeCloseTo(1, 9);
    expect(maskOver(image, found.level).data.reduce((a, b) => a + b, 0)).toBe(60);
  });
  it("say nothing of a flat picture", () => {
    expect(otsu(histogramOf(greyFrom(5, 5, () => 0.5)))).toBeNull();
    expect(otsuTwo(histogramOf(greyFrom(5, 5, (x) => (x < 2 ? 0 : 1))))).toBeNull();
  });
  it("part three flat greys with two levels", () => {
    const levels = otsuTwo(histogramOf(greyFrom(9, 3, (x) => (x < 3 ? 0.1 : x < 6 ? 0.5 : 0.9))))!;
    expect(levels[0]).toBeGreaterThan(0.1);
    expect(levels[0]).toBeLessThan(0.5);
    expect(levels[1]).toBeGreaterThan(0.5);
    expect(levels[1]).toBeLessThan(0.9);
  });
  it("count only within a mask", () => {
    const image = greyFrom(4, 1, (x) => (x < 2 ? 0 : 1));
    expect(histogramOf(image, drawn("##.#"))[0]).toBe(2);
    expect(histogramOf(image, drawn("##.#"))[255]).toBe(1);
  });
});

describe("components", () => {
  const mask = drawn("##..#", "#..#.", "..#..", "#####");
  it("joins sides only with 4, corners too with 8", () => {
    expect(componentsOf(mask, 4).list.map((c) => c.areaPx)).toEqual([6, 3, 1, 1]);
    expect(componentsOf(mask, 8).list.map((c) => c.areaPx)).toEqual([8, 3]);
  });
  it("knows box, middle and edge of a patch", () => {
    const found = componentsOf(drawn(".....", ".##..", ".##..", "....."), 4);
    expect(found.list[0]).toEqual({ label: 1, areaPx: 4, x0: 1, y0: 1, x1: 3, y1: 3, cx: 2, cy: 2, atEdge: false });
    expect(componentsOf(mask, 4).list[0]!.atEdge).toBe(true);
    expect([...maskOfComponent(found, 1).data]).toEqual([...drawn(".....", ".##..", ".##..", ".....").data]);
  });
  it("joins branches that meet late", () => {
    expect(componentsOf(drawn("#.#.#", "#.#.#", "#####"), 4).list).toHaveLength(1);
  });
  it("closes holes, not bays", () => {
    const filled = fillHoles(drawn("#####", "#.#.#", "###.#"));
    expect([...filled.data]).toEqual([...drawn("#####", "###.#", "###.#").data]);
    expect([...notMask(filled).data].filter(Boolean)).toHaveLength(2);
  });
});

describe("outlines", () => {
  it("walks around a patch, its area that of its pixels", () => {
    const mask = drawn(".....", ".##..", ".###.", "..#..");
    const outline = outerContour(mask, [1, 1], 4);
    expect(polygonArea(outline)).toBe(6);
    expect(outline[0]).toEqual([1, 1]);
    expect(outline).toHaveLength(12);
  });
  it("takes a corner as a join with 8 and as a parting with 4", () => {
    const mask = drawn("#..", ".#.", "...");
    expect(polygonArea(outerContour(mask, [0, 0], 8))).toBe(2);
    expect(polygonArea(outerContour(mask, [0, 0], 4))).toBe(1);
  });
  it("lies on a soft edge to a tenth of a pixel after refining", () => {
    const [cx, cy, r] = [40.3, 38.8, 20.37];
    const disc = greyFrom(80, 80, (x, y) => 0.2 + 0.5 / (1 + Math.exp((Math.hypot(x - cx, y - cy) - r) / 0.8)));
    const mask = maskOver(disc, 0.5);
    const first = componentsOf(mask, 4).list[0]!;
    const column = mask.data.subarray(first.y0 * 80).indexOf(1);
    const rough = evenly(outerContour(mask, [column, first.y0], 4), 90);
    const fine = refineContour(disc, rough, 3, -1);
    for (const [x, y] of fine) expect(Math.abs(Math.hypot(x - cx, y - cy) - r)).toBeLessThan(0.25);
    const fitted = robustEllipse(fine, 0.5, 0)!;
    expect(fitted.ellipse.rx).toBeCloseTo(r, 1);
    expect(fitted.ellipse.cx).toBeCloseTo(cx, 1);
  });
  it("finds the step of the wanted sign only", () => {
    const step = greyFrom(40, 5, (x) => 1 / (1 + Math.exp(-(x - 20.4) / 0.7)));
    const brighter = edgeOnNormal(step, [18, 2.5], [1, 0], 6, 1)!;
    expect(Math.abs(brighter.offsetPx - 2.4)).toBeLessThan(0.1);
    expect(brighter.slope).toBeGreaterThan(0);
    expect(edgeOnNormal(step, [18, 2.5], [1, 0], 6, -1)).toBeNull();
  });
  it("slope of a plane is the same everywhere inside", () => {
    const slope = gradientOf(greyFrom(9, 9, (x, y) => 0.01 * x - 0.02 * y));
    expect(slope.x[4 * 9 + 4]!).toBeCloseTo(0.01, 6);
    expect(slope.y[4 * 9 + 4]!).toBeCloseTo(-0.02, 6);
  });
});

describe("soft blur", () => {
  // Asked for 2, 3 and 5 px: means of 5, 7 and 11 px, whose deviation is the root of (n² − 1)/4.
  it.each([
    [2, 5],
    [3, 7],
    [5, 11],
  ])("of %f px comes near to the Gaussian that three means of %i px have, and keeps the sum", (asked, n) => {
    const image = greyFrom(60, 50, (x, y) => (Math.hypot(x - 30, y - 25) < 9 ? 1 : 0));
    const reached = Math.sqrt((n * n - 1) / 4);
    expect(Math.abs(reached - asked)).toBeLessThanOrEqual(0.5);
    const [soft, gauss] = [softBlur(image, asked), blurGrey(image, reached)];
    // Largest difference measured: 0.015, of a step of 1.
    soft.data.forEach((v, i) => expect(Math.abs(v - gauss.data[i]!)).toBeLessThan(0.02));
    const sum = (data: Float32Array): number => data.reduce((a, b) => a + b, 0);
    expect(sum(soft.data) / sum(image.data)).toBeCloseTo(1, 3);
  });
  it("leaves one grey as it is, to the edge", () => {
    softBlur(
      greyFrom(20, 9, () => 0.4),
      2,
    ).data.forEach((v) => expect(v).toBeCloseTo(0.4, 5));
  });
});

describe("ellipses", () => {
  const on = (n: number, cx: number, cy: number, rx: number, ry: number, deg: number): Point[] =>
    Array.from({ length: n }, (_, i): Point => {
      const t = (2 * Math.PI * i) / n;
      const a = (deg * Math.PI) / 180;
      const [u, v] = [rx * Math.cos(t), ry * Math.sin(t)];
      return [cx + u * Math.cos(a) - v * Math.sin(a), cy + u * Math.sin(a) + v * Math.cos(a)];
    });
  it("come back from their own points", () => {
    for (const deg of [0, 17, 90, 133.5]) {
      const e = conicEllipse(on(40, 512, 300.5, 120, 80, deg))!;
      expect(e.cx).toBeCloseTo(512, 6);
      expect(e.cy).toBeCloseTo(300.5, 6);
      expect(e.rx).toBeCloseTo(120, 6);
      expect(e.ry).toBeCloseTo(80, 6);
      expect(e.angle_deg % 180).toBeCloseTo(deg, 5);
    }
  });
  it("do not mind a third of the points lying elsewhere", () => {
    const points = on(60, 200, 180, 90, 85, 30).map((p, i): Point =>
      i % 3 === 0 ? [p[0] * 0.5 + 90 + i, p[1] * 0.6] : p,
    );
    const found = robustEllipse(points, 1, 200)!;
    expect(found.ellipse.cx).toBeCloseTo(200, 1);
    expect(found.ellipse.rx).toBeCloseTo(90, 1);
    expect(found.ellipse.ry).toBeCloseTo(85, 1);
    expect(found.inlierShare).toBeCloseTo(2 / 3, 1);
  });
  it("agree with the fit of clicked points", () => {
    const points = on(24, 200, 180, 90, 70, 30).map((p, i): Point => [
      p[0] + Math.sin(i * 7) * 0.8,
      p[1] + Math.cos(i * 11),
    ]);
    const clicked = fitEllipse(points, 1).ellipse;
    const robust = robustEllipse(points, 20, 0)!.ellipse;
    expect(robust.rx).toBeCloseTo(clicked.rx, 1);
    expect(robust.ry).toBeCloseTo(clicked.ry, 1);
    expect(robust.cx).toBeCloseTo(clicked.cx, 1);
  });
  it("are none through a line, and none through too few points", () => {
    expect(conicEllipse(Array.from({ length: 9 }, (_, i): Point => [i, 2 * i]))).toBeNull();
    expect(robustEllipse(on(5, 0, 0, 3, 2, 0), 1, 5)).toBeNull();
  });
  it("know how far off a point is", () => {
    const e = { type: "ellipse", cx: 10, cy: 10, rx: 5, ry: 5, angle_deg: 0 } as const;
    expect(offEllipse(e, [17, 10])).toBeCloseTo(1.71, 1);
    expect(offEllipse(e, [10, 10])).toBe(-5);
  });
});
