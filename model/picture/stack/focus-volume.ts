import { modifiedLaplacian, smoothGrain } from "../pixels/focus-measure.ts";
import type { GreyImage } from "../pixels/grey.ts";
import type { Placement } from "./placement.ts";

/** Side of a cell of the focus grid, px of the picture that is worked on. */
export const CELL_PX = 4;

/**
 * How sharp each cell of the picture is in each frame: one curve over focus per cell. Cells keep a series of any
 * length small (4 bytes a cell and frame) and are never resampled: each frame pixel is counted in the cell it shows,
 * because shifting a picture by half a pixel would make it softer and move the sharpest frame.
 */
export interface FocusVolume {
  readonly columns: number;
  readonly rows: number;
  /** Of the picture worked on, px. */
  readonly widthPx: number;
  readonly heightPx: number;
  /** Per frame: mean squared modified Laplacian of each cell, brightness evened out; NaN where the frame ends. */
  readonly frames: readonly Float32Array[];
}

/**
 * Focus of one frame, cell by cell of the reference.
 *
 * The modified Laplacian is squared: the noise of the camera then adds a constant to every frame, and for a blur that
 * grows evenly with the distance from focus the curve is a Gaussian, exp(−ω²c²(z − z₀)²) for texture of the spatial
 * frequency ω and a blur of c·|z − z₀|.
 *
 * @param grey – the frame, as large as the reference.
 */
export function focusOfFrame(grey: GreyImage, placement: Placement): Float32Array {
  const { widthPx, heightPx } = grey;
  const sharp = modifiedLaplacian(smoothGrain(grey));
  const columns = Math.floor(widthPx / CELL_PX);
  const rows = Math.floor(heightPx / CELL_PX);
  const { scale, dx, dy, gain } = placement;
  const cellOf = (size: number, d: number, cells: number) =>
    Int32Array.from({ length: size }, (_, i) => {
      const home = (i + 0.5 - size / 2 - d) / scale + size / 2;
      const cell = Math.floor(home / CELL_PX);
      // Two pixels at the edge of a frame lack a neighbour.
      return cell < 0 || cell >= cells || i < 2 || i > size - 3 ? -1 : cell;
    });
  const column = cellOf(widthPx, dx, columns);
  const row = cellOf(heightPx, dy, rows);
  const sum = new Float32Array(columns * rows);
  const count = new Uint16Array(columns * rows);
  for (let y = 0; y < heightPx; y++) {
    const at = row[y]! * columns;
    if (at < 0) continue;
    for (let x = 0; x < widthPx; x++) {
      const c = column[x]!;
      if (c < 0) continue;
      const v = sharp.data[y * widthPx + x]!;
      sum[at + c]! += v * v;
      count[at + c]!++;
    }
  }
  const even = 1 / (gain * gain);
  for (let i = 0; i < sum.length; i++)
    sum[i] = count[i]! * 2 >= CELL_PX * CELL_PX ? (sum[i]! * even) / count[i]! : Number.NaN;
  return sum;
}

/** Every cell with its neighbours, weighted 1 2 1 both ways: single cells hold too little texture. */
export function pooled(cells: Float32Array, columns: number, rows: number): Float32Array {
  const out = new Float32Array(cells.length);
  for (let j = 0; j < rows; j++)
    for (let i = 0; i < columns; i++) {
      let sum = 0;
      let weight = 0;
      for (let v = -1; v <= 1; v++) {
        const y = j + v;
        if (y < 0 || y >= rows) continue;
        for (let u = -1; u <= 1; u++) {
          const x = i + u;
          if (x < 0 || x >= columns) continue;
          const value = cells[y * columns + x]!;
          const w = (2 - Math.abs(u)) * (2 - Math.abs(v));
          if (value === value) {
            sum += w * value;
            weight += w;
          }
        }
      }
      out[j * columns + i] = weight >= 8 ? sum / weight : Number.NaN;
    }
  return out;
}
