import { blurGrey } from "../pixels/gaussian.ts";
import type { GreyImage } from "../pixels/grey.ts";
import { newGrey, sampleGrey, shrinkGrey } from "../pixels/grey.ts";
import { FLAT_PX, FLAT_RADIUS } from "./flat-face.ts";
import { MatingError } from "./mating-error.ts";

/** Standard deviation of the window over which light is evened out, px. */
const WINDOW_PX = 10;
/** So wide a window sees no less on a copy this many times smaller. */
const SMALLER = 4;
/** Contrast below which there is only noise, grey 0–1. */
const NOISE = 0.012;
/** Share of the radius that is used: the rim itself is alike on every wire. */
export const USED_RADIUS = 0.97;

const wide = (image: GreyImage): GreyImage => blurGrey(shrinkGrey(image, SMALLER), WINDOW_PX / SMALLER);
const wideAt = (image: GreyImage, i: number): number =>
  sampleGrey(image, ((i % FLAT_PX) + 0.5) / SMALLER, (Math.floor(i / FLAT_PX) + 0.5) / SMALLER);

/** 1 inside the wire, 0 outside, soft at the rim. */
export function wireCover(): GreyImage {
  const cover = newGrey(FLAT_PX, FLAT_PX);
  const half = FLAT_PX / 2;
  for (let j = 0; j < FLAT_PX; j++)
    for (let i = 0; i < FLAT_PX; i++) {
      const rho = Math.hypot(i + 0.5 - half, j + 0.5 - half);
      cover.data[j * FLAT_PX + i] = Math.min(1, Math.max(0, (FLAT_RADIUS * USED_RADIUS - rho) / 4 + 0.5));
    }
  return cover;
}

/**
 * Takes the light out of a face: at each place the mean of its neighbourhood is taken off and the rest is divided by
 * its contrast. What is left is where edges, ridges and grains lie, whatever the exposure.
 *
 * @throws MatingError blank.
 */
export function evenFace(flat: GreyImage, cover: GreyImage): GreyImage {
  const size = flat.data.length;
  const weighed = newGrey(FLAT_PX, FLAT_PX);
  for (let i = 0; i < size; i++) weighed.data[i] = flat.data[i]! * cover.data[i]!;
  const under = wide(cover);
  const mean = wide(weighed);
  const off = newGrey(FLAT_PX, FLAT_PX);
  const square = newGrey(FLAT_PX, FLAT_PX);
  let all = 0;
  let area = 0;
  for (let i = 0; i < size; i++) {
    if (cover.data[i]! <= 0) continue;
    const d = (flat.data[i]! - wideAt(mean, i) / wideAt(under, i)) * cover.data[i]!;
    off.data[i] = d;
    square.data[i] = d * d;
    all += d * d;
    area += cover.data[i]!;
  }
  if (Math.sqrt(all / area) < NOISE / 3)
    throw new MatingError(
      "blank",
      "The face shows nothing: it is one even grey.",
      "Photograph the end again with light from the side, in focus.",
    );
  const spread = wide(square);
  for (let i = 0; i < size; i++)
    if (cover.data[i]! > 0) off.data[i] = off.data[i]! / (Math.sqrt(wideAt(spread, i) / wideAt(under, i)) + NOISE);
  return off;
}
