import type { GreyImage } from "../pixels/grey.ts";

/** Pixels this many times as busy as bare card are on the wire. */
export const BUSY = 3.2;
/** Cell in which busy pixels are gathered, px. */
const CELL = 4;
/** Busy pixels a cell must hold. */
const LEAST_IN_CELL = 2;
/** Cells this far apart still belong together. */
const REACH = 2;
/** Busy pixels a wire must have, as a share of the picture. */
const LEAST_SHARE = 0.004;

/** Busy pixels of one connected thing, px of the smaller copy, from the outer corner. */
export interface BusyPixels {
  readonly x: Float32Array;
  readonly y: Float32Array;
}

/**
 * The busy pixels that hang together, largest group that touches the rim of the picture: the wire, without lettering,
 * scale bar or dust.
 *
 * @returns null when nothing of that kind is in the picture.
 */
export function wirePixels(busy: GreyImage): BusyPixels | null {
  const { widthPx: w, heightPx: h, data } = busy;
  const cols = Math.ceil(w / CELL);
  const rows = Math.ceil(h / CELL);
  const held = new Uint16Array(cols * rows);
  for (let y = 0; y < h; y++) {
    const row = Math.floor(y / CELL) * cols;
    for (let x = 0; x < w; x++) if (data[y * w + x]! > BUSY) held[row + Math.floor(x / CELL)]! += 1;
  }
  const group = largestAtRim(held, cols, rows);
  if (group === null) return null;
  const xs: number[] = [];
  const ys: number[] = [];
  for (let y = 0; y < h; y++) {
    const row = Math.floor(y / CELL) * cols;
    for (let x = 0; x < w; x++)
      if (data[y * w + x]! > BUSY && group[row + Math.floor(x / CELL)] === 1) {
        xs.push(x + 0.5);
        ys.push(y + 0.5);
      }
  }
  if (xs.length < LEAST_SHARE * w * h) return null;
  return { x: Float32Array.from(xs), y: Float32Array.from(ys) };
}

function largestAtRim(held: Uint16Array, cols: number, rows: number): Uint8Array | null {
  const seen = new Uint8Array(held.length);
  let best: { cells: number[]; count: number } | null = null;
  for (let start = 0; start < held.length; start++) {
    if (seen[start] === 1 || held[start]! < LEAST_IN_CELL) continue;
    const cells = [start];
    seen[start] = 1;
    let count = 0;
    let atRim = false;
    for (let k = 0; k < cells.length; k++) {
      const cell = cells[k]!;
      const cx = cell % cols;
      const cy = (cell - cx) / cols;
      count += held[cell]!;
      if (cx === 0 || cy === 0 || cx >= cols - 2 || cy >= rows - 2) atRim = true;
      for (let y = Math.max(0, cy - REACH); y <= Math.min(rows - 1, cy + REACH); y++)
        for (let x = Math.max(0, cx - REACH); x <= Math.min(cols - 1, cx + REACH); x++) {
          const near = y * cols + x;
          if (seen[near] === 1 || held[near]! < LEAST_IN_CELL) continue;
          seen[near] = 1;
          cells.push(near);
        }
    }
    if (atRim && (best === null || count > best.count)) best = { cells, count };
  }
  if (best === null) return null;
  const group = new Uint8Array(held.length);
  for (const cell of best.cells) group[cell] = 1;
  return group;
}
