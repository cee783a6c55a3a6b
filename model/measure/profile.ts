import type { Photograph, Scale } from "../break/wire-break.ts";
import type { MicrometerReading, StageMicrometer } from "./calibration.ts";
import { MeasureError } from "./measure-error.ts";
import type { Uncertain } from "./uncertain.ts";

export { FEWEST_READINGS, readProfile } from "./calibration.ts";
export type { DirectionReading, MicrometerReading, ProfileReading, StageMicrometer } from "./calibration.ts";

/** What one calibration of a set-up found, and who stands for it. */
export interface Calibration {
  /** Along x, and along y too when `pxPerMmY` is left out. */
  readonly pxPerMm: Uncertain;
  readonly pxPerMmY?: Uncertain;
  readonly readings: readonly MicrometerReading[];
  readonly micrometer: StageMicrometer;
  /** Smallest step of one reading, px; left out = not recorded. */
  readonly resolutionPx?: number;
  /** Size of the photographs it holds for, px; left out = not recorded. */
  readonly picturePx?: readonly [width: number, height: number];
  /** The photograph of the stage micrometer that was drawn on; left out = readings were typed. */
  readonly photograph?: { readonly fileName: string; readonly hash: string };
  readonly by: string;
  /** ISO 8601. */
  readonly calibratedAt: string;
  /** Overdue from this day on, ISO 8601. */
  readonly dueAt: string;
}

/**
 * Pixels per millimetre of one objective, zoom and camera, from repeated readings of a stage micrometer. The calibration
 * in force stands at the top; earlier ones are kept, and photographs keep the values they were given.
 *
 * @source ASTM E1951-14 (calibrating reticles and light-microscope magnifications)
 */
export interface ScaleProfile extends Calibration {
  readonly id: string;
  /** As a person calls it: "2× · zoom 1.5 · camera A". */
  readonly name: string;
  readonly setUp?: { readonly objective: string; readonly zoom: string; readonly camera: string };
  /** Calibrations of before, oldest first; only ever added to. */
  readonly history?: readonly Calibration[];
  /** Set when it was put out of use, ISO 8601; it is kept because photographs name it. */
  readonly outOfUseAt?: string;
}

const calibrationOf = ({ id: _id, name: _name, setUp: _setUp, history: _h, outOfUseAt: _o, ...rest }: ScaleProfile) =>
  rest;

/**
 * The profile with a new calibration in force; the one before joins the history.
 *
 * @throws MeasureError `not-later` when the new one was made before the one in force.
 */
export function recalibrated(profile: ScaleProfile, fresh: Calibration): ScaleProfile {
  if (fresh.calibratedAt < profile.calibratedAt)
    throw new MeasureError(
      "not-later",
      `The calibration in force was made on ${profile.calibratedAt.slice(0, 10)}. A new one cannot be older.`,
    );
  const { id, name, setUp, history = [] } = profile;
  return {
    ...fresh,
    id,
    name,
    ...(setUp === undefined ? {} : { setUp }),
    history: [...history, calibrationOf(profile)],
  };
}

/** Whether the due date has come. @param now – ISO 8601, passed in. */
export const isOverdue = (profile: Pick<ScaleProfile, "dueAt">, now: string): boolean =>
  Date.parse(now) >= Date.parse(profile.dueAt);

/** Why a profile does not hold for a photograph of this size, a plain sentence; null when it does or nothing is known. */
export function sizeFault(
  picturePx: readonly [number, number] | null | undefined,
  photograph: Pick<Photograph, "widthPx" | "heightPx">,
): string | null {
  if (picturePx === null || picturePx === undefined) return null;
  const [width, height] = picturePx;
  if (width === photograph.widthPx && height === photograph.heightPx) return null;
  const turned = width === photograph.heightPx && height === photograph.widthPx;
  const why = turned
    ? "It was turned, so its x is not the x of the profile."
    : "Binning, cropping or another resolution changes the pixels per millimetre.";
  return `The profile holds for photographs of ${width} × ${height} px; this one has ${photograph.widthPx} × ${photograph.heightPx} px. ${why}`;
}

/** The scale a photograph keeps when it was taken with a profile's setting. */
export const scaleFromProfile = (profile: ScaleProfile): Scale => ({
  method: "profile",
  profileId: profile.id,
  name: profile.name,
  pxPerMm: profile.pxPerMm,
  ...(profile.pxPerMmY === undefined ? {} : { pxPerMmY: profile.pxPerMmY }),
  calibration: {
    at: profile.calibratedAt,
    dueAt: profile.dueAt,
    commonU: profile.micrometer.relativeU,
    picturePx: profile.picturePx ?? null,
  },
});
