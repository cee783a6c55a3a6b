import { focusPeak } from "./focus-peak.ts";
import type { FocusVolume } from "./focus-volume.ts";
import { pooled } from "./focus-volume.ts";
import { fillGaps } from "./fill-gaps.ts";

/** Reasons a cell has no height, as numbers in `FocusMap.state`. */
export const HAS_HEIGHT = 0;
export const FLAT = 1;
export const END_OF_SERIES = 2;
export const UNCLEAR = 3;
export const LEAKED = 4;
export const STRAY = 5;

/** Where each cell of the grid is sharpest. */
export interface FocusMap {
  readonly columns: number;
  readonly rows: number;
  readonly frames: number;
  /** Frames from the first, between frames; NaN where the cell has no height. */
  readonly at: Float32Array;
  /** Standard uncertainty of `at` from the curve alone, frames; NaN with it. */
  readonly u: Float32Array;
  /** Why a cell has no height; 0 where it has one. */
  readonly state: Uint8Array;
  /** Frame each cell is taken from in the composite, with gaps closed from around. Whole numbers. */
  readonly frame: Uint8Array;
}

/** Most frames of one series: `FocusMap.frame` holds one byte. */
export const MOST_FRAMES = 250;
/** How far light of a soft edge is looked for, cells. */
const NEARBY = 5;
/** A cell with less than this share of the focus of a neighbour that is soft in the same frame only shows its light. */
const LEAK_SHARE = 0.35;
const LEAK_APART = 2;
const STRAY_LEAST = 1.5;

/**
 * Finds the sharpest frame of every cell and throws out what cannot be trusted, so that the map has neither speckle
 * nor halos:
 * curves are pooled over 3 × 3 cells; a peak must stand clear of the floor and lie inside the series (`focusPeak`);
 * light that leaks out of a soft strong edge is told by its source, a neighbour that has more of it in the same frame
 * and is sharp in another one; and what lies apart from the median of its neighbours by more than their own spread is
 * stray. What is thrown out is closed from around for the composite and stays without a height.
 */
export function focusMap(volume: FocusVolume): FocusMap {
  const { columns, rows } = volume;
  const count = columns * rows;
  const frames = volume.frames.map((cells) => pooled(cells, columns, rows));
  const at = new Float32Array(count).fill(Number.NaN);
  const u = new Float32Array(count).fill(Number.NaN);
  const state = new Uint8Array(count);
  /** Sharpest frame of each cell, whatever it is worth; 255 = none. */
  const top = new Uint8Array(count).fill(255);
  const curve = new Float32Array(frames.length);
  for (let i = 0; i < count; i++) {
    for (let k = 0; k < curve.length; k++) curve[k] = frames[k]![i]!;
    for (let k = 0; k < curve.length; k++)
      if (curve[k]! >= 0 && (top[i] === 255 || curve[k]! > curve[top[i]!]!)) top[i] = k;
    const peak = focusPeak(curve);
    if (typeof peak === "string")
      state[i] = peak === "flat" ? FLAT : peak === "end-of-series" ? END_OF_SERIES : UNCLEAR;
    else {
      at[i] = peak.at;
      u[i] = peak.u;
    }
  }
  markLeaks(frames, columns, rows, top, state);
  markStrays(columns, rows, at, state);
  for (let i = 0; i < count; i++)
    if (state[i] !== HAS_HEIGHT) {
      at[i] = Number.NaN;
      u[i] = Number.NaN;
    }
  return { columns, rows, frames: frames.length, at, u, state, frame: framesOf(columns, rows, at, top, state) };
}

function markLeaks(
  frames: readonly Float32Array[],
  columns: number,
  rows: number,
  top: Uint8Array,
  state: Uint8Array,
): void {
  for (let j = 0; j < rows; j++)
    for (let i = 0; i < columns; i++) {
      const c = j * columns + i;
      const k = top[c]!;
      if (state[c] === FLAT || k === 255) continue;
      const cells = frames[k]!;
      const own = cells[c]!;
      for (let y = Math.max(0, j - NEARBY); y <= Math.min(rows - 1, j + NEARBY) && state[c] !== LEAKED; y++)
        for (let x = Math.max(0, i - NEARBY); x <= Math.min(columns - 1, i + NEARBY); x++) {
          const n = y * columns + x;
          if (Math.abs(top[n]! - k) > LEAK_APART && top[n] !== 255 && own < LEAK_SHARE * cells[n]!) {
            state[c] = LEAKED;
            break;
          }
        }
    }
}

/** Compared with the median of the cells around; on a slope their spread is wide and so is what is let pass. */
function markStrays(columns: number, rows: number, at: Float32Array, state: Uint8Array): void {
  const strays: number[] = [];
  const around: number[] = [];
  for (let j = 0; j < rows; j++)
    for (let i = 0; i < columns; i++) {
      const c = j * columns + i;
      if (state[c] !== HAS_HEIGHT) continue;
      around.length = 0;
      for (let y = Math.max(0, j - 2); y <= Math.min(rows - 1, j + 2); y++)
        for (let x = Math.max(0, i - 2); x <= Math.min(columns - 1, i + 2); x++) {
          const n = y * columns + x;
          if (n !== c && state[n] === HAS_HEIGHT) around.push(at[n]!);
        }
      if (around.length < 6) {
        strays.push(c);
        continue;
      }
      around.sort((a, b) => a - b);
      const middle = around[around.length >> 1]!;
      const spread = around[Math.floor(0.84 * (around.length - 1))]! - around[Math.floor(0.16 * (around.length - 1))]!;
      if (Math.abs(at[c]! - middle) > Math.max(STRAY_LEAST, 1.5 * spread)) strays.push(c);
    }
  for (const c of strays) state[c] = STRAY;
}

/**
 * Frame of each cell for the composite. Cells that are sharpest at an end of the series keep that frame; other cells
 * without a height take after their surroundings, and if there are none, the middle frame.
 */
function framesOf(
  columns: number,
  rows: number,
  at: Float32Array,
  top: Uint8Array,
  state: Uint8Array,
): FocusMap["frame"] {
  let last = 0;
  for (const k of top) if (k !== 255 && k > last) last = k;
  const known = new Float32Array(at.length);
  for (let i = 0; i < at.length; i++) known[i] = state[i] === END_OF_SERIES ? top[i]! : at[i]!;
  const closed = fillGaps(known, columns, rows, last / 2);
  return Uint8Array.from(closed, (v) => Math.max(0, Math.min(last, Math.round(v))));
}
