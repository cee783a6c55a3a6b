const tan = (deg: number): number => Math.tan((deg * Math.PI) / 180);
const atanDeg = (t: number): number => (Math.atan(t) * 180) / Math.PI;

/**
 * Length along the wire after drawing from one diameter to another: the volume stays.
 *
 * Holds for the pitch of bursts and for the depth of a cup. A void that opens in the pass lengthens the wire further.
 *
 * @source this-study
 */
export const lengthAfter = (length: number, from: number, to: number): number => length * (from / to) ** 2;

/** Radius of a void after drawing from one diameter to another: it shrinks with the wire. @source this-study */
export const radiusAfter = (radius: number, from: number, to: number): number => (radius * to) / from;

/** Flank angle to the axis, degrees, after drawing: its tangent shrinks with the cube of the diameter. @source this-study */
export const flankAfter = (flankDeg: number, from: number, to: number): number =>
  atanDeg(tan(flankDeg) * (to / from) ** 3);

/** Volume of wire per burst, mm³; it stays through all later passes. @source this-study */
export const volumePerBurst = (pitchMm: number, dMm: number): number => (Math.PI / 4) * dMm ** 2 * pitchMm;

/** Diameter at birth from the pitch at the break and the ratio pitch/diameter at birth. @source this-study */
export const birthDiameterOfPitch = (pitchMm: number, dMm: number, ratioAtBirth: number): number =>
  ((pitchMm * dMm ** 2) / ratioAtBirth) ** (1 / 3);

/** Diameter at birth from the flank angle at the break and at birth, degrees to the axis. @source this-study */
export const birthDiameterOfFlank = (flankDeg: number, dMm: number, flankAtBirthDeg: number): number =>
  dMm * (tan(flankAtBirthDeg) / tan(flankDeg)) ** (1 / 3);

/** Pitch over diameter that bursts of this pitch had where the wire had another diameter. @source this-study */
export const pitchRatioAt = (pitchMm: number, dMm: number, earlierMm: number): number =>
  lengthAfter(pitchMm, dMm, earlierMm) / earlierMm;

/** Ratio of pitch to diameter taken as plausible at birth: unloading reaches about one diameter. @source this-study, assumption */
export const PLAUSIBLE_PITCH_RATIO = [0.5, 2] as const;

/**
 * Dies at which a pitch measured at the break would have been plausible, counted from 1.
 *
 * @param exitsMm - exit diameters in drawing order
 * @source this-study
 */
export function diesOfPitch(pitchMm: number, dMm: number, exitsMm: readonly number[]): readonly number[] {
  const [least, most] = PLAUSIBLE_PITCH_RATIO;
  return exitsMm.flatMap((exit, i) => {
    const ratio = pitchRatioAt(pitchMm, dMm, exit);
    return ratio >= least && ratio <= most ? [i + 1] : [];
  });
}
