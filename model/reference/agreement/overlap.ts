import type { Geometry, Point } from "../../break/geometry.ts";

export type AreaGeometry = Extract<Geometry, { readonly type: "polygon" | "ellipse" }>;

export const isArea = (shape: Geometry): shape is AreaGeometry => shape.type === "polygon" || shape.type === "ellipse";

/** Corners that stand for an ellipse: its area comes out 0.04 % small. */
export const ELLIPSE_CORNERS = 128;
/** Lines across the common height along which shapes are compared. */
const SCAN_LINES = 1024;

/** Corners of an area, in px. */
export function cornersOf(shape: AreaGeometry, corners = ELLIPSE_CORNERS): readonly Point[] {
  if (shape.type === "polygon") return shape.points;
  const turn = (shape.angle_deg * Math.PI) / 180;
  return Array.from({ length: corners }, (_, i): Point => {
    const t = (2 * Math.PI * i) / corners;
    const [u, v] = [shape.rx * Math.cos(t), shape.ry * Math.sin(t)];
    return [shape.cx + u * Math.cos(turn) - v * Math.sin(turn), shape.cy + u * Math.sin(turn) + v * Math.cos(turn)];
  });
}

export interface Overlap {
  /** px². */
  readonly common: number;
  readonly first: number;
  readonly second: number;
  /** Common area over the area of both together, 0–1; 0 when neither has an area. */
  readonly iou: number;
}

/**
 * Overlap of two areas by exact pieces along 1024 lines across them, so that outlines may be hollow or cross
 * themselves: inside is where an odd number of edges lies to the left.
 */
export function overlapOf(a: AreaGeometry, b: AreaGeometry): Overlap {
  const [first, second] = [cornersOf(a), cornersOf(b)];
  const ys = [...first, ...second].map(([, y]) => y);
  const top = ys.reduce((m, y) => Math.min(m, y), Infinity);
  const height = ys.reduce((m, y) => Math.max(m, y), -Infinity) - top;
  if (!(height > 0)) return { common: 0, first: 0, second: 0, iou: 0 };
  const step = height / SCAN_LINES;
  const mine = crossingsOf(first, top, step);
  const theirs = crossingsOf(second, top, step);
  let [one, other, common] = [0, 0, 0];
  for (let line = 0; line < SCAN_LINES; line++) {
    one += lengthOn(mine, line) * step;
    other += lengthOn(theirs, line) * step;
    common += commonOn(mine, theirs, line) * step;
  }
  const together = one + other - common;
  return { common, first: one, second: other, iou: together > 0 ? common / together : 0 };
}

/** Where an outline crosses the lines: those of line i stand at `start[i]` to `start[i + 1]`, rising. */
interface Crossings {
  readonly x: Float64Array;
  readonly start: Int32Array;
}

/** Each edge is looked at once and only for the lines it crosses. */
function crossingsOf(corners: readonly Point[], top: number, step: number): Crossings {
  // The first line at or below a height: two edges that meet there agree on it.
  const lineAt = (y: number): number => Math.max(0, Math.min(SCAN_LINES, Math.ceil((y - top) / step - 0.5)));
  const lines = corners.map(([, y]) => lineAt(y));
  const start = new Int32Array(SCAN_LINES + 1);
  const eachEdge = (visit: (edge: number, line: number) => void): void =>
    corners.forEach((_, i) => {
      const [from, to] = [lines[i]!, lines[(i + 1) % corners.length]!];
      for (let line = Math.min(from, to); line < Math.max(from, to); line++) visit(i, line);
    });
  eachEdge((_, line) => start[line + 1]!++);
  for (let line = 0; line < SCAN_LINES; line++) start[line + 1]! += start[line]!;
  const x = new Float64Array(start[SCAN_LINES]!);
  const next = start.slice();
  eachEdge((i, line) => {
    const p = corners[i]!;
    const q = corners[(i + 1) % corners.length]!;
    x[next[line]!++] = p[0] + ((top + (line + 0.5) * step - p[1]) / (q[1] - p[1])) * (q[0] - p[0]);
  });
  for (let line = 0; line < SCAN_LINES; line++) x.subarray(start[line], start[line + 1]).sort();
  return { x, start };
}

/** Length inside an outline on a line: from every odd crossing to the next. */
function lengthOn({ x, start }: Crossings, line: number): number {
  let sum = 0;
  for (let k = start[line]!; k + 1 < start[line + 1]!; k += 2) sum += x[k + 1]! - x[k]!;
  return sum;
}

function commonOn(a: Crossings, b: Crossings, line: number): number {
  let sum = 0;
  let [i, j] = [a.start[line]!, b.start[line]!];
  const [endA, endB] = [a.start[line + 1]!, b.start[line + 1]!];
  while (i + 1 < endA && j + 1 < endB) {
    sum += Math.max(0, Math.min(a.x[i + 1]!, b.x[j + 1]!) - Math.max(a.x[i]!, b.x[j]!));
    if (a.x[i + 1]! < b.x[j + 1]!) i += 2;
    else j += 2;
  }
  return sum;
}
