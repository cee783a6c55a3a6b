import { describe, expect, test } from "vitest";
import type { MicrometerReading, ScaleProfile } from "../../../model/measure/profile.ts";
import { isOverdue, readProfile, scaleFromProfile } from "../../../model/measure/profile.ts";
import { pxPerMm } from "../../../model/measure/scale.ts";

const reading = (px: number, direction: "x" | "y" = "x"): MicrometerReading => ({ lengthMm: 1, px, direction });
const perfect = { number: "SM-1", relativeU: 0 };

describe("an objective-and-camera profile", () => {
  test("mean and s/√n of the readings, the micrometer's own uncertainty in quadrature", () => {
    const readings = [reading(310), reading(311), reading(312), reading(311)];
    const s = Math.sqrt(2 / 3);
    expect(readProfile(readings, perfect).pxPerMm.value).toBeCloseTo(310.75 + 0.25, 12);
    expect(readProfile(readings, perfect).pxPerMm.u).toBeCloseTo(s / 2, 12);
    expect(readProfile(readings, { number: "SM-1", relativeU: 0.001 }).pxPerMm.u).toBeCloseTo(
      Math.hypot(s / 2, 0.311),
      12,
    );
  });

  test("x and y are compared", () => {
    const same = readProfile([reading(310), reading(311), reading(310.5, "y")], perfect);
    expect(same.xyDifferencePct).toBeCloseTo(0, 10);
    expect(same.warning).toBeNull();
    const apart = readProfile([reading(310), reading(310.1), reading(315, "y"), reading(315.1, "y")], perfect);
    expect(apart.warning).toContain("1.61 %");
    expect(readProfile([reading(1), reading(1), reading(1)], perfect).xyDifferencePct).toBeNull();
  });

  test("too few or impossible readings are refused", () => {
    expect(() => readProfile([reading(310), reading(311)], perfect)).toThrow(/at least 3/);
    expect(() => readProfile([reading(310), reading(0), reading(311)], perfect)).toThrow(/above zero/);
  });

  test("it becomes overdue on its due date, and gives photographs their scale", () => {
    const profile: ScaleProfile = {
      id: "p1",
      name: "stereo 2.5×",
      pxPerMm: { value: 311, u: 0.5 },
      readings: [],
      micrometer: perfect,
      by: "A. Reader",
      calibratedAt: "2026-01-01T08:00:00Z",
      dueAt: "2026-02-01T00:00:00Z",
    };
    expect(isOverdue(profile, "2026-01-31T23:59:59Z")).toBe(false);
    expect(isOverdue(profile, "2026-02-01T00:00:00Z")).toBe(true);
    expect(pxPerMm(scaleFromProfile(profile))).toMatchObject({ value: 311, u: 0.5 });
  });
});
