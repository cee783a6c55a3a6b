import type { Point } from "../../model/break/geometry.ts";
import type { LightSetup } from "./light.ts";

export type ShotView = "end_on" | "side_0" | "side_90" | "section_long";

/** Where the wire lies in a picture and how it is lit and blurred. All lengths in px of the upright picture. */
export interface Framing {
  readonly width: number;
  readonly height: number;
  /** Picture position of the wire axis at the break plane. */
  readonly cx: number;
  readonly cy: number;
  /** Pixels per wire radius. */
  readonly perRadius: number;
  /** Turn in the picture, degrees clockwise: of the wire's axis in side views and sections, of the end about its axis end-on. */
  readonly turnDeg: number;
  /**
   * Side views turned freely: length of wire of which both edges are in the picture, from the break plane, wire radii.
   * Left out where the wire leaves by the left or the right side.
   */
  readonly tail?: number;
  readonly light: LightSetup;
}

/** Wire coordinates of a side view (x downstream, s up, wire radii) to picture pixels. */
export function placeSide(f: Framing, x: number, s: number): Point {
  const a = (f.turnDeg * Math.PI) / 180;
  const right = x * f.perRadius;
  const down = -s * f.perRadius;
  return [f.cx + right * Math.cos(a) - down * Math.sin(a), f.cy + right * Math.sin(a) + down * Math.cos(a)];
}

/** Cross-section coordinates (y, z, wire radii) to pixels of the end-on picture of one end. */
export function placeEndOn(f: Framing, side: "machine" | "takeUp", y: number, z: number): Point {
  const right = (side === "machine" ? y : -y) * f.perRadius;
  const down = -z * f.perRadius;
  if (f.turnDeg === 0) return [f.cx + right, f.cy + down];
  const a = (f.turnDeg * Math.PI) / 180;
  return [f.cx + right * Math.cos(a) - down * Math.sin(a), f.cy + right * Math.sin(a) + down * Math.cos(a)];
}

/** Direction toward the lens in the y–z plane, degrees: 0° looks from −y, 90° from +z. */
export const towardDeg = (view: ShotView): number => (view === "side_90" ? 90 : 180);
