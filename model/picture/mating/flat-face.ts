import type { GreyImage, Raster } from "../pixels/grey.ts";
import { greyOf, newGrey, sampleGrey, shrinkGrey } from "../pixels/grey.ts";
import { MatingError } from "./mating-error.ts";

/** Outline of the wire in an end-on photograph, px of the raster it comes with. */
export interface FaceOutline {
  readonly cx: number;
  readonly cy: number;
  readonly rx: number;
  readonly ry: number;
  /** Angle of the rx axis, from +x toward +y, degrees. */
  readonly angle_deg: number;
}

/** An end-on photograph and where the wire lies in it. */
export interface FacePicture {
  readonly raster: Raster;
  readonly outline: FaceOutline;
}

/** Side of the square both faces are laid out on, px. */
export const FLAT_PX = 256;
/** Radius of the wire on that square, px. */
export const FLAT_RADIUS = 112;
/** Fewest pixels across the wire from which texture can be told from noise. */
export const FEWEST_PX_ACROSS = 96;

/**
 * Lays a face out on a square: the outline, round, oval or seen at a slant, becomes a circle of `FLAT_RADIUS` round the
 * middle.
 *
 * @param mirrored – left and right change places, because the two faces of one break look at each other.
 * @returns grey 0–1.
 * @throws MatingError too-small, outside.
 */
export function flatFace({ raster, outline }: FacePicture, mirrored: boolean): GreyImage {
  const { cx, cy, rx, ry } = outline;
  if (![cx, cy, rx, ry].every(Number.isFinite) || Math.min(rx, ry) <= 0)
    throw new MatingError("no-outline", "The outline of the wire is not an ellipse.", "Draw the outline again.");
  if (2 * Math.min(rx, ry) < FEWEST_PX_ACROSS)
    throw new MatingError(
      "too-small",
      `The wire is only ${Math.round(2 * Math.min(rx, ry))} px across; ${FEWEST_PX_ACROSS} px are needed.`,
      "Take the photograph at a higher magnification.",
    );
  if (cx < 0 || cy < 0 || cx > raster.widthPx || cy > raster.heightPx)
    throw new MatingError(
      "outside",
      "The middle of the outline lies outside the photograph.",
      "Draw the outline on this photograph again.",
    );
  const mean = Math.sqrt(rx * ry);
  // Means over whole pixels first, so that fine texture does not fold over into coarse.
  const by = Math.max(1, Math.floor(mean / FLAT_RADIUS));
  const grey = shrinkGrey(greyOf(raster), by);
  const turn = (outline.angle_deg * Math.PI) / 180;
  const cos = Math.cos(turn);
  const sin = Math.sin(turn);
  const flat = newGrey(FLAT_PX, FLAT_PX);
  const half = FLAT_PX / 2;
  for (let j = 0; j < FLAT_PX; j++)
    for (let i = 0; i < FLAT_PX; i++) {
      const x = ((mirrored ? -1 : 1) * (i + 0.5 - half)) / FLAT_RADIUS;
      const y = (j + 0.5 - half) / FLAT_RADIUS;
      const u = (x * cos + y * sin) * rx;
      const v = (y * cos - x * sin) * ry;
      flat.data[j * FLAT_PX + i] = sampleGrey(grey, (cx + u * cos - v * sin) / by, (cy + u * sin + v * cos) / by);
    }
  return flat;
}
