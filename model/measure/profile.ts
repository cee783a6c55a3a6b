import type { Scale } from "../break/wire-break.ts";
import { MeasureError } from "./measure-error.ts";
import type { Uncertain } from "./uncertain.ts";

/** One reading of a stage micrometer through an objective and camera. */
export interface MicrometerReading {
  /** True length between the lines used, mm. */
  readonly lengthMm: number;
  /** The same length in the photograph, px. */
  readonly px: number;
  readonly direction: "x" | "y";
}

/** The stage micrometer itself, by its certificate. */
export interface StageMicrometer {
  readonly number: string;
  /** Standard uncertainty of the length read, relative (0.001 = 0.1 %). */
  readonly relativeU: number;
}

/**
 * Pixels per millimetre of one objective-and-camera setting, from repeated readings of a stage micrometer.
 *
 * @source ASTM E1951 (calibrating light-microscope magnifications), practice from memory.
 */
export interface ScaleProfile {
  readonly id: string;
  readonly name: string;
  readonly pxPerMm: Uncertain;
  readonly readings: readonly MicrometerReading[];
  readonly micrometer: StageMicrometer;
  readonly by: string;
  /** ISO 8601. */
  readonly calibratedAt: string;
  /** The profile is overdue from this day on, ISO 8601. */
  readonly dueAt: string;
}

/** Fewest readings that say something about their spread. @source common practice, no source */
export const FEWEST_READINGS = 3;

export interface ProfileReading {
  readonly pxPerMm: Uncertain;
  /** Relative difference between the x and y readings, percent; null when only one direction was read. */
  readonly xyDifferencePct: number | null;
  /** Plain sentence when x and y differ by more than two standard uncertainties. */
  readonly warning: string | null;
}

/**
 * Mean of the readings with the spread of the mean (s/√n) and the micrometer's own uncertainty in quadrature.
 *
 * @throws MeasureError `too-few` below three readings; `not-a-number` when a reading is not positive.
 * @source JCGM 100:2008, 4.2.3 (s/√n) and 5.1.2 (combining); from memory.
 */
export function readProfile(readings: readonly MicrometerReading[], micrometer: StageMicrometer): ProfileReading {
  if (readings.length < FEWEST_READINGS)
    throw new MeasureError("too-few", `Read the stage micrometer at least ${FEWEST_READINGS} times.`);
  if (!readings.every((r) => r.lengthMm > 0 && r.px > 0 && Number.isFinite(r.px / r.lengthMm)))
    throw new MeasureError("not-a-number", "Every reading needs a length in mm and in pixels, both above zero.");
  const all = meanOf(readings);
  const x = readings.filter((r) => r.direction === "x");
  const y = readings.filter((r) => r.direction === "y");
  const pxPerMm = { value: all.value, u: Math.hypot(all.u, all.value * micrometer.relativeU) };
  if (x.length === 0 || y.length === 0) return { pxPerMm, xyDifferencePct: null, warning: null };
  const [mx, my] = [meanOf(x), meanOf(y)];
  const xyDifferencePct = (100 * (my.value - mx.value)) / mx.value;
  const spread = Math.hypot(mx.u, my.u);
  const apart = x.length > 1 && y.length > 1 && Math.abs(my.value - mx.value) > 2 * spread;
  const warning =
    apart && Math.abs(xyDifferencePct) > 0.1
      ? `The x and y readings differ by ${Math.abs(xyDifferencePct).toFixed(2)} %. Check that the camera sits square.`
      : null;
  return { pxPerMm, xyDifferencePct, warning };
}

function meanOf(readings: readonly MicrometerReading[]): Uncertain {
  const values = readings.map((r) => r.px / r.lengthMm);
  const n = values.length;
  const value = values.reduce((sum, v) => sum + v, 0) / n;
  if (n === 1) return { value, u: 0 };
  const variance = values.reduce((sum, v) => sum + (v - value) ** 2, 0) / (n - 1);
  return { value, u: Math.sqrt(variance / n) };
}

/** Whether the profile's due date has come. @param now – ISO 8601, passed in. */
export const isOverdue = (profile: Pick<ScaleProfile, "dueAt">, now: string): boolean =>
  Date.parse(now) >= Date.parse(profile.dueAt);

/** The scale a photograph keeps when it was taken with a profile's setting. */
export const scaleFromProfile = (profile: ScaleProfile): Scale => ({
  method: "profile",
  profileId: profile.id,
  name: profile.name,
  pxPerMm: profile.pxPerMm,
});
