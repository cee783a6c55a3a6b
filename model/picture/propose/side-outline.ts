import type { Point } from "../../break/geometry.ts";
import type { GreyImage } from "../pixels/grey.ts";
import type { Strip } from "./side-axis.ts";
import { stripLevels } from "./side-levels.ts";
import type { BusyPixels } from "./side-wire.ts";
import { LEAST_NOISE } from "./side-busy.ts";
import { BUSY } from "./side-wire.ts";

/** A first outline of the wire, good to a few pixels, px of the smaller copy. */
export interface RoughOutline {
  /** Points a pixel or so apart: one edge from the rim of the picture to the break, the break, the other edge back. */
  readonly points: readonly Point[];
  /** The strip, its direction now toward the break. */
  readonly strip: Strip;
}

/** Thinnest wire, px, and thickest, as a share of the shorter side of the picture. */
const THINNEST = 24;
const THICKEST = 0.85;
/** Share of the busy pixels that lie in the strip: else it is a pattern, not a wire on its ground. */
const IN_STRIP = 0.8;
/** Share of the ground beside the strip that may be busy. */
const BUSY_GROUND = 0.12;
/** The strip is looked at this much beyond either edge: a joint or a swelling is wider than the wire. */
const WIDER = 0.22;
/** A wire runs to the rim of the picture when its busy pixels come this near, px. */
const RIM_PX = 7;
/** The outline is not read this near to the rim of the picture, px. */
const RIM_FREE_PX = 3;
/** Busy pixels that make a column of the strip part of the wire, and the same as a share of its width. */
const LEAST_IN_COLUMN = 3;
const LEAST_SHARE = 0.05;
/** A tip thinner than this is left to the fine outline, px. */
const LEAST_TIP = 4;
/** Columns without any that may lie inside the wire. */
const GAP = 6;
/** A level below this is never an edge, of `CERTAIN_TIMES` as much always. */
const FAINT = 1.3;
const CERTAIN_TIMES = 2.5;
/** Beside the strip lies bare card: what this share of it stays below, times the factor, is no edge either. */
const CARD_SHARE = 0.85;
const CARD_TIMES = 1.5;
/** This near outside a stronger edge, px, a change of less than this share of it is its shadow or its ringing. */
const GHOST_REACH = 7;
const GHOST_SHARE = 0.2;
/** Price of a step of one pixel across the strip on the sound wire, in edges. */
const STEP_PRICE = 0.8;
/** Near the break the outline has corners: steps inward are cheap; the wire seldom grows wider there. */
const INWARD_AT_BREAK = 0.06;
const OUTWARD_AT_BREAK = 0.6;
/** Length of the wire's end that counts as near the break, in wire widths. */
const BREAK_ZONE = 0.8;
/** Price of an edge left outside, in edges. */
const OUTSIDE_PRICE = 2;
/** More edges than this are not counted: a speck beside the wire must not draw the outline around it. */
const MOST_OUTSIDE = 2.5;

/** Known edges are kept to within this, px. */
const KNOWN_NEAR = 2;
/** Price of each place off a known edge, in edges. */
const ASTRAY_PRICE = 10;

/**
 * The two outermost edges of the strip, found as the cheapest path along it that keeps to an edge and leaves none outside.
 *
 * @param knownTo – the strip's lines are known to be the edges of the wire as far as this place along it; left out: they
 *   are a first guess.
 * @returns null when the strip does not leave the picture at exactly one of its two ends.
 */
export function roughOutline(
  luma: GreyImage,
  busy: GreyImage,
  pixels: BusyPixels,
  found: Strip,
  knownTo = -Infinity,
): RoughOutline | null {
  const width = found.high - found.low;
  if (width < THINNEST || width > THICKEST * Math.min(busy.widthPx, busy.heightPx)) return null;
  if (busyGround(busy, found) > BUSY_GROUND) return null;
  const run = wireRun(pixels, found, busy);
  if (run === null) return null;
  const turned = run.breakAtStart;
  const strip = turned ? { turn: found.turn + Math.PI, low: -found.high, high: -found.low } : found;
  const [from, to] = turned ? [-run.to, -run.from] : [run.from, run.to];
  const margin = Math.ceil(WIDER * width);
  const columns = Math.round(to - from);
  const rows = Math.ceil(width) + 2 * margin;
  const [c, s] = [Math.cos(strip.turn), Math.sin(strip.turn)];
  const at = (k: number, j: number): Point => {
    const [u, v] = [from + k + 0.5, strip.low - margin + j + 0.5];
    return [c * u - s * v, s * u + c * v];
  };
  const even = stripLevels(luma, busy, { columns, rows, margin, at }, LEAST_NOISE);
  const zone = columns - BREAK_ZONE * width;
  const known = Math.min(zone, knownTo - from);
  const upper = outermost(even, columns, rows, { zone, known, margin }, false);
  const lower = outermost(even, columns, rows, { zone, known, margin }, true);
  let last = columns - 1;
  while (last > 0 && Math.abs(upper[last]! - lower[last]!) < LEAST_TIP) last--;
  // Where the wire leaves the picture askew, one edge is in it sooner than the other.
  const inside = ([x, y]: Point): boolean => Math.min(x, y, busy.widthPx - x, busy.heightPx - y) > RIM_FREE_PX;
  const edge = (pick: (a: number, b: number) => number, row: number): Point[] => {
    const line = Array.from({ length: last + 1 }, (_, k) => at(k, pick(upper[k]!, lower[k]!)));
    const first = line.findIndex((p, k) => inside(p) && inside(at(k, row)));
    return first < 0 ? [] : line.slice(first);
  };
  const [one, two] = [edge(Math.min, margin), edge(Math.max, rows - 1 - margin)];
  if (one.length === 0 || two.length === 0) return null;
  return { points: [...one, ...two.reverse()], strip };
}

interface Run {
  /** First and last place along the strip that hold the wire. */
  readonly from: number;
  readonly to: number;
  readonly breakAtStart: boolean;
}

/** Share of the pixels beside a strip that are as busy as metal. */
function busyGround({ widthPx, heightPx, data }: GreyImage, strip: Strip): number {
  const [c, s] = [Math.cos(strip.turn), Math.sin(strip.turn)];
  const spare = WIDER * (strip.high - strip.low);
  let [all, full] = [1, 0];
  for (let y = 0; y < heightPx; y += 2)
    for (let x = 0; x < widthPx; x += 2) {
      const v = c * y - s * x;
      if (v > strip.low - spare && v < strip.high + spare) continue;
      all += 1;
      if (data[y * widthPx + x]! > BUSY) full += 1;
    }
  return full / all;
}

function wireRun({ x, y }: BusyPixels, strip: Strip, { widthPx, heightPx }: GreyImage): Run | null {
  const [c, s] = [Math.cos(strip.turn), Math.sin(strip.turn)];
  const spare = WIDER * (strip.high - strip.low);
  const first = -Math.ceil(Math.hypot(widthPx, heightPx));
  const held = new Uint16Array(-2 * first);
  let inside = 0;
  for (let i = 0; i < x.length; i++) {
    const v = c * y[i]! - s * x[i]!;
    if (v <= strip.low - spare || v >= strip.high + spare) continue;
    inside += 1;
    held[Math.floor(c * x[i]! + s * y[i]!) - first]! += 1;
  }
  if (inside < IN_STRIP * x.length) return null;
  const run = longestRun(held, Math.max(LEAST_IN_COLUMN, LEAST_SHARE * (strip.high - strip.low)));
  if (run === null) return null;
  const [enters, leaves] = alongInside(c, s, (strip.low + strip.high) / 2, widthPx, heightPx);
  const [from, to] = [run[0] + first, run[1] + first + 1];
  const atStart = from <= enters + RIM_PX;
  if (atStart === to >= leaves - RIM_PX) return null;
  return { from, to, breakAtStart: !atStart };
}

/** Where a line along the wire enters and leaves the picture. */
function alongInside(c: number, s: number, across: number, widthPx: number, heightPx: number): [number, number] {
  const cuts: number[] = [];
  const [x0, y0] = [-s * across, c * across];
  if (Math.abs(c) > 1e-6) cuts.push(...[-x0 / c, (widthPx - x0) / c].filter((t) => within(y0 + t * s, heightPx)));
  if (Math.abs(s) > 1e-6) cuts.push(...[-y0 / s, (heightPx - y0) / s].filter((t) => within(x0 + t * c, widthPx)));
  return cuts.length === 0 ? [Infinity, -Infinity] : [Math.min(...cuts), Math.max(...cuts)];
}

const within = (v: number, size: number): boolean => v >= -1e-6 && v <= size + 1e-6;

/** Longest run of columns that hold busy pixels, small gaps allowed. */
function longestRun(held: Uint16Array, least: number): readonly [number, number] | null {
  let best: readonly [number, number] | null = null;
  let start = -1;
  let last = -1;
  for (let k = 0; k < held.length; k++) {
    if (held[k]! < least) continue;
    if (start < 0 || k - last > GAP) start = k;
    last = k;
    if (best === null || last - start > best[1] - best[0]) best = [start, last];
  }
  return best;
}

/**
 * Row of the outermost edge in each column.
 *
 * @param zone – column from which steps are cheap. @param known – column up to which the strip's line is the edge.
 * @param margin – rows outside the strip.
 * @param fromBelow – come from the last row instead of the first.
 */
function outermost(
  levels: Float32Array,
  columns: number,
  rows: number,
  { zone, known, margin }: { readonly zone: number; readonly known: number; readonly margin: number },
  fromBelow: boolean,
): Float32Array {
  const row = (j: number): number => (fromBelow ? rows - 1 - j : j);
  const faint = faintBeside(levels, columns, rows, margin, row);
  const certain = CERTAIN_TIMES * faint;
  const total = new Float32Array(columns * rows);
  const came = new Int16Array(columns * rows);
  const column = new Float32Array(rows);
  const reached = new Float32Array(rows);
  const origin = new Int16Array(rows);
  for (let k = 0; k < columns; k++) {
    const inward = k < zone ? STEP_PRICE : INWARD_AT_BREAK;
    const outward = k < zone ? STEP_PRICE : OUTWARD_AT_BREAK;
    // Cheapest way here from any row of the column before: the price grows evenly with the distance.
    for (let j = 1; j < rows; j++)
      if (reached[j - 1]! + inward < reached[j]!) {
        reached[j] = reached[j - 1]! + inward;
        origin[j] = origin[j - 1]!;
      }
    for (let j = rows - 2; j >= 0; j--)
      if (reached[j + 1]! + outward < reached[j]!) {
        reached[j] = reached[j + 1]! + outward;
        origin[j] = origin[j + 1]!;
      }
    for (let j = 0; j < rows; j++) {
      const level = levels[k * rows + row(j)]!;
      let rival = 0;
      for (let n = j + 1; n <= Math.min(rows - 1, j + GHOST_REACH); n++)
        rival = Math.max(rival, levels[k * rows + row(n)]!);
      column[j] = level < GHOST_SHARE * rival ? 0 : level;
    }
    let outside = 0;
    for (let j = 0; j < rows; j++) {
      const level = column[j]!;
      const beyond = column[Math.max(0, j - 2)]!;
      if (j >= 2) outside += Math.min(1, Math.max(0, (beyond - faint) / (certain - faint)));
      const edge = Math.min(1, Math.max(0, level - 0.3 * faint) / (certain - 0.3 * faint));
      const astray = k < known && Math.abs(j - margin) > KNOWN_NEAR ? ASTRAY_PRICE : 0;
      total[k * rows + j] = reached[j]! - edge + astray + OUTSIDE_PRICE * Math.min(MOST_OUTSIDE, outside);
      came[k * rows + j] = origin[j]!;
    }
    for (let j = 0; j < rows; j++) {
      reached[j] = total[k * rows + j]!;
      origin[j] = j;
    }
  }
  const path = new Float32Array(columns);
  let j = 0;
  for (let n = 1; n < rows; n++) if (reached[n]! < reached[j]!) j = n;
  for (let k = columns - 1; k >= 0; k--) {
    path[k] = row(j);
    j = came[k * rows + j]!;
  }
  return path;
}

/** What counts as a faint edge, judged by the outer half of the margin. */
function faintBeside(
  levels: Float32Array,
  columns: number,
  rows: number,
  margin: number,
  row: (j: number) => number,
): number {
  const card: number[] = [];
  for (let k = 0; k < columns; k += 2) for (let j = 0; j < margin / 2; j += 2) card.push(levels[k * rows + row(j)]!);
  card.sort((a, b) => a - b);
  return Math.max(FAINT, CARD_TIMES * (card[Math.floor(card.length * CARD_SHARE)] ?? 0));
}
