import type { GreyImage } from "../pixels/grey.ts";

/** A piece of the picture laid out along the wire: `columns` along it, `rows` across, stored column by column. */
export interface StripGrid {
  readonly columns: number;
  readonly rows: number;
  /** Rows beyond either edge of the strip. */
  readonly margin: number;
  /** Place of a cell's middle, px of the smaller copy. */
  readonly at: (column: number, row: number) => readonly [number, number];
}

/** Near the break busyness is averaged over this many columns to either side: edges run along the strip. */
const ALONG = 3;
/** Far from it brightness is averaged over so many, this far from the break, in widths of the strip. */
const FAR_ALONG = 16;
const NEAR_WIDTHS = 0.8;
const FAR_WIDTHS = 2;
/** A change over so many rows is soft; what it explains of a sharp one, as in `busyness`. */
const SOFT_REACH = 9;
const SOFT_SHARE = 1.2 / SOFT_REACH;
/** Busyness is cut off here, so that one bright speck does not outweigh an edge. */
const MOST = 40;

/**
 * How sharply the picture changes, laid out along the wire. Near the break any change counts. Far from it brightness is
 * averaged along the wire first, its sign kept: an edge of the wire stays, the grain of a brushed ground cancels itself.
 *
 * @param luma – brightness. @param busy – busyness of the same size. @param leastNoise – smallest unit of `luma`'s changes.
 * @returns `columns` × `rows` levels, column by column, about 1 on bare card; 0 outside the picture.
 */
export function stripLevels(luma: GreyImage, busy: GreyImage, grid: StripGrid, leastNoise: number): Float32Array {
  const { columns, rows, margin } = grid;
  const near = averaged(laidOut(busy, grid, MOST), grid, () => ALONG);
  const width = rows - 2 * margin;
  const fade = (k: number): number =>
    Math.max(0, Math.min(1, ((columns - k) / width - NEAR_WIDTHS) / (FAR_WIDTHS - NEAR_WIDTHS)));
  const even = averaged(laidOut(luma, grid, Infinity), grid, (k) => Math.round(ALONG + (FAR_ALONG - ALONG) * fade(k)));
  const far = new Float32Array(columns * rows);
  const card: number[] = [];
  for (let k = 0; k < columns; k++)
    for (let j = 1; j < rows - 1; j++) {
      const at = k * rows + j;
      const here = even[at]!;
      const before = Math.abs(here - even[k * rows + Math.max(0, j - SOFT_REACH)]!);
      const after = Math.abs(here - even[k * rows + Math.min(rows - 1, j + SOFT_REACH)]!);
      const sharp = Math.abs(even[at + 1]! - even[at - 1]!) / 2 - SOFT_SHARE * Math.max(before, after);
      far[at] = Math.max(0, sharp);
      if (fade(k) > 0 && (j < margin / 2 || j > rows - margin / 2)) card.push(far[at] ** 2);
    }
  card.sort((a, b) => a - b);
  // The quieter part of the ground: beside the wire lie its shadow and dust as well.
  const quiet = card.slice(0, Math.max(1, Math.ceil(0.7 * card.length)));
  const unit = Math.max(leastNoise, Math.sqrt(quiet.reduce((a, b) => a + b, 0) / quiet.length || 0));
  const out = new Float32Array(columns * rows);
  for (let k = 0; k < columns; k++) {
    const share = fade(k);
    for (let at = k * rows; at < (k + 1) * rows; at++)
      out[at] = share * Math.min(MOST, far[at]! / unit) + (1 - share) * near[at]!;
  }
  return out;
}

function laidOut({ widthPx, heightPx, data }: GreyImage, { columns, rows, at }: StripGrid, most: number): Float32Array {
  const out = new Float32Array(columns * rows).fill(NaN);
  for (let k = 0; k < columns; k++)
    for (let j = 0; j < rows; j++) {
      const [x, y] = at(k, j).map(Math.floor) as [number, number];
      if (x >= 0 && y >= 0 && x < widthPx && y < heightPx) out[k * rows + j] = Math.min(most, data[y * widthPx + x]!);
    }
  return out;
}

/** Mean along the columns of what lies in the picture; toward both ends over fewer columns. */
function averaged(values: Float32Array, { columns, rows }: StripGrid, along: (column: number) => number): Float32Array {
  const sums = new Float64Array((columns + 1) * rows);
  const counts = new Uint16Array((columns + 1) * rows);
  for (let k = 0; k < columns; k++)
    for (let j = 0; j < rows; j++) {
      const value = values[k * rows + j]!;
      const inside = !Number.isNaN(value);
      sums[(k + 1) * rows + j] = sums[k * rows + j]! + (inside ? value : 0);
      counts[(k + 1) * rows + j] = counts[k * rows + j]! + (inside ? 1 : 0);
    }
  const out = new Float32Array(columns * rows);
  for (let k = 0; k < columns; k++) {
    const reach = Math.min(along(k), k, columns - 1 - k);
    for (let j = 0; j < rows; j++) {
      const [from, to] = [(k - reach) * rows + j, (k + reach + 1) * rows + j];
      const n = counts[to]! - counts[from]!;
      out[k * rows + j] = n === 0 ? 0 : (sums[to]! - sums[from]!) / n;
    }
  }
  return out;
}
