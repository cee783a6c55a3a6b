import { MeasureError } from "./measure-error.ts";
import type { Uncertain } from "./uncertain.ts";

/** One reading of a stage micrometer through an objective and camera. */
export interface MicrometerReading {
  /** True length between the lines used, mm. */
  readonly lengthMm: number;
  /** The same length in the photograph, px. */
  readonly px: number;
  readonly direction: "x" | "y";
  /** From graduation to graduation in the photograph of the micrometer; left out = typed. */
  readonly line?: readonly [readonly [number, number], readonly [number, number]];
}

/** The stage micrometer itself, by its certificate. */
export interface StageMicrometer {
  readonly number: string;
  /** Standard uncertainty of the length read, relative (0.001 = 0.1 %). */
  readonly relativeU: number;
}

/** Fewest readings that say something about their spread. @source common practice, no source */
export const FEWEST_READINGS = 3;
/** Directions that differ by less than this are taken as one whatever their spread, percent. @source common practice, no source */
export const SAME_WITHIN_PCT = 0.1;

/** The readings of one direction. All in px/mm but the count. */
export interface DirectionReading {
  readonly n: number;
  readonly mean: number;
  /** Standard deviation of one reading; 0 for a single one. */
  readonly s: number;
  /** s/√n. */
  readonly uMean: number;
  /** From the smallest step of a reading, every value in it alike. */
  readonly uResolution: number;
  readonly uMicrometer: number;
  /** The three in quadrature (k = 1). */
  readonly u: number;
}

export interface ProfileReading {
  /** Along x where x and y are kept apart, else of all readings. */
  readonly pxPerMm: Uncertain;
  /** Along y; null where both directions are one. */
  readonly pxPerMmY: Uncertain | null;
  readonly x: DirectionReading | null;
  readonly y: DirectionReading | null;
  /** All readings together. */
  readonly all: DirectionReading;
  /** Relative difference between the x and y readings, percent; null when only one direction was read. */
  readonly xyDifferencePct: number | null;
  /** Plain sentence when x and y differ by more than two standard uncertainties. */
  readonly warning: string | null;
}

/**
 * Mean of the readings of a stage micrometer with its standard uncertainty, x and y judged against each other.
 *
 * Spread of the mean (s/√n), step of a reading (rectangular) and the micrometer's certificate, in quadrature. The
 * micrometer is common to both directions and says nothing about their difference. Where they differ by more than two
 * standard uncertainties, and by more than 0.1 %, both values are kept and used; else all readings make one.
 *
 * @param resolutionPx – smallest step of one reading, px; 0 when it is far below the spread.
 * @throws MeasureError `too-few` below three readings; `not-a-number` when a reading is not positive.
 * @source JCGM 100:2008, 4.2.3 (s/√n), F.2.2.1 (resolution, 0.29 of a step) and 5.1.2 (combining); from memory.
 * @source ASTM E1951-14, 1.2 (traceable stage micrometer); E1951-02 (2007), 5.1.1 (engraved magnifications are only approximate)
 *   and 5.2.1 (photograph the stage micrometer with the same set-up)
 */
export function readProfile(
  readings: readonly MicrometerReading[],
  micrometer: StageMicrometer,
  resolutionPx = 0,
): ProfileReading {
  if (readings.length < FEWEST_READINGS)
    throw new MeasureError("too-few", `Read the stage micrometer at least ${FEWEST_READINGS} times.`);
  if (!readings.every((r) => r.lengthMm > 0 && r.px > 0 && Number.isFinite(r.px / r.lengthMm)))
    throw new MeasureError("not-a-number", "Every reading needs a length in mm and in pixels, both above zero.");
  const of = (list: readonly MicrometerReading[]) => directionReading(list, micrometer, resolutionPx);
  const all = of(readings);
  const [inX, inY] = (["x", "y"] as const).map((d) => readings.filter((r) => r.direction === d));
  const x = inX && inX.length > 0 ? of(inX) : null;
  const y = inY && inY.length > 0 ? of(inY) : null;
  const one: ProfileReading = {
    pxPerMm: { value: all.mean, u: all.u },
    pxPerMmY: null,
    x,
    y,
    all,
    xyDifferencePct: null,
    warning: null,
  };
  if (x === null || y === null) return one;
  const xyDifferencePct = (100 * (y.mean - x.mean)) / x.mean;
  const spread = Math.hypot(x.uMean, x.uResolution, y.uMean, y.uResolution);
  const apart = x.n > 1 && y.n > 1 && Math.abs(y.mean - x.mean) > 2 * spread;
  if (!apart || Math.abs(xyDifferencePct) <= SAME_WITHIN_PCT) return { ...one, xyDifferencePct };
  return {
    ...one,
    pxPerMm: { value: x.mean, u: x.u },
    pxPerMmY: { value: y.mean, u: y.u },
    xyDifferencePct,
    warning:
      `The x and y readings differ by ${Math.abs(xyDifferencePct).toFixed(2)} %, more than their uncertainty. ` +
      "Check that the camera sits square; both values are kept, and every length uses its own direction.",
  };
}

function directionReading(
  readings: readonly MicrometerReading[],
  micrometer: StageMicrometer,
  resolutionPx: number,
): DirectionReading {
  const values = readings.map((r) => r.px / r.lengthMm);
  const n = values.length;
  const mean = values.reduce((sum, v) => sum + v, 0) / n;
  const s = n === 1 ? 0 : Math.sqrt(values.reduce((sum, v) => sum + (v - mean) ** 2, 0) / (n - 1));
  const uMean = s / Math.sqrt(n);
  const meanLengthMm = readings.reduce((sum, r) => sum + r.lengthMm, 0) / n;
  const uResolution = resolutionPx / Math.sqrt(12) / meanLengthMm;
  const uMicrometer = mean * micrometer.relativeU;
  return { n, mean, s, uMean, uResolution, uMicrometer, u: Math.hypot(uMean, uResolution, uMicrometer) };
}
