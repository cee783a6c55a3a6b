import type { Geometry, Point } from "../../break/geometry.ts";
import { cornersOf } from "../agreement/overlap.ts";

/** Half the width of the thin band that stands for a line, and of the square that stands for a point, px. */
export const HALF_BAND_PX = 1;

/** A mark as a set carries it: closed outlines inside the picture, and its own points. */
export interface MarkShape {
  readonly outlines: readonly (readonly Point[])[];
  /** Defining points of points, lines, angles and edges; null where the outline says all. */
  readonly points: readonly Point[] | null;
}

/**
 * Closed outlines of any geometry, cut to the picture and rounded to a hundredth of a pixel. Lines become bands two
 * pixels wide, a point a square of two.
 *
 * @returns no outline when nothing with an area lies inside the picture.
 */
export function markShape(geometry: Geometry, widthPx: number, heightPx: number): MarkShape {
  const outlines = rawOutlines(geometry)
    .map((outline) => cutTo(outline, widthPx, heightPx).map(([x, y]): Point => [round(x), round(y)]))
    .filter((outline) => outline.length >= 3 && areaOf(outline) > 0);
  const fixed =
    geometry.type === "point" || geometry.type === "line" || geometry.type === "angle" || geometry.type === "edges";
  return { outlines, points: fixed ? geometry.points.map(([x, y]): Point => [round(x), round(y)]) : null };
}

function rawOutlines(geometry: Geometry): readonly (readonly Point[])[] {
  switch (geometry.type) {
    case "polygon":
    case "ellipse":
      return [cornersOf(geometry)];
    case "point": {
      const [[x, y]] = geometry.points;
      const r = HALF_BAND_PX;
      return [
        [
          [x - r, y - r],
          [x + r, y - r],
          [x + r, y + r],
          [x - r, y + r],
        ],
      ];
    }
    case "edges": {
      const [a1, a2, b1, b2] = geometry.points;
      return [band([a1, a2]), band([b1, b2])];
    }
    case "line":
    case "polyline":
    case "angle":
      return [band(geometry.points)];
  }
}

/** The band along a line: up on its left side, back on its right. */
function band(points: readonly Point[]): readonly Point[] {
  const places = points.filter(
    (p, i) => i === 0 || Math.hypot(p[0] - points[i - 1]![0], p[1] - points[i - 1]![1]) > 1e-6,
  );
  if (places.length === 1) return rawOutlines({ type: "point", points: [places[0]!] })[0]!;
  const normals = places.slice(1).map((p, i): Point => {
    const [dx, dy] = [p[0] - places[i]![0], p[1] - places[i]![1]];
    const length = Math.hypot(dx, dy);
    return [-dy / length, dx / length];
  });
  const side = (sign: number): Point[] =>
    places.map((p, i): Point => {
      const before = normals[Math.max(0, i - 1)]!;
      const after = normals[Math.min(normals.length - 1, i)]!;
      const sum: Point = [before[0] + after[0], before[1] + after[1]];
      const length = Math.hypot(...sum);
      // A line that turns straight back has no side to speak of at its turn.
      const [nx, ny] = length < 1e-6 ? after : [sum[0] / length, sum[1] / length];
      return [p[0] + sign * HALF_BAND_PX * nx, p[1] + sign * HALF_BAND_PX * ny];
    });
  return [...side(1), ...side(-1).reverse()];
}

/** @source Sutherland & Hodgman 1974 (Comm. ACM 17, 32), for the four sides of the picture. */
function cutTo(outline: readonly Point[], widthPx: number, heightPx: number): readonly Point[] {
  const inside: ((p: Point) => number)[] = [([x]) => x, ([x]) => widthPx - x, ([, y]) => y, ([, y]) => heightPx - y];
  return inside.reduce<readonly Point[]>(
    (left, depth) =>
      left.flatMap((p, i): Point[] => {
        const q = left[(i + 1) % left.length]!;
        const [a, b] = [depth(p), depth(q)];
        const crossing: Point[] =
          a >= 0 === b >= 0 ? [] : [[p[0] + (a / (a - b)) * (q[0] - p[0]), p[1] + (a / (a - b)) * (q[1] - p[1])]];
        return a >= 0 ? [p, ...crossing] : crossing;
      }),
    outline,
  );
}

/** Area inside an outline, px², by its corners; parts wound the other way count against each other. */
export function areaOf(outline: readonly Point[]): number {
  let sum = 0;
  outline.forEach(([x, y], i) => {
    const [u, v] = outline[(i + 1) % outline.length]!;
    sum += x * v - u * y;
  });
  return Math.abs(sum) / 2;
}

/** [x, y, width, height] around all outlines. */
export function boxOf(outlines: readonly (readonly Point[])[]): readonly [number, number, number, number] {
  const all = outlines.flat();
  const least = (axis: 0 | 1) => all.reduce((m, p) => Math.min(m, p[axis]), Infinity);
  const most = (axis: 0 | 1) => all.reduce((m, p) => Math.max(m, p[axis]), -Infinity);
  const [x, y] = [least(0), least(1)];
  return [x, y, round(most(0) - x), round(most(1) - y)];
}

const round = (v: number): number => Math.round(v * 100) / 100;
