import type { Raster } from "../pixels/grey.ts";
import type { SoundEdges } from "./side-edges.ts";
import { outOfFrame } from "./side-frame.ts";

/** The outermost lines along the sound wire that every stretch of it shows. */
export interface EdgePair {
  /** Places across the wire from its centre line, px; null = no such line on that side. */
  readonly upper: number | null;
  readonly lower: number | null;
  /** Whether it is darker outside of a line than inside. */
  readonly darkerOutside: (across: number) => boolean;
  /** Whether an edge at this place is one that the stretches at least do not deny. */
  readonly likely: (across: number) => boolean;
}

/** The straight part is read in so many stretches, each by itself. */
const STRETCHES = 8;
/** Lines are looked for this far from the centre line, wire diameters. */
const FROM = 0.2;
const TO = 0.85;
/** Readings along a stretch are this far apart, px, but no more than so many. */
const STEP = 2;
const MOST_ROWS = 24;
/** A sharp change lies between means of two rows, three apart; a soft one from there to the mean of five rows outward. */
const SOFT_SHARE = 1.5;
/** Mean change of all stretches over its standard error. */
const SURE = 5;
/** Smallest standard error, and smallest change of a line: brightness per px. */
const LEAST_ERROR = 0.0003;
const LEAST = 0.0025;
/** The same for an edge that was found otherwise: where light changes along the wire, so does the sign of a change. */
const LIKELY = 1.7;
const LIKELY_LEAST = 0.002;
/** An edge found otherwise may lie this far off, px. */
const NEAR_PX = 3;
/** Within this many px outside a line a change of less than this share is its ringing. */
const GHOST_PX = 10;
const GHOST_SHARE = 0.12;

/**
 * Brightness across the wire, averaged along stretches of its straight part. Averages cancel grain of the ground and noise,
 * and a line that all stretches agree on is an edge, however faint; a cast shadow is soft and none.
 *
 * @returns null when the straight part is too short or too near to the rim of the picture to tell.
 */
export function edgePair(raster: Raster, { outline, from, to }: SoundEdges): EdgePair | null {
  const { frame } = outline;
  const reach = Math.ceil(TO * frame.diameter);
  const rows = 2 * reach + 1;
  const profiles = Array.from({ length: STRETCHES }, () => new Float32Array(rows).fill(NaN));
  const long = (to - from) / STRETCHES;
  if (long < 3 * STEP) return null;
  const step = Math.max(STEP, long / MOST_ROWS);
  const [c, s] = [Math.cos(frame.turn), Math.sin(frame.turn)];
  profiles.forEach((profile, k) => {
    for (let j = 0; j < rows; j++) {
      let [n, sum] = [0, 0];
      let [x, y] = outOfFrame(frame, from + k * long, j - reach);
      for (let u = 0; u < long; u += step, x += c * step, y += s * step) {
        const light = lightAt(raster, x, y);
        if (light < 0) continue;
        n += 1;
        sum += light;
      }
      if (n >= 3) profile[j] = sum / n;
    }
  });
  const [height, sure] = [new Float32Array(rows), new Float32Array(rows)];
  const signed = new Float32Array(rows);
  for (let j = 9; j < rows - 9; j++) {
    const sharp: number[] = [];
    let soft = 0;
    for (const profile of profiles) {
      const change = (mean(profile, j + 1, j + 2) - mean(profile, j - 2, j - 1)) / 3;
      // Outward only: right outside an edge the change across it may cancel that of the shadow.
      const around = (outward(profile, j, reach) - mean(profile, j - 1, j + 1)) / 7;
      if (Number.isNaN(change) || Number.isNaN(around)) continue;
      sharp.push(change);
      soft += around;
    }
    if (sharp.length < STRETCHES / 2) continue;
    const m = sharp.reduce((a, b) => a + b, 0) / sharp.length;
    const spread = Math.sqrt(sharp.reduce((a, b) => a + (b - m) ** 2, 0) / (sharp.length - 1));
    signed[j] = m;
    height[j] = Math.max(0, Math.abs(m) - SOFT_SHARE * Math.abs(soft / sharp.length));
    sure[j] = height[j]! / Math.max(LEAST_ERROR, spread / Math.sqrt(sharp.length));
  }
  const inner = Math.round(FROM * frame.diameter);
  const upper = outermost(height, sure, 0, reach - inner, 1);
  const lower = outermost(height, sure, rows - 1, reach + inner, -1);
  const likely = (across: number): boolean => {
    const at = Math.round(across) + reach;
    for (let near = at - NEAR_PX; near <= at + NEAR_PX; near++)
      if ((sure[near] ?? 0) >= LIKELY && (height[near] ?? 0) >= LIKELY_LEAST) return true;
    return false;
  };
  return {
    upper: upper === null ? null : upper - reach,
    lower: lower === null ? null : lower - reach,
    likely,
    darkerOutside: (across) => Math.sign(across) * (signed[Math.round(across) + reach] ?? 0) < 0,
  };
}

function outermost(height: Float32Array, sure: Float32Array, start: number, end: number, step: 1 | -1): number | null {
  for (let j = start; j !== end; j += step) {
    if (sure[j]! < SURE || height[j]! < LEAST) continue;
    if (height[j]! < height[j - 1]! || height[j]! < height[j + 1]!) continue;
    let strongest = 0;
    for (let n = 1; n <= GHOST_PX; n++) strongest = Math.max(strongest, height[j + n * step] ?? 0);
    if (height[j]! < GHOST_SHARE * strongest) continue;
    const [a, b, c] = [height[j - 1]!, height[j]!, height[j + 1]!];
    const bend = a - 2 * b + c;
    return j + (bend < 0 ? (a - c) / (2 * bend) : 0);
  }
  return null;
}

/** Mean of five rows some way farther from the centre line. */
const outward = (profile: Float32Array, j: number, middle: number): number =>
  j > middle ? mean(profile, j + 5, j + 9) : mean(profile, j - 9, j - 5);

function mean(profile: Float32Array, from: number, to: number): number {
  let sum = 0;
  for (let j = from; j <= to; j++) sum += profile[j]!;
  return sum / (to - from + 1);
}

/** Brightness between the four nearest pixels, 0–1; −1 outside the picture. */
function lightAt({ widthPx, heightPx, rgba }: Raster, x: number, y: number): number {
  const u = x - 0.5;
  const v = y - 0.5;
  if (u < 0 || v < 0 || u >= widthPx - 1 || v >= heightPx - 1) return -1;
  const x0 = Math.floor(u);
  const y0 = Math.floor(v);
  const a = u - x0;
  const b = v - y0;
  const at = 4 * (y0 * widthPx + x0);
  const luma = (i: number): number => 0.2126 * rgba[i]! + 0.7152 * rgba[i + 1]! + 0.0722 * rgba[i + 2]!;
  const below = at + 4 * widthPx;
  return ((luma(at) * (1 - a) + luma(at + 4) * a) * (1 - b) + (luma(below) * (1 - a) + luma(below + 4) * a) * b) / 255;
}

/** Two readings of an edge agree within this, wire diameters. */
const AGREE = 0.012;
/** A line this far outside an edge, wire diameters, is no reading of the same edge. */
const OUTSIDE = 0.02;

/** Both edges as the pair sees them: its own lines, or, where it has none that far out, a found edge that it thinks likely. */
export function bothEdges(
  { upper, lower, likely }: EdgePair,
  { outline }: SoundEdges,
): { readonly upper: number | null; readonly lower: number | null } {
  const half = outline.frame.diameter / 2;
  const near = AGREE * outline.frame.diameter;
  return {
    upper: (upper === null || upper > near - half) && likely(-half) ? -half : upper,
    lower: (lower === null || lower < half - near) && likely(half) ? half : lower,
  };
}

/** Whether the pair sees the edges where they were found. */
export function agrees(pair: EdgePair, edges: SoundEdges): boolean {
  const d = edges.outline.frame.diameter;
  const { upper, lower } = bothEdges(pair, edges);
  const off = (at: number | null, edge: number): boolean => at !== null && Math.abs(at - edge) <= AGREE * d;
  return off(upper, -d / 2) && off(lower, d / 2);
}

/**
 * Whether a line runs along the wire outside one of its edges that is no shadow's: then the wire may be thicker than found.
 * A shadow is darker than the ground beyond it.
 */
export function liesOutside({ upper, lower, darkerOutside }: EdgePair, { outline }: SoundEdges): boolean {
  const limit = (0.5 + OUTSIDE) * outline.frame.diameter;
  return [upper, lower].some((at) => at !== null && Math.abs(at) > limit && darkerOutside(at));
}
