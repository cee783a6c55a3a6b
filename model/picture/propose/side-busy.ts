import type { GreyImage } from "../pixels/grey.ts";
import { newGrey } from "../pixels/grey.ts";
import type { SidePlanes } from "./side-planes.ts";

/** Soft changes are measured over this many pixels to either side. */
const SOFT_REACH = 9;
/** What a soft change explains of a sharp one: its mean slope over that reach, and a little more. */
const SOFT_SHARE = 1.2 / SOFT_REACH;
/** Side of the squares in which the quietness of the card is judged, px. */
const BLOCK = 12;
/** Share of the squares taken to be bare card. */
const QUIET_SHARE = 0.3;
/** Steps smaller than this are nothing even on a picture without noise. */
export const LEAST_NOISE = 0.0006;
/** The same for warmth, which JPEG keeps coarsely: its blocks carry a strong colour edge some pixels too far. */
const LEAST_WARM_NOISE = 0.004;

/**
 * How sharply the picture changes at each pixel, in units of what it does on bare card. Edges and the texture of metal
 * count; a cast shadow, vignetting and clouds on the ground are soft and do not, nor does noise.
 *
 * @returns same size as the smaller copy; about 1 on bare card.
 */
export function busyness({ smallLuma, smallWarmth }: SidePlanes): GreyImage {
  const out = sharpChange(smallLuma, LEAST_NOISE);
  const warm = sharpChange(smallWarmth, LEAST_WARM_NOISE);
  for (let i = 0; i < out.data.length; i++) out.data[i] = Math.max(out.data[i]!, warm.data[i]!);
  return out;
}

function sharpChange({ widthPx: w, heightPx: h, data }: GreyImage, leastNoise: number): GreyImage {
  const out = newGrey(w, h);
  const far = SOFT_REACH;
  for (let y = 1; y < h - 1; y++) {
    const up = Math.max(0, y - far);
    const down = Math.min(h - 1, y + far);
    for (let x = 1; x < w - 1; x++) {
      const at = y * w + x;
      const here = data[at]!;
      const gx = (data[at + 1]! - data[at - 1]!) / 2;
      const gy = (data[at + w]! - data[at - w]!) / 2;
      // Either side by itself: right beside an edge the change across it may cancel that of the shadow.
      const left = Math.abs(here - data[y * w + Math.max(0, x - far)]!);
      const right = Math.abs(here - data[y * w + Math.min(w - 1, x + far)]!);
      const above = Math.abs(here - data[up * w + x]!);
      const below = Math.abs(here - data[down * w + x]!);
      const sx = left > right ? left : right;
      const sy = above > below ? above : below;
      out.data[at] = Math.max(0, Math.sqrt(gx * gx + gy * gy) - SOFT_SHARE * Math.sqrt(sx * sx + sy * sy));
    }
  }
  const unit = Math.max(leastNoise, quietLevel(out));
  for (let i = 0; i < out.data.length; i++) out.data[i]! /= unit;
  return out;
}

/** Root mean square over the quietest squares. */
function quietLevel({ widthPx: w, heightPx: h, data }: GreyImage): number {
  const levels: number[] = [];
  for (let y = 1; y + BLOCK < h; y += BLOCK)
    for (let x = 1; x + BLOCK < w; x += BLOCK) {
      let sum = 0;
      for (let j = 0; j < BLOCK; j++) for (let i = 0; i < BLOCK; i++) sum += data[(y + j) * w + x + i]! ** 2;
      levels.push(Math.sqrt(sum / BLOCK ** 2));
    }
  levels.sort((a, b) => a - b);
  return levels[Math.floor(levels.length * QUIET_SHARE)] ?? 0;
}
