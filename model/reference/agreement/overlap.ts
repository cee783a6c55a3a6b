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
  const sums = [0, 0, 0];
  const [mine, theirs] = [piecesOf(first, top, step), piecesOf(second, top, step)];
  for (let i = 0; i < SCAN_LINES; i++) {
    const [u, v] = [mine[i]!, theirs[i]!];
    sums[0]! += lengthOf(u);
    sums[1]! += lengthOf(v);
    sums[2]! += commonLength(u, v);
  }
  const [one, other, common] = sums.map((sum) => sum * step) as [number, number, number];
  const together = one + other - common;
  return { common, first: one, second: other, iou: together > 0 ? common / together : 0 };
}

type Piece = readonly [from: number, to: number];

/** Pieces inside the outline on every line. Each edge is looked at once and only for the lines it crosses. */
function piecesOf(corners: readonly Point[], top: number, step: number): readonly (readonly Piece[])[] {
  const crossings = Array.from({ length: SCAN_LINES }, (): number[] => []);
  // The first line at or below a height: two edges that meet there agree on it.
  const lineAt = (y: number): number => Math.max(0, Math.min(SCAN_LINES, Math.ceil((y - top) / step - 0.5)));
  corners.forEach(([x1, y1], i) => {
    const [x2, y2] = corners[(i + 1) % corners.length]!;
    const [from, to] = y1 <= y2 ? [lineAt(y1), lineAt(y2)] : [lineAt(y2), lineAt(y1)];
    for (let line = from; line < to; line++)
      crossings[line]!.push(x1 + ((top + (line + 0.5) * step - y1) / (y2 - y1)) * (x2 - x1));
  });
  return crossings.map((list) => {
    list.sort((a, b) => a - b);
    const pieces: Piece[] = [];
    for (let k = 0; k + 1 < list.length; k += 2) pieces.push([list[k]!, list[k + 1]!]);
    return pieces;
  });
}

const lengthOf = (pieces: readonly Piece[]): number => pieces.reduce((sum, [from, to]) => sum + to - from, 0);

function commonLength(a: readonly Piece[], b: readonly Piece[]): number {
  let sum = 0;
  for (let i = 0, j = 0; i < a.length && j < b.length;) {
    const [u, v] = [a[i]!, b[j]!];
    sum += Math.max(0, Math.min(u[1], v[1]) - Math.max(u[0], v[0]));
    if (u[1] < v[1]) i++;
    else j++;
  }
  return sum;
}
