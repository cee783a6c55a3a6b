import type { GreyImage } from "./grey.ts";
import { newGrey } from "./grey.ts";

/** Weights of a Gaussian, summing to 1, cut off at four standard deviations. */
export function gaussianWeights(sigmaPx: number): Float64Array {
  const reach = Math.max(1, Math.ceil(4 * sigmaPx));
  const weights = Float64Array.from({ length: 2 * reach + 1 }, (_, i) =>
    Math.exp(-((i - reach) ** 2) / (2 * sigmaPx ** 2)),
  );
  const sum = weights.reduce((a, b) => a + b, 0);
  return weights.map((w) => w / sum);
}

/**
 * Gaussian blur; beyond the edge the edge pixel goes on.
 *
 * @param sigmaPx – standard deviation; 0 gives the picture itself.
 */
export function blurGrey(image: GreyImage, sigmaPx: number): GreyImage {
  if (sigmaPx <= 0) return image;
  const weights = gaussianWeights(sigmaPx);
  return along(along(image, weights, true), weights, false);
}

function along(image: GreyImage, weights: Float64Array, rowWise: boolean): GreyImage {
  const { widthPx, heightPx, data } = image;
  const out = newGrey(widthPx, heightPx);
  const reach = (weights.length - 1) / 2;
  const length = rowWise ? widthPx : heightPx;
  const lines = rowWise ? heightPx : widthPx;
  const step = rowWise ? 1 : widthPx;
  const next = rowWise ? widthPx : 1;
  for (let line = 0; line < lines; line++) {
    const from = line * next;
    for (let i = 0; i < length; i++) {
      let sum = 0;
      for (let k = -reach; k <= reach; k++) {
        const at = Math.min(length - 1, Math.max(0, i + k));
        sum += weights[k + reach]! * data[from + at * step]!;
      }
      out.data[from + i * step] = sum;
    }
  }
  return out;
}
