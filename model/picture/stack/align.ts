import { inverse } from "../../measure/linear-solve.ts";
import { blurGrey } from "../pixels/gaussian.ts";
import type { GreyImage } from "../pixels/grey.ts";
import { newGrey, shrinkGrey } from "../pixels/grey.ts";
import { PictureError } from "../picture-error.ts";
import type { Placement } from "./placement.ts";
import { AT_HOME, enlarged } from "./placement.ts";

/**
 * Copies of a frame, each half the size of the one before, as texture of even strength: what is finer than a few
 * pixels over its own spread around. Brightness and its steps are gone from it, because a bright edge grows when it
 * is out of focus and would pass for a change of magnification.
 */
export interface Pyramid {
  readonly levels: readonly GreyImage[];
  /** Mean grey value of the frame. */
  readonly brightness: number;
}

const COARSEST_PX = 40;
const FINEST_PX = 720;
const SMOOTHING_PX = 1;
/** Half width of the square over which texture is evened out, px of a level. */
const AROUND_PX = 6;
/** Texture weaker than this (grey value 0–1) is left weak: it is noise. */
const NOISE = 0.008;
/** Spread of a level below which it holds no texture to lay anything over. */
const LEAST_TEXTURE = 0.25;
/** Iterations per level; a level ends early when a step moves nothing by more than this, px. */
const ITERATIONS = 12;
const STILL_PX = 0.003;
/** What a stand and a lens do between two neighbouring frames at most. @source common practice, no source */
const MOST_SHIFT = 0.15;
const MOST_SCALE = 0.04;
/** Neighbouring frames of one series that correlate less than this show different places. @source common practice, no source */
const LEAST_CORRELATION = 0.2;

export function pyramidOf(image: GreyImage): Pyramid {
  const longest = Math.max(image.widthPx, image.heightPx);
  let level = shrinkGrey(image, Math.max(1, Math.ceil(longest / FINEST_PX)));
  let sum = 0;
  for (const v of level.data) sum += v;
  const brightness = sum / level.data.length;
  const levels = [evenTexture(level)];
  while (Math.min(level.widthPx, level.heightPx) >= 2 * COARSEST_PX) {
    level = shrinkGrey(level, 2);
    levels.push(evenTexture(level));
  }
  return { levels, brightness };
}

function evenTexture(image: GreyImage): GreyImage {
  // Near to linear light, in which a blurred edge stays where it is.
  const light = { ...image, data: image.data.map((v) => v * v) };
  const soft = blurGrey(light, SMOOTHING_PX);
  const around = squareMean(soft, AROUND_PX);
  const fine = newGrey(image.widthPx, image.heightPx);
  const squares = newGrey(image.widthPx, image.heightPx);
  for (let i = 0; i < fine.data.length; i++) {
    const d = soft.data[i]! - around.data[i]!;
    fine.data[i] = d;
    squares.data[i] = d * d;
  }
  const spread = squareMean(squares, AROUND_PX);
  for (let i = 0; i < fine.data.length; i++) fine.data[i]! /= Math.sqrt(Math.max(0, spread.data[i]!)) + NOISE;
  return fine;
}

/** Mean over a square round each pixel, cut off at the edges. */
function squareMean({ widthPx: w, heightPx: h, data }: GreyImage, reach: number): GreyImage {
  const across = new Float32Array(data.length);
  for (let y = 0; y < h; y++) {
    const row = y * w;
    let sum = 0;
    for (let x = 0; x < Math.min(w, reach); x++) sum += data[row + x]!;
    for (let x = 0; x < w; x++) {
      if (x + reach < w) sum += data[row + x + reach]!;
      if (x - reach - 1 >= 0) sum -= data[row + x - reach - 1]!;
      across[row + x] = sum / (Math.min(w - 1, x + reach) - Math.max(0, x - reach) + 1);
    }
  }
  const out = newGrey(w, h);
  const sums = new Float64Array(w);
  const add = (y: number, sign: 1 | -1) => {
    for (let x = 0; x < w; x++) sums[x]! += sign * across[y * w + x]!;
  };
  for (let y = 0; y < Math.min(h, reach); y++) add(y, 1);
  for (let y = 0; y < h; y++) {
    if (y + reach < h) add(y + reach, 1);
    if (y - reach - 1 >= 0) add(y - reach - 1, -1);
    const rows = Math.min(h - 1, y + reach) - Math.max(0, y - reach) + 1;
    for (let x = 0; x < w; x++) out.data[y * w + x] = sums[x]! / rows;
  }
  return out;
}

export interface Alignment {
  readonly placement: Placement;
  /** Correlation of both pictures once aligned, −1 … 1. */
  readonly correlation: number;
}

/**
 * Lays a frame over another of the same series: shift and change of size, by least squares of their texture from
 * coarse to fine.
 *
 * @param frame, reference – of pictures of the same size.
 * @param widthPx – of the pictures the pyramids were made of.
 * @returns the placement in px of those pictures; its gain is the ratio of their mean brightness. A frame without any
 * texture is left where it is.
 * @throws PictureError frames-do-not-fit when they do not show the same place.
 * @source B. D. Lucas, T. Kanade, "An iterative image registration technique", IJCAI 1981; from memory.
 */
export function align(frame: Pyramid, reference: Pyramid, widthPx: number): Alignment {
  const gain = reference.brightness > 0 ? frame.brightness / reference.brightness : 1;
  let placement: Placement = { ...AT_HOME, gain };
  let correlation = 0;
  let textured = false;
  for (let k = Math.min(frame.levels.length, reference.levels.length) - 1; k >= 0; k--) {
    const [f, r] = [frame.levels[k]!, reference.levels[k]!];
    if (spreadOf(f) < LEAST_TEXTURE || spreadOf(r) < LEAST_TEXTURE) continue;
    textured = true;
    const toLevel = r.widthPx / widthPx;
    const found = refine(f, r, enlarged(placement, toLevel));
    placement = enlarged(found.placement, 1 / toLevel);
    correlation = found.correlation;
  }
  if (!textured) return { placement, correlation: 1 };
  const moved = Math.hypot(placement.dx, placement.dy);
  const fits =
    correlation >= LEAST_CORRELATION &&
    moved <= MOST_SHIFT * widthPx &&
    Math.abs(placement.scale - 1) <= MOST_SCALE &&
    gain > 0.2 &&
    gain < 5;
  if (!fits) throw new PictureError("frames-do-not-fit", "Two neighbouring frames do not show the same place.");
  return { placement, correlation };
}

function spreadOf({ data }: GreyImage): number {
  let squares = 0;
  for (const v of data) squares += v * v;
  return Math.sqrt(squares / data.length);
}

function refine(f: GreyImage, r: GreyImage, start: Placement): Alignment {
  let p = start;
  let correlation = 0;
  for (let i = 0; i < ITERATIONS; i++) {
    const step = oneStep(f, r, p);
    if (step === null) return { placement: p, correlation };
    correlation = step.correlation;
    p = step.placement;
    if (step.movedPx < STILL_PX) break;
  }
  return { placement: p, correlation };
}

interface Step extends Alignment {
  readonly movedPx: number;
}

/** One Gauss–Newton step for dx, dy and scale; null where the texture holds none of them. */
function oneStep(f: GreyImage, r: GreyImage, p: Placement): Step | null {
  const { widthPx: w, heightPx: h } = r;
  const [cx, cy] = [w / 2, h / 2];
  const d = f.data;
  let count = 0;
  let [sff, srr, sfr] = [0, 0, 0];
  let [xx, xy, xs, yy, ys, ss, tx, ty, ts] = [0, 0, 0, 0, 0, 0, 0, 0, 0];
  const stride = w * h > 150_000 ? 2 : 1;
  for (let y = 2; y < h - 2; y += stride) {
    const ry = y + 0.5 - cy;
    const v = p.scale * ry + cy + p.dy - 0.5;
    const y0 = Math.floor(v);
    if (y0 < 1 || y0 > h - 3) continue;
    const b = v - y0;
    for (let x = 2; x < w - 2; x += stride) {
      const rx = x + 0.5 - cx;
      const u = p.scale * rx + cx + p.dx - 0.5;
      const x0 = Math.floor(u);
      if (x0 < 1 || x0 > w - 3) continue;
      const a = u - x0;
      const at = y0 * w + x0;
      const v00 = d[at]!;
      const v10 = d[at + 1]!;
      const v01 = d[at + w]!;
      const v11 = d[at + w + 1]!;
      const value = (v00 * (1 - a) + v10 * a) * (1 - b) + (v01 * (1 - a) + v11 * a) * b;
      const gx =
        ((v10 - d[at - 1]!) * (1 - a) + (d[at + 2]! - v00) * a) * 0.5 * (1 - b) +
        ((v11 - d[at + w - 1]!) * (1 - a) + (d[at + w + 2]! - v01) * a) * 0.5 * b;
      const gy =
        ((v01 - d[at - w]!) * (1 - b) + (d[at + 2 * w]! - v00) * b) * 0.5 * (1 - a) +
        ((v11 - d[at - w + 1]!) * (1 - b) + (d[at + 2 * w + 1]! - v10) * b) * 0.5 * a;
      const target = r.data[y * w + x]!;
      const off = target - value;
      // In units of half a picture width, so that all unknowns are of one size.
      const gs = (gx * rx + gy * ry) / cx;
      xx += gx * gx;
      xy += gx * gy;
      xs += gx * gs;
      yy += gy * gy;
      ys += gy * gs;
      ss += gs * gs;
      tx += gx * off;
      ty += gy * off;
      ts += gs * off;
      sff += value * value;
      srr += target * target;
      sfr += value * target;
      count++;
    }
  }
  if (count < 100 || !(sff > 0) || !(srr > 0)) return null;
  const inverted = inverse([
    [xx, xy, xs],
    [xy, yy, ys],
    [xs, ys, ss],
  ]);
  if (inverted === null) return null;
  const limit = 0.08 * w;
  const [ddx = 0, ddy = 0, dsize = 0] = inverted.map(([a = 0, b = 0, c = 0]) =>
    Math.max(-limit, Math.min(limit, a * tx + b * ty + c * ts)),
  );
  return {
    placement: { ...p, scale: p.scale + dsize / cx, dx: p.dx + ddx, dy: p.dy + ddy },
    correlation: sfr / Math.sqrt(sff * srr),
    movedPx: Math.hypot(ddx, ddy) + Math.abs(dsize),
  };
}
