import type { Uncertain } from "../../break/wire-break.ts";
import type { FocusMap } from "./focus-map.ts";
import { CELL_PX } from "./focus-volume.ts";

/**
 * Heights of a face from a focus series, on the grid of the cells. Heights are toward the lens, from the focus of the
 * first frame (the nearest), so they are mostly negative.
 */
export interface HeightMap {
  readonly columns: number;
  readonly rows: number;
  /** Side of a cell, px of the photograph. */
  readonly cellPx: number;
  /** µm; NaN = no height. */
  readonly um: Float32Array;
  /** Standard uncertainty of each height against its neighbours, µm; the step's own share is not in it. */
  readonly u: Float32Array;
  /** Why there is no height, as `FocusMap.state`. */
  readonly state: Uint8Array;
  readonly stepUm: Uncertain;
  readonly frames: number;
}

/** Spread of the cells that are pooled into one curve (1 2 1 over cells), in cells. */
const POOLED_SPREAD = Math.sqrt(0.5 + 1 / 12);
/** Share of that spread by which the texture in it is off its middle. @source own trial on rendered series */
const TEXTURE_OFF_MIDDLE = 0.75;
/** Sharp texture sits on crests and edges, not evenly over the height of a cell: a share of the step. @source own trial on rendered series */
const CRESTS = 0.12;
const REACH = 2;

/**
 * Heights with their uncertainty, from the sharpest frame of each cell and a known focus step.
 *
 * Model of the standard uncertainty of one height against its neighbours, as root sum of squares of
 * – the scatter of the focus curve round its Gaussian (`FocusPeak.u`), times the step;
 * – the place of the texture: on a slope the sharpest frame belongs to where the texture lies, which is off the middle
 *   of the pooled cells by about their spread, so slope × spread × 0.75;
 * – the roughness: the scatter of the heights of 5 × 5 cells round their own plane;
 * – crests: 0.12 step.
 * The uncertainty of the step multiplies every height alike and stays apart as `stepUm`: it is shared by all heights.
 *
 * @param shrunkBy – px of the photograph per px of the picture that was worked on.
 */
export function heightMap(map: FocusMap, stepUm: Uncertain, shrunkBy: number): HeightMap {
  const { columns, rows, at } = map;
  const um = new Float32Array(at.length).fill(Number.NaN);
  const u = new Float32Array(at.length).fill(Number.NaN);
  const step = Math.abs(stepUm.value);
  for (let j = 0; j < rows; j++)
    for (let i = 0; i < columns; i++) {
      const c = j * columns + i;
      if (!(at[c]! >= 0)) continue;
      const around = planeAround(map, i, j);
      um[c] = -at[c]! * stepUm.value;
      u[c] = step * Math.hypot(map.u[c]!, around.slope * POOLED_SPREAD * TEXTURE_OFF_MIDDLE, around.scatter, CRESTS);
    }
  return { columns, rows, cellPx: CELL_PX * shrunkBy, um, u, state: map.state, stepUm, frames: map.frames };
}

/** Plane through the cells around; slope in frames per cell, scatter in frames. */
function planeAround({ columns, rows, at }: FocusMap, i: number, j: number): { slope: number; scatter: number } {
  let [n, sx, sy, sz, sxx, sxy, syy, sxz, syz, szz] = [0, 0, 0, 0, 0, 0, 0, 0, 0, 0];
  for (let y = Math.max(0, j - REACH); y <= Math.min(rows - 1, j + REACH); y++)
    for (let x = Math.max(0, i - REACH); x <= Math.min(columns - 1, i + REACH); x++) {
      const z = at[y * columns + x]!;
      if (!(z >= 0)) continue;
      const [dx, dy] = [x - i, y - j];
      n++;
      sx += dx;
      sy += dy;
      sz += z;
      sxx += dx * dx;
      sxy += dx * dy;
      syy += dy * dy;
      sxz += dx * z;
      syz += dy * z;
      szz += z * z;
    }
  const [xx, xy, yy] = [sxx - (sx * sx) / n, sxy - (sx * sy) / n, syy - (sy * sy) / n];
  const [xz, yz, zz] = [sxz - (sx * sz) / n, syz - (sy * sz) / n, szz - (sz * sz) / n];
  const det = xx * yy - xy * xy;
  if (n < 6 || !(det > 1e-6)) return { slope: 1, scatter: 1 };
  const a = (xz * yy - yz * xy) / det;
  const b = (yz * xx - xz * xy) / det;
  const left = Math.max(0, zz - a * xz - b * yz);
  return { slope: Math.hypot(a, b), scatter: Math.sqrt(left / (n - 3)) };
}
