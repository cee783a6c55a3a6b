import type { GreyImage } from "../../picture/pixels/grey.ts";
import { squareThumbnail } from "./thumbnail.ts";

/** 63 bits as two whole numbers. */
export type PictureHash = readonly [number, number];

const SIDE = 32;
const KEPT = 8;

const COSINES = Array.from({ length: KEPT }, (_, k) =>
  Float64Array.from({ length: SIDE }, (_, i) => Math.cos((Math.PI * (2 * i + 1) * k) / (2 * SIDE))),
);

/**
 * What a picture looks like in 63 bits: the slow waves of its grey values (8 × 8 of a 32 × 32 cosine transform, without
 * the mean), each stronger than the median or not. Alike pictures differ in few bits; unlike ones in about half.
 *
 * @source perceptual hash by cosine transform: common practice, no source.
 */
export function pictureHash(grey: GreyImage): PictureHash {
  const { data } = grey.widthPx === SIDE && grey.heightPx === SIDE ? grey : squareThumbnail(grey, SIDE);
  const across = COSINES.map((wave) =>
    Float64Array.from({ length: SIDE }, (_, y) => {
      let sum = 0;
      for (let x = 0; x < SIDE; x++) sum += wave[x]! * data[y * SIDE + x]!;
      return sum;
    }),
  );
  const strengths: number[] = [];
  for (let v = 0; v < KEPT; v++)
    for (let u = 0; u < KEPT; u++) {
      if (u === 0 && v === 0) continue;
      let sum = 0;
      for (let y = 0; y < SIDE; y++) sum += COSINES[v]![y]! * across[u]![y]!;
      strengths.push(sum);
    }
  const median = [...strengths].sort((a, b) => a - b)[strengths.length >> 1]!;
  const bits: [number, number] = [0, 0];
  strengths.forEach((strength, i) => {
    if (strength > median) bits[i >> 5]! |= 1 << (i & 31);
  });
  return [bits[0] >>> 0, bits[1] >>> 0];
}

/** Bits in which two hashes differ, 0 to 63. */
export const bitsApart = (a: PictureHash, b: PictureHash): number => ones(a[0] ^ b[0]) + ones(a[1] ^ b[1]);

/** Bits that are set in a whole number. */
export function ones(x: number): number {
  let n = x - ((x >>> 1) & 0x55555555);
  n = (n & 0x33333333) + ((n >>> 2) & 0x33333333);
  return Math.imul((n + (n >>> 4)) & 0x0f0f0f0f, 0x01010101) >>> 24;
}
