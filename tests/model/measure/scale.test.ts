import { describe, expect, test } from "vitest";
import type { Scale } from "../../../model/break/wire-break.ts";
import { checkScale, describeScale, lengthInMm, pxPerMm, scaleFault } from "../../../model/measure/scale.ts";
import { exact, reading, standardUncertainty } from "../../../model/measure/uncertain.ts";
import { MICROMETER_SCALE } from "./a-break.ts";

const byWire = (mm: number, uMm: number, px: number, uPx: number): Scale => ({
  method: "wire-diameter",
  diameterMm: { value: mm, u: uMm },
  diameterPx: { value: px, u: uPx },
  markId: null,
});
const stated = (value: number, u: number): Scale => ({ method: "stated", pxPerMm: { value, u } });

describe("the scale of a photograph", () => {
  test("from the wire diameter: px over mm, relative uncertainties in quadrature", () => {
    const scale = pxPerMm(byWire(2, 0.01, 400, 2));
    expect(scale?.value).toBeCloseTo(200, 12);
    expect(scale?.u).toBeCloseTo(200 * Math.hypot(0.005, 0.005), 12);
    expect(scale?.description).toBe("from the wire diameter, 2.000 mm ± 0.020 mm (k = 2)");
  });

  test("from a drawn length: both ends placed, length as certified", () => {
    const scale = pxPerMm(MICROMETER_SCALE);
    expect(scale?.value).toBeCloseTo(200, 12);
    expect(scale?.u).toBeCloseTo(200 * Math.hypot(Math.SQRT2 / 1000, 0.001), 12);
    expect(scale?.description).toContain("stage micrometer");
  });

  test("from a profile and as stated", () => {
    expect(pxPerMm({ method: "profile", profileId: "p", name: "2.5×", pxPerMm: { value: 310, u: 0.4 } })).toEqual({
      value: 310,
      u: 0.4,
      uStated: true,
      description: "from the profile “2.5×”",
    });
    expect(pxPerMm(stated(53.7, 0))).toMatchObject({ value: 53.7, u: 0, uStated: false });
    expect(pxPerMm(stated(53.7, 0.3))).toMatchObject({ u: 0.3, uStated: true, description: "as stated on the sheet" });
  });

  test("without a usable scale there are no millimetres", () => {
    expect(pxPerMm(null)).toBeNull();
    expect(lengthInMm(exact(100), { id: "p", scale: null })).toBeNull();
    for (const bad of [
      byWire(0, 0, 400, 1),
      byWire(2, 0, 0, 1),
      byWire(2, NaN, 400, 1),
      stated(NaN, 0),
      stated(0, 0),
      { method: "drawn-length", lengthMm: { value: 0, u: 0 }, a: [0, 0], b: [1, 1], placingPx: 1, over: "scale-bar" },
      { method: "drawn-length", lengthMm: { value: 1, u: 0 }, a: [5, 5], b: [5, 5], placingPx: 1, over: "scale-bar" },
    ] satisfies Scale[]) {
      expect(pxPerMm(bad)).toBeNull();
      expect(scaleFault(bad)).toMatch(/\.$/);
    }
    expect(scaleFault(stated(1, 0))).toBeNull();
  });

  test("a length in mm carries the scale", () => {
    const mm = lengthInMm(reading("line", 100, 1), { id: "p", scale: stated(50, 0.5) });
    expect(mm?.value).toBeCloseTo(2, 12);
    expect(mm && standardUncertainty(mm)).toBeCloseTo(2 * Math.hypot(0.01, 0.01), 12);
  });

  test("two scales of one photograph are compared within two combined uncertainties", () => {
    expect(checkScale(stated(100, 1), stated(102, 1))).toMatchObject({ agrees: true, warning: null });
    const apart = checkScale(stated(100, 1), { ...byWire(1, 0.001, 104, 1) });
    expect(apart?.agrees).toBe(false);
    expect(apart?.differencePct).toBeCloseTo(4, 10);
    expect(apart?.warning).toContain("4.0 %");
    expect(checkScale(stated(100, 0), stated(100, 0))?.agrees).toBe(true);
    expect(checkScale(stated(100, 0), stated(101, 0))?.inStandardUncertainties).toBe(Infinity);
    expect(checkScale(null, stated(1, 0))).toBeNull();
    const bar = { ...MICROMETER_SCALE, over: "scale-bar" } as Scale;
    expect(describeScale(bar)).toContain("scale bar");
  });
});
