import type { Point } from "../../break/geometry.ts";
import type { GreyImage } from "./grey.ts";
import type { Mask } from "./mask.ts";
import { edgeOnNormal } from "./gradient.ts";

/**
 * Outer outline of one patch, walked along the cracks between its pixels and the others. Starts at the topmost pixel's
 * upper left corner and keeps the patch on the right hand (clockwise as seen on the screen).
 *
 * @param mask – must hold the pixel; pixels that touch only by a corner count as one patch with 8, as two with 4.
 * @param from – column and row of the patch's first pixel in reading order.
 * @returns corners where the walk turns or goes on, one per crack, px; the last is not the first again.
 */
export function outerContour(mask: Mask, from: Point, neighbours: 4 | 8): Point[] {
  const { widthPx, heightPx, data } = mask;
  const set = (x: number, y: number): boolean =>
    x >= 0 && y >= 0 && x < widthPx && y < heightPx && data[y * widthPx + x] === 1;
  const points: Point[] = [];
  let [x, y] = from;
  // Directions of the walk: 0 right, 1 down, 2 left, 3 up. The patch lies to the right of the direction.
  let direction = 0;
  const limit = 4 * widthPx * heightPx + 4;
  for (let step = 0; step < limit; step++) {
    points.push([x, y]);
    x += DX[direction]!;
    y += DY[direction]!;
    if (x === from[0] && y === from[1]) break;
    // The two pixels ahead of the corner just reached: on the left and on the right hand.
    const left = set(x + AHEAD_LEFT_X[direction]!, y + AHEAD_LEFT_Y[direction]!);
    const right = set(x + AHEAD_RIGHT_X[direction]!, y + AHEAD_RIGHT_Y[direction]!);
    if (neighbours === 8 ? left : left && right) direction = (direction + 3) % 4;
    else if (!right) direction = (direction + 1) % 4;
  }
  return points;
}

const DX = [1, 0, -1, 0];
const DY = [0, 1, 0, -1];
const AHEAD_LEFT_X = [0, 0, -1, -1];
const AHEAD_LEFT_Y = [-1, 0, 0, -1];
const AHEAD_RIGHT_X = [0, -1, -1, 0];
const AHEAD_RIGHT_Y = [0, 0, -1, -1];

/** Area inside a closed outline, px²; positive when it runs clockwise on the screen. */
export function polygonArea(points: readonly Point[]): number {
  let twice = 0;
  for (let i = 0; i < points.length; i++) {
    const [x0, y0] = points[i]!;
    const [x1, y1] = points[(i + 1) % points.length]!;
    twice += x0 * y1 - x1 * y0;
  }
  return twice / 2;
}

/** A closed outline at `n` even distances along it. */
export function evenly(points: readonly Point[], n: number): Point[] {
  const lengths = points.map((p, i) => {
    const q = points[(i + 1) % points.length]!;
    return Math.hypot(q[0] - p[0], q[1] - p[1]);
  });
  const whole = lengths.reduce((a, b) => a + b, 0);
  if (!(whole > 0) || n < 1) return [];
  const out: Point[] = [];
  let segment = 0;
  let before = 0;
  for (let k = 0; k < n; k++) {
    const target = (k * whole) / n;
    while (segment < points.length - 1 && before + lengths[segment]! < target) before += lengths[segment++]!;
    const p = points[segment]!;
    const q = points[(segment + 1) % points.length]!;
    const share = lengths[segment]! > 0 ? (target - before) / lengths[segment]! : 0;
    out.push([p[0] + (q[0] - p[0]) * share, p[1] + (q[1] - p[1]) * share]);
  }
  return out;
}

/**
 * A closed outline moved onto the steepest grey step across it, between pixels.
 *
 * @param points – clockwise on the screen, roughly even. @param reachPx – how far the step may lie away.
 * @param sign – 1: brighter outside; −1: darker outside; 0: either.
 * @returns one point each; where no step is found the point stays.
 */
export function refineContour(image: GreyImage, points: readonly Point[], reachPx: number, sign: -1 | 0 | 1): Point[] {
  const n = points.length;
  const apart = Math.max(1, Math.round(n / 60));
  return points.map((p, i): Point => {
    const a = points[(i - apart + n) % n]!;
    const b = points[(i + apart) % n]!;
    const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
    if (!(length > 0)) return p;
    const normal: Point = [(b[1] - a[1]) / length, -(b[0] - a[0]) / length];
    const edge = edgeOnNormal(image, p, normal, reachPx, sign);
    return edge === null ? p : [p[0] + normal[0] * edge.offsetPx, p[1] + normal[1] * edge.offsetPx];
  });
}
