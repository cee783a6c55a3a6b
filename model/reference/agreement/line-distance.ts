import type { Geometry, Point } from "../../break/geometry.ts";

export type LineGeometry = Exclude<Geometry, { readonly type: "polygon" | "ellipse" }>;

/** Places along a line from which the distance to the other is taken. */
const PLACES = 64;

/**
 * Distance of two points or lines in px: the mean of the distances from places along each to the nearest place of the
 * other, both ways. Zero only where both cover the same.
 */
export function lineDistance(a: LineGeometry, b: LineGeometry): number {
  const [first, second] = [strokesOf(a), strokesOf(b)];
  return (meanTo(first, second) + meanTo(second, first)) / 2;
}

type Stroke = readonly Point[];

/** The two edges of a wire are two strokes; everything else is one. */
function strokesOf(shape: LineGeometry): readonly Stroke[] {
  if (shape.type !== "edges") return [shape.points];
  const [a1, a2, b1, b2] = shape.points;
  return [
    [a1, a2],
    [b1, b2],
  ];
}

function meanTo(from: readonly Stroke[], to: readonly Stroke[]): number {
  const places = from.flatMap(placesOn);
  return places.reduce((sum, place) => sum + nearest(place, to), 0) / places.length;
}

/** Places at equal distances along a stroke, ends included. */
function placesOn(stroke: Stroke): readonly Point[] {
  const lengths = stroke.slice(1).map((p, i) => Math.hypot(p[0] - stroke[i]![0], p[1] - stroke[i]![1]));
  const whole = lengths.reduce((sum, l) => sum + l, 0);
  if (whole === 0) return [stroke[0]!];
  return Array.from({ length: PLACES }, (_, k): Point => {
    let left = (whole * k) / (PLACES - 1);
    let i = 0;
    while (i < lengths.length - 1 && left > lengths[i]!) left -= lengths[i++]!;
    const share = lengths[i]! === 0 ? 0 : Math.min(1, left / lengths[i]!);
    const [p, q] = [stroke[i]!, stroke[i + 1]!];
    return [p[0] + share * (q[0] - p[0]), p[1] + share * (q[1] - p[1])];
  });
}

function nearest(place: Point, strokes: readonly Stroke[]): number {
  let least = Infinity;
  for (const stroke of strokes)
    for (let i = 0; i < Math.max(1, stroke.length - 1); i++)
      least = Math.min(least, squareToPiece(place, stroke[i]!, stroke[i + 1] ?? stroke[i]!));
  return Math.sqrt(least);
}

/** Runs a hundred thousand times for two long lines, so no list is made on the way. */
function squareToPiece(place: Point, from: Point, to: Point): number {
  const dx = to[0] - from[0];
  const dy = to[1] - from[1];
  const x = place[0] - from[0];
  const y = place[1] - from[1];
  const square = dx * dx + dy * dy;
  const share = square === 0 ? 0 : Math.min(1, Math.max(0, (x * dx + y * dy) / square));
  return (x - share * dx) ** 2 + (y - share * dy) ** 2;
}
