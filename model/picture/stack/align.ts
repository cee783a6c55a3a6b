import { inverse } from "../../measure/linear-solve.ts";
import { blurGrey } from "../pixels/gaussian.ts";
import type { GreyImage } from "../pixels/grey.ts";
import { shrinkGrey } from "../pixels/grey.ts";
import { PictureError } from "../picture-error.ts";
import type { Placement } from "./placement.ts";
import { AT_HOME, enlarged } from "./placement.ts";

/** Copies of a frame, each half the size of the one before, smoothed so that a change of focus changes them little. */
export type Pyramid = readonly GreyImage[];

const COARSEST_PX = 40;
const FINEST_PX = 1000;
const SMOOTHING_PX = 1.5;
/** Iterations per level; a level ends early when a step moves nothing by more than this, px. */
const ITERATIONS = 12;
const STILL_PX = 0.003;
/** What a stand and a lens do between two neighbouring frames at most. @source common practice, no source */
const MOST_SHIFT = 0.15;
const MOST_SCALE = 0.04;
/** Neighbouring frames of one series that correlate less than this show different places. @source common practice, no source */
const LEAST_CORRELATION = 0.5;

export function pyramidOf(image: GreyImage): Pyramid {
  const longest = Math.max(image.widthPx, image.heightPx);
  let level = blurGrey(shrinkGrey(image, Math.max(1, Math.ceil(longest / FINEST_PX))), SMOOTHING_PX);
  const levels = [level];
  while (Math.min(level.widthPx, level.heightPx) >= 2 * COARSEST_PX) {
    level = blurGrey(shrinkGrey(level, 2), 0.8);
    levels.push(level);
  }
  return levels;
}

export interface Alignment {
  readonly placement: Placement;
  /** Correlation of both pictures once aligned, −1 … 1. */
  readonly correlation: number;
}

/**
 * Lays a frame over another of the same series: shift, change of size and brightness.
 *
 * Least squares of the grey values from coarse to fine, in which the brightness (gain and offset) is solved along, so
 * that a change of exposure moves nothing.
 *
 * @param frame, reference – of pictures of the same size.
 * @returns the placement in px of the pictures the pyramids were made of.
 * @throws PictureError frames-do-not-fit when they do not show the same place.
 * @source B. D. Lucas, T. Kanade, "An iterative image registration technique", IJCAI 1981; brightness solved along as in
 * S. Baker, I. Matthews, "Lucas-Kanade 20 years on", Int. J. Computer Vision 56, 2004; both from memory.
 */
export function align(frame: Pyramid, reference: Pyramid, widthPx: number): Alignment {
  let placement = AT_HOME;
  let correlation = 0;
  for (let k = Math.min(frame.length, reference.length) - 1; k >= 0; k--) {
    const [f, r] = [frame[k]!, reference[k]!];
    const toLevel = r.widthPx / widthPx;
    const found = refine(f, r, enlarged(placement, toLevel));
    placement = enlarged(found.placement, 1 / toLevel);
    correlation = found.correlation;
  }
  const moved = Math.hypot(placement.dx, placement.dy);
  const fits =
    correlation >= LEAST_CORRELATION &&
    moved <= MOST_SHIFT * widthPx &&
    Math.abs(placement.scale - 1) <= MOST_SCALE &&
    placement.gain > 0.2 &&
    placement.gain < 5;
  if (!fits) throw new PictureError("frames-do-not-fit", "Two neighbouring frames do not show the same place.");
  return { placement, correlation };
}

function refine(f: GreyImage, r: GreyImage, start: Placement): Alignment {
  let p = start;
  let correlation = 0;
  for (let i = 0; i < ITERATIONS; i++) {
    const step = oneStep(f, r, p);
    if (step === null) return { placement: p, correlation: 0 };
    correlation = step.correlation;
    p = step.placement;
    if (step.movedPx < STILL_PX) break;
  }
  return { placement: p, correlation };
}

/** One Gauss–Newton step. Unknowns: gain, offset, and gain times the changes of dx, dy and scale. */
function oneStep(
  f: GreyImage,
  r: GreyImage,
  p: Placement,
): { placement: Placement; correlation: number; movedPx: number } | null {
  const { widthPx: w, heightPx: h } = r;
  const [cx, cy] = [w / 2, h / 2];
  const n = 5;
  const normal = new Float64Array(n * n);
  const right = new Float64Array(n);
  const row = new Float64Array(n);
  let count = 0;
  let [sf, sr, sff, srr, sfr] = [0, 0, 0, 0, 0];
  const stride = w * h > 300_000 ? 2 : 1;
  for (let y = 2; y < h - 2; y += stride)
    for (let x = 2; x < w - 2; x += stride) {
      const rx = x + 0.5 - cx;
      const ry = y + 0.5 - cy;
      const u = p.scale * rx + cx + p.dx - 0.5;
      const v = p.scale * ry + cy + p.dy - 0.5;
      const x0 = Math.floor(u);
      const y0 = Math.floor(v);
      if (x0 < 1 || y0 < 1 || x0 > w - 3 || y0 > h - 3) continue;
      const a = u - x0;
      const b = v - y0;
      const at = y0 * w + x0;
      const d = f.data;
      const [v00, v10, v01, v11] = [d[at]!, d[at + 1]!, d[at + w]!, d[at + w + 1]!];
      const value = (v00 * (1 - a) + v10 * a) * (1 - b) + (v01 * (1 - a) + v11 * a) * b;
      const gx =
        ((d[at + 1]! - d[at - 1]!) * (1 - a) + (d[at + 2]! - v00) * a) * 0.5 * (1 - b) +
        ((v11 - d[at + w - 1]!) * (1 - a) + (d[at + w + 2]! - v01) * a) * 0.5 * b;
      const gy =
        ((v01 - d[at - w]!) * (1 - a) + (v11 - d[at - w + 1]!) * a) * 0.5 * (1 - b) +
        ((d[at + 2 * w]! - v00) * (1 - a) + (d[at + 2 * w + 1]! - v10) * a) * 0.5 * b;
      const target = r.data[y * w + x]!;
      row[0] = value;
      row[1] = 1;
      row[2] = gx;
      row[3] = gy;
      // In units of half a picture width, so that all unknowns are of one size.
      row[4] = (gx * rx + gy * ry) / cx;
      for (let i = 0; i < n; i++) {
        right[i]! += row[i]! * target;
        for (let j = i; j < n; j++) normal[i * n + j]! += row[i]! * row[j]!;
      }
      count++;
      sf += value;
      sr += target;
      sff += value * value;
      srr += target * target;
      sfr += value * target;
    }
  if (count < 100) return null;
  const spread = (sff - (sf * sf) / count) * (srr - (sr * sr) / count);
  const correlation = spread > 0 ? (sfr - (sf * sr) / count) / Math.sqrt(spread) : 0;
  const matrix = Array.from({ length: n }, (_, i) =>
    Array.from({ length: n }, (_, j) => normal[Math.min(i, j) * n + Math.max(i, j)]!),
  );
  const inverted = inverse(matrix);
  if (inverted === null) return null;
  const solved = inverted.map((line) => line.reduce((sum, m, j) => sum + m * right[j]!, 0));
  const gain = solved[0]!;
  if (!(gain > 0.05)) return null;
  const limit = 0.1 * w;
  const bounded = (x: number) => Math.max(-limit, Math.min(limit, x / gain));
  const [ddx, ddy, dscale] = [bounded(solved[2]!), bounded(solved[3]!), bounded(solved[4]!) / cx];
  return {
    placement: { scale: p.scale + dscale, dx: p.dx + ddx, dy: p.dy + ddy, gain: 1 / gain },
    correlation,
    movedPx: Math.hypot(ddx, ddy) + Math.abs(dscale) * cx,
  };
}
