import { type GreyImage, newGrey } from "../../picture/pixels/grey.ts";

/** Side of the square copies that are compared, px. */
export const THUMBNAIL_PX = 128;

/**
 * A picture as a small square of means, its sides squeezed alike or not: every pixel is the mean of the part of the
 * picture it stands for, parts of pixels counted by their share.
 */
export function squareThumbnail(grey: GreyImage, side = THUMBNAIL_PX): GreyImage {
  const { widthPx, heightPx, data } = grey;
  const columns = sharesOf(widthPx, side);
  const rows = sharesOf(heightPx, side);
  const narrow = new Float64Array(side * heightPx);
  for (let y = 0; y < heightPx; y++)
    columns.forEach((parts, x) => {
      let sum = 0;
      for (const [at, share] of parts) sum += share * data[y * widthPx + at]!;
      narrow[y * side + x] = sum;
    });
  const small = newGrey(side, side);
  rows.forEach((parts, y) => {
    for (let x = 0; x < side; x++) {
      let sum = 0;
      for (const [at, share] of parts) sum += share * narrow[at * side + x]!;
      small.data[y * side + x] = sum;
    }
  });
  return small;
}

/** For each of `to` cells: the pixels of a row of `from` that lie in it, with shares that sum to 1. */
function sharesOf(from: number, to: number): readonly (readonly (readonly [at: number, share: number])[])[] {
  const size = from / to;
  return Array.from({ length: to }, (_, i) => {
    const [start, end] = [i * size, (i + 1) * size];
    const parts: (readonly [number, number])[] = [];
    for (let at = Math.floor(start); at < Math.min(from, Math.ceil(end - 1e-9)); at++)
      parts.push([at, (Math.min(at + 1, end) - Math.max(at, start)) / size]);
    return parts;
  });
}

/** The eight ways a square can lie: turned by quarters, and mirrored. @param way – 0 to 7; 0 = as it is. */
export function laid({ data, widthPx: n }: GreyImage, way: number): GreyImage {
  const to = newGrey(n, n);
  const last = n - 1;
  for (let y = 0; y < n; y++)
    for (let x = 0; x < n; x++) {
      const u = way & 1 ? last - x : x;
      const v = way & 2 ? last - y : y;
      to.data[y * n + x] = way & 4 ? data[u * n + v]! : data[v * n + u]!;
    }
  return to;
}
export const WAYS = 8;
