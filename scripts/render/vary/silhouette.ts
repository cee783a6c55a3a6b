import type { Point } from "../../../model/break/geometry.ts";

/**
 * Outline of the largest covered area of a picture, between the pixels: where the coverage passes one half. Where the
 * wire leaves the picture the outline runs along the picture's edge.
 *
 * @param cover – 0–1, row by row.
 * @param tolerance – largest distance a left-out corner may lie from the outline, px.
 * @returns a closed polygon, in pixels with (0, 0) the outer corner of the first pixel; empty when nothing is covered.
 */
export function silhouette(cover: Float32Array, width: number, height: number, tolerance = 0.35): readonly Point[] {
  const at = (x: number, y: number): number =>
    x < 0 || y < 0 || x >= width || y >= height ? 0 : cover[y * width + x]!;
  // Cells between four pixel centres, one ring beyond the picture; a link leads from one cell side to the next.
  const w = width + 1;
  const seen = new Uint8Array(w * (height + 1));
  let best: Point[] = [];
  let bestArea = 0;
  for (let j = 0; j <= height; j++)
    for (let i = 0; i <= width; i++) {
      if (seen[j * w + i] || code(at, i, j) === 0 || code(at, i, j) === 15) continue;
      const ring = walk(at, i, j, seen, w);
      const area = Math.abs(areaOf(ring));
      if (area > bestArea) {
        best = ring;
        bestArea = area;
      }
    }
  return best.length < 4 ? best : thinned(best, tolerance);
}

type At = (x: number, y: number) => number;

/** Which of the four pixels round a cell are covered: 1 upper left, 2 upper right, 4 lower right, 8 lower left. */
function code(at: At, i: number, j: number): number {
  return (
    (at(i - 1, j - 1) >= 0.5 ? 1 : 0) |
    (at(i, j - 1) >= 0.5 ? 2 : 0) |
    (at(i, j) >= 0.5 ? 4 : 0) |
    (at(i - 1, j) >= 0.5 ? 8 : 0)
  );
}

/** Side by which the outline leaves a cell, covered area on the right: 0 up, 1 right, 2 down, 3 left. */
const LEAVES = [-1, 3, 0, 3, 1, -1, 0, 3, 2, 2, -2, 2, 1, 1, 0, -1] as const;

function walk(at: At, i0: number, j0: number, seen: Uint8Array, w: number): Point[] {
  const ring: Point[] = [];
  let i = i0;
  let j = j0;
  let came = -1;
  do {
    const c = code(at, i, j);
    // Two covered pixels touching at a corner: keep to the side the outline came from.
    const side = c === 5 ? (came === 0 ? 1 : 3) : c === 10 ? (came === 3 ? 0 : 2) : LEAVES[c]!;
    seen[j * w + i] = 1;
    const step = (a: number, b: number): number => (0.5 - a) / (b - a);
    if (side === 0) ring.push([i - 0.5 + step(at(i - 1, j - 1), at(i, j - 1)), j - 0.5]);
    else if (side === 2) ring.push([i - 0.5 + step(at(i - 1, j), at(i, j)), j + 0.5]);
    else if (side === 3) ring.push([i - 0.5, j - 0.5 + step(at(i - 1, j - 1), at(i - 1, j))]);
    else ring.push([i + 0.5, j - 0.5 + step(at(i, j - 1), at(i, j))]);
    i += side === 1 ? 1 : side === 3 ? -1 : 0;
    j += side === 2 ? 1 : side === 0 ? -1 : 0;
    came = side;
  } while ((i !== i0 || j !== j0) && ring.length < 4 * seen.length);
  return ring;
}

/** Area inside a polygon, px², signed. */
export function areaOf(ring: readonly Point[]): number {
  let sum = 0;
  for (let k = 0; k < ring.length; k++) {
    const [ax, ay] = ring[k]!;
    const [bx, by] = ring[(k + 1) % ring.length]!;
    sum += ax * by - bx * ay;
  }
  return sum / 2;
}

/** Leaves out corners that lie nearly on the line between their neighbours. */
function thinned(ring: readonly Point[], tolerance: number): readonly Point[] {
  // Split at the two corners that lie farthest apart from the first one, so that a closed line can be halved.
  let far = 0;
  let reach = -1;
  ring.forEach(([x, y], k) => {
    const d = (x - ring[0]![0]) ** 2 + (y - ring[0]![1]) ** 2;
    if (d > reach) {
      reach = d;
      far = k;
    }
  });
  const keep = new Uint8Array(ring.length);
  keep[0] = 1;
  keep[far] = 1;
  const open: [number, number][] = [
    [0, far],
    [far, ring.length],
  ];
  for (let part = open.pop(); part; part = open.pop()) {
    const [a, b] = part;
    const [ax, ay] = ring[a]!;
    const [bx, by] = ring[b % ring.length]!;
    const len = Math.hypot(bx - ax, by - ay) || 1e-9;
    let worst = tolerance;
    let at = -1;
    for (let k = a + 1; k < b; k++) {
      const [x, y] = ring[k]!;
      const off = Math.abs((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / len;
      if (off > worst) {
        worst = off;
        at = k;
      }
    }
    if (at < 0) continue;
    keep[at] = 1;
    open.push([a, at], [at, b]);
  }
  return ring.filter((_, k) => keep[k] === 1);
}
