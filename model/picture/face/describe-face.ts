import { blurGrey } from "../pixels/gaussian.ts";
import type { GreyImage } from "../pixels/grey.ts";
import { againstNeighbourhood, DISC_PX, FACE_SHARE, faceDisc, type FaceDisc, type OutlineEllipse } from "./disc.ts";
import { localPatterns, PATTERN_COUNT } from "./local-patterns.ts";
import { pairFigures, pairTable } from "./pair-table.ts";

/** Upper edges of the rings, in wire radii. */
export const RINGS = [0.2, 0.4, 0.6, 0.8, FACE_SHARE] as const;
/** Radii of the local patterns and distances of the pairs, px of the disc. */
const PATTERN_RADII = [1, 3] as const;
const PAIR_STEPS = [1, 4] as const;
const LEVELS = 16;

/** What one number of a face is. */
export interface FaceNumber {
  readonly name: string;
  readonly says: string;
}

const ring = (k: number) => `${k === 0 ? "0" : RINGS[k - 1]!.toFixed(1)}–${RINGS[k]!.toFixed(1)} R`;

/** Names of the numbers of a face, in the order of `describeFace`. */
export const FACE_NUMBERS: readonly FaceNumber[] = [
  ...RINGS.map((_, k) => ({ name: `ring${k}.bright`, says: `brightness of the face at ${ring(k)}` })),
  ...RINGS.map((_, k) => ({ name: `ring${k}.fine`, says: `fine texture of the face at ${ring(k)}` })),
  ...RINGS.map((_, k) => ({ name: `ring${k}.coarse`, says: `coarse texture of the face at ${ring(k)}` })),
  ...PATTERN_RADII.flatMap((r) =>
    Array.from({ length: PATTERN_COUNT }, (_, k) => ({
      name: `pattern${r}.${k}`,
      says: `small patterns of the face, ${r === 1 ? "fine" : "coarse"}, kind ${k}`,
    })),
  ),
  ...PAIR_STEPS.flatMap((d) =>
    ["contrast", "homogeneity", "energy", "correlation"].map((f) => ({
      name: `pairs${d}.${f}`,
      says: `grain of the face, ${f} at ${d === 1 ? "short" : "long"} distance`,
    })),
  ),
  { name: "slopes.radial", says: "edges on the face that run round it" },
  { name: "slopes.one_way", says: "edges on the face that run one way" },
  { name: "sparkle", says: "share of the face that sparkles" },
  { name: "shade", says: "share of the face in deep shade" },
  { name: "middle.dark", says: "darkness of the middle of the face" },
  { name: "rim.bright", says: "brightness of the rim" },
  { name: "texture.one_sided", says: "texture stronger on one side" },
  { name: "texture.two_sided", says: "texture stronger on two opposite sides" },
];

/**
 * The face of one end in numbers, from its end-on view. Turning, mirroring, enlarging or exposing the photograph
 * otherwise changes them little; slow changes of light across the face drop out.
 *
 * - ring brightness: ln(mean of the ring / mean of the face); the mean round the ring cancels light from one side
 * - ring texture: root mean square of ln brightness against its neighbourhood, as difference of two blurs
 * - patterns: shares of `localPatterns`; pairs: `pairFigures` of 16 equally full levels, four directions together
 * - slopes: share of squared slopes along the radius; (λ1 − λ2)/(λ1 + λ2) of the structure tensor
 * - sparkle, shade: share of the face 60 % above, 45 % below its neighbourhood
 * - one-sided, two-sided: |Σ e·exp(ikθ)| / Σ e of the texture energy, k = 1, 2
 *
 * @param grey – the photograph. @param outline – of the wire, px of the photograph.
 * @returns one value per `FACE_NUMBERS`.
 * @source structure tensor: J. Bigün, G. Granlund, "Optimal orientation detection of linear symmetry", ICCV 1987, from
 *   memory; patterns and pairs: see there; the rest common practice, no source
 */
export function describeFace(grey: GreyImage, outline: OutlineEllipse): Float32Array {
  const disc = faceDisc(grey, outline);
  const local = againstNeighbourhood(disc);
  const fine = band(local, 0.7, 1.6);
  const coarse = band(local, 2, 5);
  const slopes = slopesOf(disc, local);
  return Float32Array.from([
    ...ringBrightness(disc),
    ...ringRms(disc, fine),
    ...ringRms(disc, coarse),
    ...PATTERN_RADII.flatMap((r) => patternShares(disc, local, r)),
    ...PAIR_STEPS.flatMap((d) => pairNumbers(disc, local, d)),
    slopes.radial,
    slopes.oneWay,
    share(disc, (at) => local[at]! > Math.log(1.6)),
    share(disc, (at) => local[at]! < Math.log(0.55)),
    -logRatio(disc, (r) => r < 0.25),
    logRatio(disc, (r) => r > 0.82 && r <= FACE_SHARE),
    harmonic(disc, coarse, 1),
    harmonic(disc, coarse, 2),
  ]);
}

/** Added to both sides of a ratio, as a share of the mean: deep shade is noise, at any exposure. */
const DARK = 0.06;

function logRatio({ grey, radius }: FaceDisc, chosen: (r: number) => boolean): number {
  let [sum, n, all, count] = [0, 0, 0, 0];
  for (let at = 0; at < radius.length; at++) {
    if (radius[at]! > FACE_SHARE) continue;
    all += grey.data[at]!;
    count++;
    if (!chosen(radius[at]!)) continue;
    sum += grey.data[at]!;
    n++;
  }
  return Math.log((sum / n / (all / count || 1) + DARK) / (1 + DARK));
}

const ringBrightness = (disc: FaceDisc): number[] =>
  RINGS.map((to, k) => logRatio(disc, (r) => r <= to && r > (RINGS[k - 1] ?? -1)));

const asGrey = (data: Float32Array): GreyImage => ({ widthPx: DISC_PX, heightPx: DISC_PX, data });

/** What lies between two blurs. */
function band(local: Float32Array, from: number, to: number): Float32Array {
  const near = blurGrey(asGrey(local), from).data;
  const far = blurGrey(asGrey(local), to).data;
  return near.map((v, at) => v - far[at]!);
}

function ringRms({ radius }: FaceDisc, texture: Float32Array): number[] {
  return RINGS.map((to, k) => {
    let [sum, n] = [0, 0];
    for (let at = 0; at < radius.length; at++) {
      const r = radius[at]!;
      if (r > to || r <= (RINGS[k - 1] ?? -1)) continue;
      sum += texture[at]! ** 2;
      n++;
    }
    return Math.sqrt(sum / n);
  });
}

function patternShares({ radius }: FaceDisc, local: Float32Array, r: number): number[] {
  const patterns = localPatterns(blurGrey(asGrey(local), 0.6), r);
  const count = new Array<number>(PATTERN_COUNT).fill(0);
  let n = 0;
  for (let at = 0; at < radius.length; at++) {
    if (radius[at]! > FACE_SHARE - (2 * r) / DISC_PX) continue;
    count[patterns[at]!]!++;
    n++;
  }
  return count.map((c) => c / n);
}

/** Equally full levels: the k-th sixteenth of the face by brightness against the neighbourhood. */
function levelsOf({ radius }: FaceDisc, local: Float32Array): Uint8Array {
  const inside = [...radius.keys()].filter((at) => radius[at]! <= FACE_SHARE);
  const sorted = Float32Array.from(inside, (at) => local[at]!).sort();
  const cuts = Array.from({ length: LEVELS - 1 }, (_, k) => sorted[Math.floor(((k + 1) * sorted.length) / LEVELS)]!);
  const level = new Uint8Array(radius.length).fill(255);
  for (const at of inside) {
    let l = 0;
    while (l < LEVELS - 1 && local[at]! >= cuts[l]!) l++;
    level[at] = l;
  }
  return level;
}

function pairNumbers(disc: FaceDisc, local: Float32Array, d: number): number[] {
  const smooth = blurGrey(asGrey(local), 0.6).data;
  const diagonal = Math.max(1, Math.round(d / Math.SQRT2));
  const steps = [
    [d, 0],
    [0, d],
    [diagonal, diagonal],
    [-diagonal, diagonal],
  ] as const;
  const { contrast, homogeneity, energy, correlation } = pairFigures(
    pairTable(levelsOf(disc, smooth), DISC_PX, LEVELS, steps),
  );
  return [contrast, homogeneity, energy, correlation];
}

function slopesOf({ radius }: FaceDisc, local: Float32Array): { readonly radial: number; readonly oneWay: number } {
  const smooth = blurGrey(asGrey(local), 1).data;
  let [xx, yy, xy, radial] = [0, 0, 0, 0];
  for (let y = 1; y < DISC_PX - 1; y++)
    for (let x = 1; x < DISC_PX - 1; x++) {
      const at = y * DISC_PX + x;
      const r = radius[at]!;
      if (r > FACE_SHARE - 0.04 || r < 0.05) continue;
      const gx = smooth[at + 1]! - smooth[at - 1]!;
      const gy = smooth[at + DISC_PX]! - smooth[at - DISC_PX]!;
      const u = (2 * (x + 0.5)) / DISC_PX - 1;
      const v = (2 * (y + 0.5)) / DISC_PX - 1;
      xx += gx * gx;
      yy += gy * gy;
      xy += gx * gy;
      radial += ((gx * u + gy * v) / r) ** 2;
    }
  const total = xx + yy;
  if (total === 0) return { radial: 0.5, oneWay: 0 };
  return { radial: radial / total, oneWay: Math.hypot(xx - yy, 2 * xy) / total };
}

function share({ radius }: FaceDisc, chosen: (at: number) => boolean): number {
  let [hit, n] = [0, 0];
  for (let at = 0; at < radius.length; at++) {
    if (radius[at]! > FACE_SHARE) continue;
    n++;
    if (chosen(at)) hit++;
  }
  return hit / n;
}

function harmonic({ radius }: FaceDisc, texture: Float32Array, k: number): number {
  let [cos, sin, sum] = [0, 0, 0];
  for (let at = 0; at < radius.length; at++) {
    if (radius[at]! > FACE_SHARE || radius[at]! < 0.1) continue;
    const angle = Math.atan2(Math.floor(at / DISC_PX) + 0.5 - DISC_PX / 2, (at % DISC_PX) + 0.5 - DISC_PX / 2);
    const e = texture[at]! ** 2;
    cos += e * Math.cos(k * angle);
    sin += e * Math.sin(k * angle);
    sum += e;
  }
  return sum === 0 ? 0 : Math.hypot(cos, sin) / sum;
}
