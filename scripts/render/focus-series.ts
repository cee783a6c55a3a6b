import { gaussianWeights } from "../../model/picture/pixels/gaussian.ts";
import { drawBackground } from "./background.ts";
import { Body } from "./body.ts";
import type { BodySpec } from "./body.ts";
import type { Pixels } from "./develop.ts";
import { develop } from "./develop.ts";
import { renderEndOn } from "./end-on.ts";
import type { Side } from "./end-surface.ts";
import { buildEnds, OUTSIDE } from "./end-surface.ts";
import type { Face } from "./face/face.ts";
import type { Layer } from "./layer.ts";
import { newLayer } from "./layer.ts";
import { RING, turned } from "./light-setups.ts";
import type { Metal } from "./metal.ts";
import { METALS } from "./metal.ts";
import { clamp, randomStream } from "./noise.ts";
import { lookAround } from "./occlusion.ts";

export interface FocusSeriesLook {
  readonly seed: number;
  readonly metal: Metal["name"];
  readonly wireMm: number;
  readonly face: Face;
  readonly body?: BodySpec;
  readonly side?: Side;
}

export interface FocusSeriesSetup {
  /** 1 = 2400 × 1800 px. */
  readonly scale: number;
  readonly frames: number;
  readonly stepUm: number;
  /** Height in focus in the first frame, µm over the break plane. */
  readonly firstUm: number;
  /** Blur (standard deviation) per distance from focus, both on the specimen: about half the numerical aperture. */
  readonly blurPerUm: number;
  /** Sensor noise, 1.15 as in the photographs of the demo mill. */
  readonly noise: number;
  /** How far the picture wanders from frame to frame, px (standard deviation). */
  readonly wanderPx: number;
  /** Change of magnification from one frame to the next, such as 0.0005. */
  readonly breathing: number;
  /** Change of exposure from frame to frame, share (standard deviation). */
  readonly flicker: number;
}

export interface RenderedSeries {
  /** From the nearest to the farthest focus. */
  readonly frames: readonly Pixels[];
  /** True height of what each pixel of the reference frame shows, µm; NaN where there is no wire. */
  readonly truthUm: Float32Array;
  readonly pxPerMm: number;
  /** Middle of the wire, px. */
  readonly centre: readonly [number, number];
}

/** A series of end-on photographs of one end, each in focus at another height. The same look and setup give the same bytes. */
export function renderFocusSeries(look: FocusSeriesLook, setup: FocusSeriesSetup): RenderedSeries {
  const { scale } = setup;
  const width = Math.round(2400 * scale);
  const height = Math.round(1800 * scale);
  const perRadius = (height * 0.76) / 2;
  const body = new Body(look.body ?? { neck: 0.97, neckLength: 0.7 });
  const side = look.side ?? "machine";
  const surface = buildEnds(look.face, undefined, body, METALS[look.metal], perRadius, look.seed)[side];
  const next = randomStream(look.seed * 17 + 5);
  const normal = () => (next() + next() + next() - 1.5) * 2;
  const frame = {
    width,
    height,
    cx: Math.round(width / 2),
    cy: Math.round(height / 2),
    perRadius,
    turnDeg: 0,
    light: turned(RING, 30 * next()),
  };
  const sharp = renderEndOn(surface, lookAround(surface, 420), body, frame, 0);
  const umPerRadius = (look.wireMm / 2) * 1000;
  const truthUm = new Float32Array(width * height).fill(Number.NaN);
  const x0 = Math.round(frame.cx - surface.n / 2);
  const y0 = Math.round(frame.cy - surface.n / 2);
  for (let j = 0; j < surface.n; j++)
    for (let i = 0; i < surface.n; i++) {
      const [x, y] = [x0 + i, y0 + j];
      if (x < 0 || y < 0 || x >= width || y >= height || surface.kind[j * surface.n + i] === OUTSIDE) continue;
      truthUm[y * width + x] = surface.seen[j * surface.n + i]! * umPerRadius;
    }
  const pxPerMm = (2 * perRadius) / look.wireMm;
  const ground = { grey: 0.05, blotch: 0.5, grain: 0, tint: [0.98, 1, 1.03] as const };
  const background = drawBackground(width, height, ground, look.seed + 5);
  const camera = {
    exposure: look.metal === "aluminium" ? 0.8 : 1,
    softnessPx: 0.75,
    vignette: 0.26,
    red: 1.01,
    blue: 0.99,
  };
  const blurPx = setup.blurPerUm * (pxPerMm / 1000);
  const frames: Pixels[] = [];
  let [dx, dy] = [0, 0];
  for (let k = 0; k < setup.frames; k++) {
    const inFocusUm = setup.firstUm - k * setup.stepUm;
    const soft = outOfFocus(sharp, truthUm, inFocusUm, blurPx);
    const size = 1 + setup.breathing * (k - (setup.frames - 1) / 2);
    const moved = displaced(soft, size, dx, dy);
    const exposure = camera.exposure * Math.max(0.3, 1 + setup.flicker * normal());
    const setupOfFrame = { ...camera, exposure, noise: setup.noise };
    frames.push(develop(moved, background, setupOfFrame, [], scale, look.seed * 131 + k));
    dx += setup.wanderPx * normal();
    dy += setup.wanderPx * normal();
  }
  return { frames, truthUm, pxPerMm, centre: [frame.cx, frame.cy] };
}

/** Blurs drawn, px (standard deviation); between two of them both share a place so that the variance is right. */
const BLURS = [0, 0.5, 0.75, 1.1, 1.55, 2.2, 3.1, 4.4, 6.2, 8.8, 12.4];

/**
 * The wire with each place blurred by its distance from focus: places of equal blur spread their light and cover
 * together, and where several spread over one pixel they share it. Light so leaks over edges, as it does in a lens.
 */
function outOfFocus(sharp: Layer, truthUm: Float32Array, inFocusUm: number, blurPx: number): Layer {
  const { width, height } = sharp;
  const out = newLayer(width, height);
  const last = BLURS.length - 1;
  const slices = BLURS.map(() => new Float32Array(0));
  for (let i = 0; i < truthUm.length; i++) {
    const h = truthUm[i]!;
    if (h !== h) continue;
    const sigma = Math.min(BLURS[last]!, blurPx * Math.abs(h - inFocusUm));
    let k = 0;
    while (k + 1 < last && BLURS[k + 1]! <= sigma) k++;
    const [low, high] = [BLURS[k]! ** 2, BLURS[k + 1]! ** 2];
    const share = (sigma * sigma - low) / (high - low);
    for (const [b, w] of [
      [k, 1 - share],
      [k + 1, share],
    ] as const) {
      if (w <= 0) continue;
      if (slices[b]!.length === 0) slices[b] = new Float32Array(4 * width * height);
      const slice = slices[b]!;
      for (let c = 4 * i; c < 4 * i + 4; c++) slice[c] = sharp.rgba[c]! * w;
    }
  }
  slices.forEach((slice, b) => {
    if (slice.length > 0) addBlurred(out.rgba, slice, width, height, BLURS[b]!);
  });
  for (let i = 0; i < width * height; i++) {
    const cover = out.rgba[4 * i + 3]!;
    if (cover > 1) for (let c = 4 * i; c < 4 * i + 4; c++) out.rgba[c]! /= cover;
  }
  return out;
}

/** Large blurs are drawn on a coarser grid, where they cost less and lose nothing. */
function addBlurred(to: Float32Array, source: Float32Array, width: number, height: number, sigma: number): void {
  const by = sigma > 5 ? 4 : sigma > 2 ? 2 : 1;
  if (by === 1) {
    const soft = sigma === 0 ? source : gaussian4(source, width, height, sigma);
    for (let i = 0; i < to.length; i++) to[i]! += soft[i]!;
    return;
  }
  const w = Math.ceil(width / by);
  const h = Math.ceil(height / by);
  const small = new Float32Array(4 * w * h);
  const part = 1 / (by * by);
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      const from = 4 * (y * width + x);
      const at = 4 * (Math.floor(y / by) * w + Math.floor(x / by));
      for (let c = 0; c < 4; c++) small[at + c]! += source[from + c]! * part;
    }
  // Averaging and reading between cells blur a little by themselves.
  const own = (by * by - 1) / 12 + (by * by) / 6;
  const soft = gaussian4(small, w, h, Math.sqrt(Math.max(0.04, sigma * sigma - own)) / by);
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      const u = clamp((x + 0.5) / by - 0.5, 0, w - 1.001);
      const v = clamp((y + 0.5) / by - 0.5, 0, h - 1.001);
      const i = Math.floor(u);
      const j = Math.floor(v);
      const [a, b] = [u - i, v - j];
      const top = 4 * (j * w + i);
      const low = top + 4 * w;
      const at = 4 * (y * width + x);
      for (let c = 0; c < 4; c++)
        to[at + c]! +=
          (soft[top + c]! * (1 - a) + soft[top + 4 + c]! * a) * (1 - b) +
          (soft[low + c]! * (1 - a) + soft[low + 4 + c]! * a) * b;
    }
}

function gaussian4(source: Float32Array, width: number, height: number, sigma: number): Float32Array {
  const weights = gaussianWeights(sigma);
  const middle = (weights.length - 1) / 2;
  const reach = Math.min(middle, Math.ceil(3 * sigma));
  const line = 4 * width;
  const across = new Float32Array(source.length);
  for (let k = -reach; k <= reach; k++) {
    const w = weights[middle + k]!;
    const shift = 4 * k;
    const from = Math.max(0, -shift);
    const to = Math.min(line, line - shift);
    for (let y = 0; y < height; y++) {
      const row = y * line;
      for (let i = row + from; i < row + to; i++) across[i]! += w * source[i + shift]!;
    }
  }
  const out = new Float32Array(source.length);
  for (let k = -reach; k <= reach; k++) {
    const w = weights[middle + k]!;
    const shift = k * line;
    const from = Math.max(0, -shift);
    const to = Math.min(source.length, source.length - shift);
    for (let i = from; i < to; i++) out[i]! += w * across[i + shift]!;
  }
  return out;
}

/** Magnified about the middle and shifted; read between four pixels. */
function displaced(layer: Layer, size: number, dx: number, dy: number): Layer {
  const { width, height } = layer;
  const out = newLayer(width, height);
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      const u = clamp((x + 0.5 - width / 2 - dx) / size + width / 2 - 0.5, 0, width - 1.001);
      const v = clamp((y + 0.5 - height / 2 - dy) / size + height / 2 - 0.5, 0, height - 1.001);
      const i = Math.floor(u);
      const j = Math.floor(v);
      const a = u - i;
      const b = v - j;
      const from = 4 * (j * width + i);
      const below = from + 4 * width;
      for (let c = 0; c < 4; c++)
        out.rgba[4 * (y * width + x) + c] =
          (layer.rgba[from + c]! * (1 - a) + layer.rgba[from + 4 + c]! * a) * (1 - b) +
          (layer.rgba[below + c]! * (1 - a) + layer.rgba[below + 4 + c]! * a) * b;
    }
  return out;
}
