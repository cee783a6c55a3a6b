import { roundTogether } from "../../../model/measure/format.ts";
import type { Calibration } from "../../../model/measure/profile.ts";
import { readableTime } from "../clock.ts";

const one = ({ value, u }: Calibration["pxPerMm"]) => {
  const rounded = roundTogether(value, u);
  return `${rounded.value} px/mm, u = ${rounded.uncertainty} px/mm`;
};

/** What a calibration found, x and y apart where they differ. */
export const calibrationWords = ({ pxPerMm, pxPerMmY }: Calibration): string =>
  pxPerMmY === undefined ? one(pxPerMm) : `across ${one(pxPerMm)}; upright ${one(pxPerMmY)}`;

/** Who read it, when, with which micrometer, for which photographs. */
export function readWords({ readings, by, calibratedAt, micrometer, picturePx, photograph }: Calibration): string {
  return [
    `${readings.length} readings by ${by} on ${readableTime(calibratedAt)}`,
    micrometer.number === "" ? "" : `micrometer ${micrometer.number}`,
    picturePx === undefined ? "" : `photographs of ${picturePx[0]} × ${picturePx[1]} px`,
    photograph === undefined ? "" : `drawn on ${photograph.fileName}`,
  ]
    .filter((part) => part !== "")
    .join(", ");
}
