import { smoothGrain, tenengrad } from "../pixels/focus-measure.ts";
import type { GreyImage } from "../pixels/grey.ts";

/** The Sobel weights of one side add up to 4, over a distance of 2 px. */
const SOBEL_GAIN = 8;

/**
 * Focus number of a live picture: how steep the grey is on average, as a share of the mean brightness.
 *
 * Root mean square slope (Tenengrad) over the mean, after the finest grain is taken off. Twice the light gives the same
 * number, so it can be watched while the lamp is turned; a blurred picture of the same object gives a lower one. It
 * compares focus of one object through one lens; it says nothing across objects.
 *
 * @param centre – full-resolution pixels from the middle of the picture, 0–1.
 * @returns percent of the mean brightness per px; 0 for a black picture.
 * @source E. Krotkov, "Focusing", Int. J. Computer Vision 1, 1987, 223–237 (Tenengrad); from memory.
 *   Division by the mean: common practice, no source.
 */
export function focusNumber(centre: GreyImage): number {
  const { data } = centre;
  const mean = data.reduce((sum, v) => sum + v, 0) / Math.max(1, data.length);
  return mean > 0 ? (100 * Math.sqrt(tenengrad(smoothGrain(centre)))) / SOBEL_GAIN / mean : 0;
}
