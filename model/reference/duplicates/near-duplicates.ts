import type { GreyImage } from "../../picture/pixels/grey.ts";
import { ones, type PictureHash, pictureHash } from "./picture-hash.ts";
import { laid, squareThumbnail, THUMBNAIL_PX, WAYS } from "./thumbnail.ts";

/** A photograph made ready for comparison: kept for all photographs of a set, 16 KB each. */
export interface ComparedPhotograph {
  /** SHA-256 of the original. */
  readonly hash: string;
  readonly breakId: string;
  /** 128 × 128 grey values, 0–255. */
  readonly thumbnail: Uint8Array;
  /** What it looks like in each of the eight ways it can lie. */
  readonly looks: readonly PictureHash[];
}

export interface NearDuplicate {
  readonly hashes: readonly [string, string];
  readonly breakIds: readonly [string, string];
  /** Up to 1: how far the details agree; see `LEAST_ALIKE`. */
  readonly alike: number;
}

/** Bits that the looks of one picture may differ after packing, resizing, turning. */
const MOST_BITS = 14;
/**
 * Least agreement of the details of two thumbnails (correlation without their slow waves) for them to be called one.
 * Between two gaps: copies of real metal, textures and rendered breaks packed at quality 30, resized to a quarter,
 * brightened, turned or mirrored agree by 0.85 and more; different rendered demo pictures and textures by 0.56 and less.
 * Frames of one fixed camera looking at one machine part agree by up to 0.99 and are called one, as they should be.
 * A copy cut by 2 % on each side or tilted by 1° is not found.
 */
export const LEAST_ALIKE = 0.75;

/** @param grey – the photograph, of any size; small ones (320 px) do. */
export function comparedPhotograph(hash: string, breakId: string, grey: GreyImage): ComparedPhotograph {
  const square = squareThumbnail(grey);
  const looks = Array.from({ length: WAYS }, (_, way) => pictureHash(squareThumbnail(laid(square, way), 32)));
  return { hash, breakId, thumbnail: Uint8Array.from(square.data, (v) => Math.round(255 * v)), looks };
}

/** Two of a list of photographs whose looks are alike, by their places in it, and the ways the second must be laid. */
export interface AlikeLooks {
  readonly a: number;
  readonly b: number;
  readonly ways: readonly number[];
}

/** Looks of many photographs in one array: eight of two whole numbers each. */
export const packedLooks = (photographs: readonly Pick<ComparedPhotograph, "looks">[]): Uint32Array<ArrayBuffer> =>
  Uint32Array.from(photographs.flatMap(({ looks }) => looks.flat()));

/**
 * Every pair of photographs of different breaks, compared by looks alone.
 *
 * @param looks – as `packedLooks` gives them.
 * @param breakOf, fileOf – for each photograph the number of its break and of its file; one file is not compared with
 * itself (`exactDuplicates` finds those).
 * @param onPart – share done, 0–1; it may throw to stop.
 */
export function alikeLooks(
  looks: Uint32Array,
  breakOf: ArrayLike<number>,
  fileOf: ArrayLike<number>,
  onPart: (part: number) => void = () => undefined,
): readonly AlikeLooks[] {
  const found: AlikeLooks[] = [];
  const n = breakOf.length;
  for (let a = 0; a < n; a++) {
    // The rows get shorter: what is left of the triangle.
    if (a % 64 === 0) onPart(1 - ((n - a) / n) ** 2);
    const [x, y] = [looks[2 * WAYS * a]!, looks[2 * WAYS * a + 1]!];
    for (let b = a + 1; b < n; b++) {
      if (breakOf[a] === breakOf[b] || fileOf[a] === fileOf[b]) continue;
      let ways: number[] | null = null;
      for (let way = 0; way < WAYS; way++) {
        const at = 2 * (WAYS * b + way);
        if (ones(x ^ looks[at]!) + ones(y ^ looks[at + 1]!) <= MOST_BITS) (ways ??= []).push(way);
      }
      if (ways !== null) found.push({ a, b, ways });
    }
  }
  return found;
}

/** How far the details of two photographs agree, up to 1: the best of some ways of laying the second. */
export function detailsAgree(a: Uint8Array, b: Uint8Array, ways: readonly number[]): number {
  const details = fineDetails(greyThumbnail(a));
  return ways.reduce((best, way) => Math.max(best, correlation(details, fineDetails(laid(greyThumbnail(b), way)))), -1);
}

/**
 * Photographs of different breaks that show the same picture: packed again, resized, turned by quarters or mirrored.
 * Every pair is compared by its looks; only pairs with alike looks by their details. Byte for byte the same is no
 * matter of looks: `exactDuplicates`.
 */
export function nearDuplicates(photographs: readonly ComparedPhotograph[]): readonly NearDuplicate[] {
  const numbers = (names: readonly string[]): Int32Array => {
    const known = new Map<string, number>();
    return Int32Array.from(names, (name) => {
      if (!known.has(name)) known.set(name, known.size);
      return known.get(name)!;
    });
  };
  const pairs = alikeLooks(
    packedLooks(photographs),
    numbers(photographs.map((p) => p.breakId)),
    numbers(photographs.map((p) => p.hash)),
  );
  return pairs.flatMap(({ a, b, ways }): NearDuplicate[] => {
    const [one, other] = [photographs[a]!, photographs[b]!];
    const alike = detailsAgree(one.thumbnail, other.thumbnail, ways);
    if (alike < LEAST_ALIKE) return [];
    return [{ hashes: [one.hash, other.hash], breakIds: [one.breakId, other.breakId], alike }];
  });
}

const greyThumbnail = (thumbnail: Uint8Array): GreyImage => ({
  widthPx: THUMBNAIL_PX,
  heightPx: THUMBNAIL_PX,
  data: Float32Array.from(thumbnail),
});

/** Reach of the mean that is taken off, px of the thumbnail. */
const REACH = 3;

/** Grey values less the mean around them, scaled to length 1: broad light and shade no longer count. */
export function fineDetails({ data, widthPx: n }: GreyImage): Float32Array {
  const sums = new Float64Array((n + 1) * (n + 1));
  for (let y = 0; y < n; y++)
    for (let x = 0; x < n; x++)
      sums[(y + 1) * (n + 1) + x + 1] =
        data[y * n + x]! + sums[y * (n + 1) + x + 1]! + sums[(y + 1) * (n + 1) + x]! - sums[y * (n + 1) + x]!;
  const out = new Float32Array(n * n);
  let square = 0;
  const width = 2 * REACH + 1;
  for (let y = REACH; y < n - REACH; y++)
    for (let x = REACH; x < n - REACH; x++) {
      const [top, low] = [(y - REACH) * (n + 1), (y + REACH + 1) * (n + 1)];
      const [left, right] = [x - REACH, x + REACH + 1];
      const around = sums[low + right]! - sums[top + right]! - sums[low + left]! + sums[top + left]!;
      const rest = data[y * n + x]! - around / width ** 2;
      out[y * n + x] = rest;
      square += rest * rest;
    }
  const length = Math.sqrt(square);
  return length < 1e-6 ? out.fill(0) : out.map((v) => v / length);
}

function correlation(a: Float32Array, b: Float32Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
  return sum;
}
