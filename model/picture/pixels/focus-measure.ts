import type { GreyImage } from "./grey.ts";
import { newGrey } from "./grey.ts";

/**
 * Takes off the finest grain before a focus measure looks at the picture: without it the noise of the camera counts
 * as sharpness. A binomial of five taps each way, close to a Gaussian of 1 px; beyond the edge the edge pixel goes on.
 */
export function smoothGrain({ widthPx, heightPx, data }: GreyImage): GreyImage {
  const across = new Float32Array(data.length);
  const last = widthPx - 1;
  for (let y = 0; y < heightPx; y++) {
    const row = y * widthPx;
    for (let x = 0; x < widthPx; x++) {
      const l1 = x > 0 ? x - 1 : 0;
      const l2 = x > 1 ? x - 2 : 0;
      const r1 = x < last ? x + 1 : last;
      const r2 = x + 1 < last ? x + 2 : last;
      across[row + x] =
        (data[row + l2]! + data[row + r2]! + 4 * (data[row + l1]! + data[row + r1]!) + 6 * data[row + x]!) / 16;
    }
  }
  const out = newGrey(widthPx, heightPx);
  const lowest = heightPx - 1;
  for (let y = 0; y < heightPx; y++) {
    const u1 = Math.max(0, y - 1) * widthPx;
    const u2 = Math.max(0, y - 2) * widthPx;
    const d1 = Math.min(lowest, y + 1) * widthPx;
    const d2 = Math.min(lowest, y + 2) * widthPx;
    const row = y * widthPx;
    for (let x = 0; x < widthPx; x++)
      out.data[row + x] =
        (across[u2 + x]! + across[d2 + x]! + 4 * (across[u1 + x]! + across[d1 + x]!) + 6 * across[row + x]!) / 16;
  }
  return out;
}

/**
 * Modified Laplacian of every pixel: both second differences without their signs, so that they cannot cancel.
 *
 * @returns |2 I(x,y) − I(x−1,y) − I(x+1,y)| + |2 I(x,y) − I(x,y−1) − I(x,y+1)|, same size; beyond the edge the edge
 * pixel goes on.
 * @source S. K. Nayar, Y. Nakagawa, "Shape from focus", IEEE Trans. PAMI 16(8), 1994, 824–831; from memory.
 */
export function modifiedLaplacian({ widthPx, heightPx, data }: GreyImage): GreyImage {
  const out = newGrey(widthPx, heightPx);
  const last = widthPx - 1;
  for (let y = 0; y < heightPx; y++) {
    const row = y * widthPx;
    const up = Math.max(0, y - 1) * widthPx;
    const down = Math.min(heightPx - 1, y + 1) * widthPx;
    for (let x = 0; x < widthPx; x++) {
      const twice = 2 * data[row + x]!;
      const across = twice - data[row + (x > 0 ? x - 1 : 0)]! - data[row + (x < last ? x + 1 : last)]!;
      const along = twice - data[up + x]! - data[down + x]!;
      out.data[row + x] = (across < 0 ? -across : across) + (along < 0 ? -along : along);
    }
  }
  return out;
}

/** Inner pixels only: the differences of the outermost ones look beyond the picture. */
function meanInside({ widthPx, heightPx, data }: GreyImage, of: (i: number) => number): number {
  let sum = 0;
  for (let y = 1; y < heightPx - 1; y++) for (let x = 1; x < widthPx - 1; x++) sum += of(y * widthPx + x);
  const count = Math.max(1, (widthPx - 2) * (heightPx - 2));
  return data.length === 0 ? 0 : sum / count;
}

/**
 * Sharpness of a whole picture as the variance of its Laplacian (four neighbours).
 *
 * @returns in squared grey steps of 0–1; inner pixels only.
 * @source J. L. Pech-Pacheco et al., "Diatom autofocusing in brightfield microscopy: a comparative study", ICPR 2000; from memory.
 */
export function laplacianVariance(image: GreyImage): number {
  const { widthPx: w, data } = image;
  const at = (i: number) => data[i - 1]! + data[i + 1]! + data[i - w]! + data[i + w]! - 4 * data[i]!;
  const mean = meanInside(image, at);
  return meanInside(image, (i) => (at(i) - mean) ** 2);
}

/**
 * Sharpness of a whole picture as the mean squared gradient (Sobel), without a threshold.
 *
 * @returns in squared grey steps of 0–1 (weights 1, 2, 1 not divided); inner pixels only.
 * @source E. Krotkov, "Focusing", Int. J. Computer Vision 1, 1987, 223–237 (Tenengrad); from memory.
 */
export function tenengrad(image: GreyImage): number {
  const { widthPx: w, data } = image;
  return meanInside(image, (i) => {
    const right = data[i + 1 - w]! + 2 * data[i + 1]! + data[i + 1 + w]!;
    const left = data[i - 1 - w]! + 2 * data[i - 1]! + data[i - 1 + w]!;
    const low = data[i + w - 1]! + 2 * data[i + w]! + data[i + w + 1]!;
    const high = data[i - w - 1]! + 2 * data[i - w]! + data[i - w + 1]!;
    return (right - left) ** 2 + (low - high) ** 2;
  });
}

/** Sharpness of a whole picture as the mean of its modified Laplacian; inner pixels only. */
export function meanModifiedLaplacian(image: GreyImage): number {
  const { data } = modifiedLaplacian(image);
  return meanInside(image, (i) => data[i]!);
}
