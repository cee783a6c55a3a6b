import type { Geometry, Point } from "../../break/geometry.ts";
import type { Raster } from "../pixels/grey.ts";

export type EdgesGeometry = Extract<Geometry, { type: "edges" }>;

/** The sound wire of a side view: centre line, direction and diameter, px of the raster. */
export interface SoundWire {
  /** Where the drawn edges end, on the axis. */
  readonly origin: Point;
  /** Unit vector along the axis toward the break. */
  readonly along: Point;
  readonly diameter: number;
}

const middle = ([ax, ay]: Point, [bx, by]: Point): Point => [(ax + bx) / 2, (ay + by) / 2];

/**
 * The frame of two drawn edges. The wire leaves the picture on the side away from its break, so the direction follows
 * from the picture and not from the order in which the edges were drawn.
 *
 * @param edges – px of the raster. @returns null when the edges are too short or cross.
 */
export function soundWire({ points }: EdgesGeometry, widthPx: number, heightPx: number): SoundWire | null {
  const [a1, a2, b1, b2] = points;
  // The two lines may have been drawn in opposite directions.
  const same = (a2[0] - a1[0]) * (b2[0] - b1[0]) + (a2[1] - a1[1]) * (b2[1] - b1[1]) >= 0;
  const one = middle(a1, same ? b1 : b2);
  const two = middle(a2, same ? b2 : b1);
  const length = Math.hypot(two[0] - one[0], two[1] - one[1]);
  if (!(length > 1)) return null;
  const unit: Point = [(two[0] - one[0]) / length, (two[1] - one[1]) / length];
  const across = ([x, y]: Point): number => unit[0] * (y - one[1]) - unit[1] * (x - one[0]);
  const gap = Math.abs(across(middle(a1, a2)) - across(middle(b1, b2)));
  if (!(gap > 4)) return null;
  const back: Point = [-unit[0], -unit[1]];
  const forward = toRim(one, back, widthPx, heightPx) <= toRim(two, unit, widthPx, heightPx);
  return forward ? { origin: two, along: unit, diameter: gap } : { origin: one, along: back, diameter: gap };
}

/** How far a ray runs until it leaves the picture, px. */
function toRim([x, y]: Point, [dx, dy]: Point, widthPx: number, heightPx: number): number {
  const reach = (at: number, d: number, end: number): number => (d > 0 ? (end - at) / d : d < 0 ? -at / d : Infinity);
  return Math.max(0, Math.min(reach(x, dx, widthPx), reach(y, dy, heightPx)));
}

/** Rows of the strip over one wire diameter. */
export const STRIP_PER_D = 20;

/** The skin drawn straight: the axis runs along a row, the break lies to the right. */
export interface WireStrip {
  readonly columns: number;
  readonly rows: number;
  /** ln of linear red, green and blue, one after another for each place, row by row. */
  readonly lnRgb: Float32Array;
  /** 1 where the place lies in the picture. */
  readonly inside: Uint8Array;
}

const LINEAR = Float32Array.from({ length: 256 }, (_, v) => {
  const c = v / 255;
  return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
});
/** Added to every value before its logarithm, as a share of the mean: deep shade is noise, at any exposure. */
const FLOOR = 0.03;

/**
 * @param from, to – along the axis from the end of the edges, wire diameters, positive toward the break.
 * @param half – rows reach this far from the axis, wire diameters.
 */
export function wireStrip(raster: Raster, wire: SoundWire, from: number, to: number, half: number): WireStrip {
  const columns = Math.max(1, Math.round((to - from) * STRIP_PER_D));
  const rows = Math.max(1, Math.round(2 * half * STRIP_PER_D));
  const lnRgb = new Float32Array(columns * rows * 3);
  const inside = new Uint8Array(columns * rows);
  const step = wire.diameter / STRIP_PER_D;
  // Means over what one place of the strip covers, so that fine pictures are not sampled at single grains.
  const box = Math.max(1, Math.round(step));
  const [ax, ay] = wire.along;
  for (let r = 0; r < rows; r++)
    for (let c = 0; c < columns; c++) {
      const u = (from + (c + 0.5) / STRIP_PER_D) * wire.diameter;
      const w = ((r + 0.5) / STRIP_PER_D - half) * wire.diameter;
      const x = wire.origin[0] + ax * u - ay * w;
      const y = wire.origin[1] + ay * u + ax * w;
      const at = r * columns + c;
      inside[at] = meanAt(raster, x, y, box, lnRgb, 3 * at) ? 1 : 0;
    }
  toLogarithms(lnRgb, inside);
  return { columns, rows, lnRgb, inside };
}

function toLogarithms(linear: Float32Array, inside: Uint8Array): void {
  let [sum, n] = [0, 0];
  inside.forEach((there, at) => {
    if (there === 1) [sum, n] = [sum + linear[3 * at + 1]!, n + 1];
  });
  const floor = n === 0 ? FLOOR : Math.max(1e-4, (FLOOR * sum) / n);
  for (let k = 0; k < linear.length; k++) linear[k] = Math.log(linear[k]! + floor);
}

function meanAt(
  { widthPx, heightPx, rgba }: Raster,
  x: number,
  y: number,
  box: number,
  out: Float32Array,
  to: number,
): boolean {
  const x0 = Math.floor(x - (box - 1) / 2);
  const y0 = Math.floor(y - (box - 1) / 2);
  if (x0 < 0 || y0 < 0 || x0 + box > widthPx || y0 + box > heightPx) return false;
  let [red, green, blue] = [0, 0, 0];
  for (let j = 0; j < box; j++)
    for (let i = 0; i < box; i++) {
      const at = 4 * ((y0 + j) * widthPx + x0 + i);
      red += LINEAR[rgba[at]!]!;
      green += LINEAR[rgba[at + 1]!]!;
      blue += LINEAR[rgba[at + 2]!]!;
    }
  const n = box * box;
  out[to] = red / n;
  out[to + 1] = green / n;
  out[to + 2] = blue / n;
  return true;
}
