import type { Point } from "../../break/geometry.ts";
import type { FramedOutline, SideFrame } from "./side-frame.ts";
import { outOfFrame } from "./side-frame.ts";

/**
 * The wire as one closed polygon: its outline, carried on along both edges beyond the rim of the picture and cut off there.
 *
 * @returns px of the raster.
 */
export function silhouette(
  { frame, upper, lower }: FramedOutline,
  size: { readonly widthPx: number; readonly heightPx: number },
): readonly Point[] {
  const skip = 4;
  const [one, two] = [upper.slice(skip), lower.slice(skip)];
  const start = Math.min(one[0]?.u ?? 0, two[0]?.u ?? 0) - frame.diameter;
  const open = [{ u: start, w: one[0]?.w ?? 0 }, ...one, ...[...two].reverse(), { u: start, w: two[0]?.w ?? 0 }].map(
    ({ u, w }) => outOfFrame(frame, u, w),
  );
  return cutToPicture(open, size.widthPx, size.heightPx);
}

/**
 * Part of a closed polygon that lies in the picture.
 *
 * @source from memory: Sutherland and Hodgman, Reentrant polygon clipping (1974)
 */
function cutToPicture(polygon: readonly Point[], widthPx: number, heightPx: number): readonly Point[] {
  const sides: readonly (readonly [axis: 0 | 1, limit: number, sign: 1 | -1])[] = [
    [0, 0, 1],
    [0, widthPx, -1],
    [1, 0, 1],
    [1, heightPx, -1],
  ];
  let kept = polygon;
  for (const [axis, limit, sign] of sides) {
    const depth = (p: Point): number => sign * (p[axis] - limit);
    const out: Point[] = [];
    kept.forEach((p, i) => {
      const before = kept[(i + kept.length - 1) % kept.length]!;
      const [a, b] = [depth(before), depth(p)];
      if (a >= 0 !== b >= 0) {
        const t = a / (a - b);
        out.push([before[0] + t * (p[0] - before[0]), before[1] + t * (p[1] - before[1])]);
      }
      if (b >= 0) out.push(p);
    });
    kept = out;
  }
  return kept;
}

/** Ends of an edge line, drawn back so that they lie in the picture. */
export function withinPicture(
  frame: SideFrame,
  w: number,
  from: number,
  to: number,
  { widthPx, heightPx }: { readonly widthPx: number; readonly heightPx: number },
): readonly [Point, Point] {
  const inside = ([x, y]: Point): boolean => x >= 0 && y >= 0 && x <= widthPx && y <= heightPx;
  let start = from;
  while (start < to - 1 && !inside(outOfFrame(frame, start, w))) start += 1;
  return [outOfFrame(frame, start, w), outOfFrame(frame, to, w)];
}
