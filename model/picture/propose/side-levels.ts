import type { GreyImage } from "../pixels/grey.ts";

/** A piece of the picture laid out along the wire: `columns` along it, `rows` across, stored column by column. */
export interface StripGrid {
  readonly columns: number;
  readonly rows: number;
  /** Place of a cell's middle, px of the smaller copy. */
  readonly at: (column: number, row: number) => readonly [number, number];
}

/** Busyness is averaged over this many columns to either side: edges run along the strip. */
const ALONG = 3;
/** Busyness is cut off here, so that one bright speck does not outweigh an edge. */
const MOST = 40;

/**
 * Busyness laid out along the wire and averaged along it; toward both ends over fewer columns.
 *
 * @returns `columns` × `rows` levels, column by column; 0 outside the picture.
 */
export function stripLevels({ widthPx, heightPx, data }: GreyImage, { columns, rows, at }: StripGrid): Float32Array {
  const sums = new Float64Array((columns + 1) * rows);
  for (let k = 0; k < columns; k++)
    for (let j = 0; j < rows; j++) {
      const [x, y] = at(k, j).map(Math.floor) as [number, number];
      const inside = x >= 0 && y >= 0 && x < widthPx && y < heightPx;
      sums[(k + 1) * rows + j] = sums[k * rows + j]! + (inside ? Math.min(MOST, data[y * widthPx + x]!) : 0);
    }
  const levels = new Float32Array(columns * rows);
  for (let k = 0; k < columns; k++) {
    const reach = Math.min(ALONG, k, columns - 1 - k);
    for (let j = 0; j < rows; j++)
      levels[k * rows + j] = (sums[(k + reach + 1) * rows + j]! - sums[(k - reach) * rows + j]!) / (2 * reach + 1);
  }
  return levels;
}
