import type { HoleSigns } from "./hole-signs.ts";

/** 0 at `none`, 1 at `full`, evenly between. */
const ramp = (v: number, none: number, full: number): number => Math.min(1, Math.max(0, (v - none) / (full - none)));

/**
 * How much a dark area looks like an open hole, 0–1: the best of three ways a hole can look. Silence is worth more than a
 * guess: a particle in steel or a cone pointing at the lens must not pass for a hole.
 *
 * @source common practice, no source; the limits were set on rendered photographs of propose-dev
 */
export function holeWorth(signs: HoleSigns): number {
  return Math.max(cavity(signs), hollow(signs), socket(signs));
}

/** So deep that no light comes back. */
const cavity = (s: HoleSigns): number =>
  ramp(s.inOverOut, 0.33, 0.18) * ramp(s.edged, 0.6, 0.85) * ramp(s.step, 0.25, 0.45) * ramp(s.overD, 0.1, 0.16);

/** A hollow cone: round, darker toward its middle, of the metal's own colour. A standing cone gets brighter instead. */
const hollow = (s: HoleSigns): number =>
  ramp(s.towardMiddle, 0.88, 0.76) *
  ramp(s.edged, 0.7, 0.88) *
  ramp(s.inOverOut, 0.8, 0.65) *
  ramp(s.hue, 0.14, 0.1) *
  ramp(s.roundness, 0.85, 0.95) *
  ramp(s.overD, 0.2, 0.3) *
  ramp(s.step, 0.15, 0.25);

/** Where a particle has gone: uneven, off the middle, of the metal's own colour. Told from the particle only in coloured metal. */
const socket = (s: HoleSigns): number =>
  ramp(s.chroma, 0.1, 0.16) *
  ramp(s.hue, 0.08, 0.05) *
  ramp(s.inOverOut, 0.68, 0.56) *
  ramp(s.edged, 0.85, 0.95) *
  ramp(s.step, 0.3, 0.42) *
  ramp(s.roundness, 0.985, 0.97) *
  ramp(s.overD, 0.16, 0.22);
