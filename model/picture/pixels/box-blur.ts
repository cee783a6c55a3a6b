import type { GreyImage } from "./grey.ts";
import { newGrey } from "./grey.ts";

/**
 * Three running means one after the other: close to a Gaussian blur, at a cost that does not grow with its width. Beyond
 * the edge the edge pixel goes on.
 *
 * All three means have one whole width of 2k + 1 px, so the standard deviation reached is √((2k + 1)² − 1) / 2, up to
 * half a pixel away from the one asked for: for parting areas, not where the exact width matters (see `blurGrey`).
 *
 * @param sigmaPx – standard deviation asked for, at least about 1.
 * @source variance of a running mean, (n² − 1)/12 each; sums of them tend to a Gaussian (central limit theorem)
 */
export function softBlur(image: GreyImage, sigmaPx: number): GreyImage {
  const passes = 3;
  const reach = Math.max(1, Math.round((Math.sqrt((12 * sigmaPx * sigmaPx) / passes + 1) - 1) / 2));
  let out = image;
  for (let pass = 0; pass < passes; pass++) out = along(along(out, reach, true), reach, false);
  return out;
}

function along({ widthPx, heightPx, data }: GreyImage, reach: number, rowWise: boolean): GreyImage {
  const out = newGrey(widthPx, heightPx);
  const length = rowWise ? widthPx : heightPx;
  const lines = rowWise ? heightPx : widthPx;
  const step = rowWise ? 1 : widthPx;
  const share = 1 / (2 * reach + 1);
  for (let line = 0; line < lines; line++) {
    const from = line * (rowWise ? widthPx : 1);
    const last = from + (length - 1) * step;
    let sum = (reach + 1) * data[from]!;
    for (let k = 1; k <= reach; k++) sum += data[Math.min(last, from + k * step)]!;
    for (let i = 0, at = from; i < length; i++, at += step) {
      out.data[at] = sum * share;
      const ahead = i + reach + 1 < length ? at + (reach + 1) * step : last;
      const behind = i - reach > 0 ? at - reach * step : from;
      sum += data[ahead]! - data[behind]!;
    }
  }
  return out;
}
