import { describe, expect, test } from "vitest";
import { photographSchema } from "../../../model/break/record-schema.ts";
import type { MicrometerReading, ScaleProfile } from "../../../model/measure/profile.ts";
import { readProfile, recalibrated, scaleFromProfile, sizeFault } from "../../../model/measure/profile.ts";
import { photograph } from "./a-break.ts";

const read = (values: readonly number[], direction: "x" | "y" = "x", lengthMm = 1): readonly MicrometerReading[] =>
  values.map((px) => ({ px, lengthMm, direction }));
const exactMicrometer = { number: "SM-1", relativeU: 0 };

/** JCGM 100:2008, 4.4.3, table 1: twenty observations; the text gives 100.145, s = 1.489 and s/√20 = 0.333. */
const TABLE_1 = [
  96.9, 98.18, 98.25, 98.61, 99.03, 99.49, 99.56, 99.74, 99.89, 100.07, 100.33, 100.42, 100.68, 100.95, 101.11, 101.2,
  101.57, 101.84, 102.36, 102.72,
];

describe("readings of a stage micrometer", () => {
  test("mean, standard deviation and s/√n are those of JCGM 100:2008, 4.4.3", () => {
    const { all, pxPerMm } = readProfile(read(TABLE_1), exactMicrometer);
    expect(all.mean).toBeCloseTo(100.145, 3);
    expect(all.s).toBeCloseTo(1.489, 3);
    expect(all.uMean).toBeCloseTo(0.333, 3);
    expect(pxPerMm.u).toBe(all.uMean);
  });

  test("the step of a reading counts 0.29 of itself, as JCGM 100:2008, F.2.2.1 says", () => {
    const { all } = readProfile(read([500, 500, 500]), exactMicrometer, 1);
    expect(all.uResolution).toBeCloseTo(0.29, 2);
    expect(readProfile(read([500, 500, 500], "x", 2), exactMicrometer, 1).all.uResolution).toBeCloseTo(0.29 / 2, 2);
  });

  test("shares combine in quadrature: 5.8, 3.9 and 6.7 give 9.7, as JCGM 100:2008, H.1.3.2 says", () => {
    // Five readings with s = 13 (H.1.3.2: 13 nm/√5 = 5.8 nm); step and micrometer set to the other two shares.
    const k = 13;
    const { all } = readProfile(
      read([1000 - k, 1000 - k, 1000, 1000 + k, 1000 + k]),
      { number: "", relativeU: 6.7 / 1000 },
      3.9 * Math.sqrt(12),
    );
    expect(all.uMean).toBeCloseTo(5.8, 1);
    expect(all.u).toBeCloseTo(9.7, 1);
  });

  test("directions that agree make one value of all readings", () => {
    const found = readProfile([...read([500, 500.4, 499.8]), ...read([500.2, 500.1, 499.9], "y")], exactMicrometer);
    expect(found.pxPerMmY).toBeNull();
    expect(found.all.n).toBe(6);
    expect(found.pxPerMm.value).toBeCloseTo((500 + 500.4 + 499.8 + 500.2 + 500.1 + 499.9) / 6, 10);
  });

  test("directions that differ keep a value each, and the micrometer does not excuse the difference", () => {
    const readings = [...read([500, 500.2, 499.8]), ...read([510, 510.2, 509.8], "y")];
    const found = readProfile(readings, { number: "", relativeU: 0.05 });
    expect(found.pxPerMm.value).toBeCloseTo(500, 10);
    expect(found.pxPerMmY?.value).toBeCloseTo(510, 10);
    expect(found.xyDifferencePct).toBeCloseTo(2, 10);
    expect(found.warning).toContain("2.00 %");
    // One reading each says nothing of a spread, so nothing is judged.
    expect(readProfile([...read([500, 500]), ...read([510], "y")], exactMicrometer).pxPerMmY).toBeNull();
  });
});

const profile: ScaleProfile = {
  id: "p1",
  name: "2× · zoom 1.5 · camera A",
  setUp: { objective: "2×", zoom: "1.5", camera: "camera A" },
  pxPerMm: { value: 500, u: 0.5 },
  pxPerMmY: { value: 505, u: 0.5 },
  readings: read([500, 500, 500]),
  micrometer: { number: "SM-1", relativeU: 0.0005 },
  picturePx: [1920, 1080],
  by: "A. Reader",
  calibratedAt: "2026-01-10",
  dueAt: "2027-01-10",
};

describe("calibrating again", () => {
  const fresh = {
    pxPerMm: { value: 498, u: 0.4 },
    readings: read([498, 498, 498]),
    micrometer: { number: "SM-2", relativeU: 0.0003 },
    by: "B. Reader",
    calibratedAt: "2026-11-20",
    dueAt: "2027-11-20",
  };

  test("puts the new values in force and keeps the old ones", () => {
    const once = recalibrated(profile, fresh);
    const twice = recalibrated(once, { ...fresh, calibratedAt: "2026-11-21" });
    expect(once).toMatchObject({ id: "p1", name: profile.name, pxPerMm: { value: 498 } });
    // A direction that no longer differs leaves no old y behind.
    expect(once.pxPerMmY).toBeUndefined();
    expect(twice.history?.map((c) => c.calibratedAt)).toEqual(["2026-01-10", "2026-11-20"]);
    expect(twice.history?.[0]).toMatchObject({ pxPerMm: { value: 500 }, pxPerMmY: { value: 505 }, by: "A. Reader" });
    expect(scaleFromProfile(profile)).toMatchObject({ pxPerMm: { value: 500 }, calibration: { at: "2026-01-10" } });
  });

  test("cannot be older than the calibration in force", () => {
    expect(() => recalibrated(profile, { ...fresh, calibratedAt: "2025-12-31" })).toThrow(/2026-01-10/);
  });
});

describe("the scale a profile gives", () => {
  test("carries both directions, the calibration and the picture size, and survives being stored", () => {
    const scale = scaleFromProfile(profile);
    const stored = photographSchema.parse(
      JSON.parse(JSON.stringify(photograph("a", "side_0", { hash: "0".repeat(64), scale }))),
    );
    expect(stored.scale).toEqual({
      method: "profile",
      profileId: "p1",
      name: profile.name,
      pxPerMm: { value: 500, u: 0.5 },
      pxPerMmY: { value: 505, u: 0.5 },
      calibration: { at: "2026-01-10", dueAt: "2027-01-10", commonU: 0.0005, picturePx: [1920, 1080] },
    });
  });

  test("holds for photographs of the size it was read on", () => {
    expect(sizeFault([1920, 1080], { widthPx: 1920, heightPx: 1080 })).toBeNull();
    expect(sizeFault(undefined, { widthPx: 3, heightPx: 2 })).toBeNull();
    expect(sizeFault([1920, 1080], { widthPx: 960, heightPx: 540 })).toMatch(/1920 × 1080 px; this one has 960 × 540/);
    expect(sizeFault([1920, 1080], { widthPx: 1080, heightPx: 1920 })).toMatch(/turned/);
  });
});
