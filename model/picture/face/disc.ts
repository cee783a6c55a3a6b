import type { Geometry } from "../../break/geometry.ts";
import { blurGrey } from "../pixels/gaussian.ts";
import type { GreyImage } from "../pixels/grey.ts";
import { newGrey, sampleGrey, shrinkGrey } from "../pixels/grey.ts";

export type OutlineEllipse = Extract<Geometry, { type: "ellipse" }>;

/** Diameter of the disc, px: fine enough for the texture that survives a phone picture, small enough to be quick. */
export const DISC_PX = 160;
/** Share of the wire radius that counts as face: the outline itself and the fall-off of light there are left out. */
export const FACE_SHARE = 0.94;

/** A fracture face drawn to one size: the wire outline is the circle that touches all four sides. */
export interface FaceDisc {
  /** DISC_PX × DISC_PX, 0–1; outside the outline the values mean nothing. */
  readonly grey: GreyImage;
  /** Distance of each pixel from the centre, in wire radii. */
  readonly radius: Float32Array;
}

/**
 * Draws the face inside an outline to the size of the disc, so that pixels per wire, tilt of the ellipse and place in the
 * picture no longer matter.
 *
 * @param grey – the photograph, upright. @param outline – of the wire, px of the photograph.
 */
export function faceDisc(grey: GreyImage, outline: OutlineEllipse): FaceDisc {
  const { rx, ry } = outline;
  // Means first, points after: a coarse grid over a fine picture would pick up single grains.
  const shrink = Math.max(1, Math.floor((2 * Math.min(rx, ry)) / (2 * DISC_PX)));
  const small = shrinkGrey(grey, shrink);
  const perDiscPx = (2 * Math.sqrt(rx * ry)) / DISC_PX / shrink;
  const smooth = blurGrey(small, 0.5 * perDiscPx);
  const angle = (outline.angle_deg * Math.PI) / 180;
  const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
  const disc = newGrey(DISC_PX, DISC_PX);
  const radius = new Float32Array(DISC_PX * DISC_PX);
  for (let j = 0; j < DISC_PX; j++)
    for (let i = 0; i < DISC_PX; i++) {
      const u = (2 * (i + 0.5)) / DISC_PX - 1;
      const v = (2 * (j + 0.5)) / DISC_PX - 1;
      // Into the frame of the ellipse, stretched, and back: the picture keeps its turn.
      const along = (u * cos + v * sin) * rx;
      const across = (-u * sin + v * cos) * ry;
      const x = outline.cx + along * cos - across * sin;
      const y = outline.cy + along * sin + across * cos;
      const at = j * DISC_PX + i;
      radius[at] = Math.hypot(u, v);
      disc.data[at] = sampleGrey(smooth, x / shrink, y / shrink);
    }
  return { grey: disc, radius };
}

/**
 * Brightness against its neighbourhood: ln(value / mean within about a quarter of the wire radius), means taken inside
 * the face only. Gain, exposure, gamma and slow changes of the light drop out.
 *
 * @returns one value per pixel; 0 outside the face.
 */
export function againstNeighbourhood({ grey, radius }: FaceDisc): Float32Array {
  const inside = newGrey(DISC_PX, DISC_PX);
  const masked = newGrey(DISC_PX, DISC_PX);
  for (let at = 0; at < radius.length; at++) {
    if (radius[at]! > FACE_SHARE) continue;
    inside.data[at] = 1;
    masked.data[at] = grey.data[at]!;
  }
  const sigma = 0.12 * (DISC_PX / 2);
  const mean = blurGrey(masked, sigma).data;
  const weight = blurGrey(inside, sigma).data;
  const out = new Float32Array(radius.length);
  for (let at = 0; at < out.length; at++) {
    if (inside.data[at] === 0) continue;
    const around = mean[at]! / Math.max(1e-6, weight[at]!);
    out[at] = Math.log((grey.data[at]! + DARK) / (around + DARK));
  }
  return out;
}

/** Added to both sides of a ratio, so that noise in black places does not count as texture. */
const DARK = 0.02;
