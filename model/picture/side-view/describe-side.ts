import type { Raster } from "../pixels/grey.ts";
import { endProfile, fallsBelow, type EndProfile } from "./end-profile.ts";
import { laidStraight } from "./laid-straight.ts";
import { soundWire, STRIP_PER_D, wireStrip, type EdgesGeometry, type SoundWire, type WireStrip } from "./wire-strip.ts";

/** What one number of a side view is. */
export interface SideNumber {
  readonly name: string;
  readonly says: string;
}

/** Distances behind the tip at which the end is measured across, wire diameters. */
const BEHIND = [0.1, 0.25, 0.5, 0.8, 1.2] as const;
/** Stretches of skin behind the rim, wire diameters; the last one is the sound skin that the others are compared with. */
const STRETCHES = [
  [0.05, 0.45],
  [0.45, 1],
] as const;
const SOUND = [1.3, 2.3] as const;
/** Rows of skin beyond this share of the diameter from the axis are left out: there the skin turns away. */
const HALF = 0.35;

/** Unevenness that noise alone makes, squared ln units; below it ratios mean nothing. */
const LEAST_ENERGY = 1e-3;

const near = (k: number): string => (k === 0 ? "next to the break" : "a little behind the break");

/** Names of the numbers of a side view, in the order of `describeSide`. */
export const SIDE_NUMBERS: readonly SideNumber[] = [
  ...BEHIND.map((s) => ({ name: `width${s}`, says: `width of the end ${s} D behind its tip` })),
  ...BEHIND.slice(0, 4).map((s) => ({
    name: `off${s}`,
    says: `how far the end lies off the axis ${s} D behind its tip`,
  })),
  { name: "widest", says: "widest place of the end" },
  { name: "slant", says: "one edge of the end standing out beyond the other" },
  { name: "stands_out", says: "how far the broken face stands out of the rim" },
  ...STRETCHES.flatMap((_, k) => [
    { name: `skin${k}.bright`, says: `skin brighter ${near(k)}` },
    { name: `skin${k}.red`, says: `skin redder ${near(k)}` },
    { name: `skin${k}.blue`, says: `skin bluer ${near(k)}` },
    { name: `skin${k}.rough`, says: `skin rougher ${near(k)}` },
    { name: `skin${k}.across`, says: `lines across the wire ${near(k)}` },
    { name: `skin${k}.dark`, says: `dark places on the skin ${near(k)}` },
    { name: `skin${k}.light`, says: `bright places on the skin ${near(k)}` },
    { name: `skin${k}.one_sided`, says: `skin uneven from one side to the other ${near(k)}` },
  ]),
  { name: "lines.helix", says: "draw lines turned off the axis" },
  { name: "lines.clear", says: "draw lines that run one way" },
  { name: "long_line", says: "a dark line along the wire" },
  { name: "dark_spot", says: "one dark place on the skin" },
  { name: "colour.red", says: "redness of the sound skin" },
  { name: "colour.blue", says: "blueness of the sound skin" },
];

/**
 * A wire end seen from the side, in numbers. Turning, mirroring and rescaling the picture change nothing, nor do gain
 * and exposure: brightness and colour count against the sound skin of the same picture, lengths against the wire.
 *
 * @param edges – the two sound edges, px of the raster.
 * @returns one value per `SIDE_NUMBERS`, NaN where the picture does not show it; null when the edges give no frame.
 * @source common practice, no source
 */
export function describeSide(picture: Raster, edges: EdgesGeometry): Float32Array | null {
  const drawn = soundWire(edges, picture.widthPx, picture.heightPx);
  if (drawn === null) return null;
  const { raster, wire } = laidStraight(picture, drawn);
  const profile = endProfile({ raster, wire });
  const end = profile === null ? null : shapeOf(profile);
  // Without an outline of the end the drawn edges say where the sound wire ends, and the break is near.
  const skin = skinOf(raster, wire, end?.rim ?? 0);
  return Float32Array.from([...(end?.numbers ?? Array<number>(BEHIND.length + 7).fill(NaN)), ...skin]);
}

interface EndShape {
  /** The rim that lies farther back, along the axis, wire diameters from the end of the edges. */
  readonly rim: number;
  readonly numbers: readonly number[];
}

/** Widths, offsets and slant of the end from what of its place is covered. */
function shapeOf(profile: EndProfile): EndShape | null {
  const { one, two, perD, zero } = profile;
  const whole = (x: number): number => one[x]! + two[x]!;
  const tip = fallsBelow(whole, 0.2, profile);
  if (tip === null || !(tip > -1 && tip < 2.2)) return null;
  const at = (values: Float64Array, s: number): number => {
    const x = zero + (tip - s) * perD - 0.5;
    const low = Math.floor(x);
    if (low < 0 || low + 1 >= values.length) return NaN;
    return values[low]! + (x - low) * (values[low + 1]! - values[low]!);
  };
  const across = BEHIND.map((s) => [at(one, s), at(two, s)] as const);
  let widest = 0;
  for (let s = 0.05; s < 1.5; s += 0.05) widest = Math.max(widest, at(one, s) + at(two, s) || 0);
  const upper = fallsBelow((x) => one[x]!, 0.3, profile) ?? NaN;
  const lower = fallsBelow((x) => two[x]!, 0.3, profile) ?? NaN;
  const rim = Math.min(upper, lower);
  return {
    rim: Number.isNaN(rim) ? tip : rim,
    numbers: [
      ...across.map(([a, b]) => a + b),
      ...across.slice(0, 4).map(([a, b]) => Math.abs(a - b) / 2),
      widest,
      Math.abs(upper - lower),
      tip - Math.max(upper, lower),
    ],
  };
}

interface Patch {
  /** ln brightness without its slow change across the wire, and the colours, by place. */
  readonly bright: number;
  readonly red: number;
  readonly blue: number;
  readonly alongEnergy: number;
  readonly acrossEnergy: number;
  readonly dark: number;
  readonly light: number;
  readonly oneSided: number;
}

function skinOf(raster: Raster, wire: SoundWire, rim: number): number[] {
  const strip = (from: number, to: number): WireStrip => wireStrip(raster, wire, rim - to, rim - from, HALF);
  const sound = strip(SOUND[0], SOUND[1]);
  const soundPatch = patchOf(sound);
  const stretches = STRETCHES.map(([from, to]) => patchOf(strip(from, to)));
  const ratio = (a: number, b: number): number => Math.log((a + LEAST_ENERGY) / (b + LEAST_ENERGY));
  const numbers = stretches.flatMap((p) =>
    p === null || soundPatch === null
      ? Array<number>(8).fill(NaN)
      : [
          p.bright - soundPatch.bright,
          p.red - soundPatch.red,
          p.blue - soundPatch.blue,
          ratio(p.alongEnergy + p.acrossEnergy, soundPatch.alongEnergy + soundPatch.acrossEnergy),
          ratio(p.alongEnergy, p.acrossEnergy),
          p.dark - soundPatch.dark,
          p.light - soundPatch.light,
          p.oneSided,
        ],
  );
  const whole = strip(0.05, SOUND[1]);
  const lines = linesOf(whole);
  return [
    ...numbers,
    lines.helix,
    lines.clear,
    ...darkest(whole),
    soundPatch === null ? NaN : soundPatch.red,
    soundPatch === null ? NaN : soundPatch.blue,
  ];
}

/** ln brightness with the light's slow change taken off: the mean of each row is the light across the wire. */
function flattened({ columns, rows, lnRgb, inside }: WireStrip): Float32Array | null {
  const flat = new Float32Array(columns * rows);
  for (let r = 0; r < rows; r++) {
    let [sum, n] = [0, 0];
    for (let c = 0; c < columns; c++) {
      const at = r * columns + c;
      if (inside[at] === 0) continue;
      sum += lnRgb[3 * at + 1]!;
      n++;
    }
    if (n < 0.6 * columns) return null;
    for (let c = 0; c < columns; c++) {
      const at = r * columns + c;
      flat[at] = inside[at] === 0 ? 0 : lnRgb[3 * at + 1]! - sum / n;
    }
  }
  return flat;
}

function patchOf(strip: WireStrip): Patch | null {
  const flat = flattened(strip);
  if (flat === null) return null;
  const { columns, rows, lnRgb } = strip;
  let [bright, red, blue, alongEnergy, acrossEnergy, dark, light] = [0, 0, 0, 0, 0, 0, 0];
  const half = [0, 0];
  for (let r = 0; r < rows; r++)
    for (let c = 0; c < columns; c++) {
      const at = r * columns + c;
      const green = lnRgb[3 * at + 1]!;
      bright += green;
      red += lnRgb[3 * at]! - green;
      blue += lnRgb[3 * at + 2]! - green;
      if (flat[at]! < -0.6) dark++;
      if (flat[at]! > 0.6) light++;
      if (c + 1 < columns) alongEnergy += (flat[at + 1]! - flat[at]!) ** 2;
      if (r + 1 < rows) acrossEnergy += (flat[at + columns]! - flat[at]!) ** 2;
      half[r < rows / 2 ? 0 : 1]! += flat[at]! ** 2;
    }
  const n = columns * rows;
  return {
    bright: bright / n,
    red: red / n,
    blue: blue / n,
    alongEnergy: alongEnergy / n,
    acrossEnergy: acrossEnergy / n,
    dark: dark / n,
    light: light / n,
    oneSided: Math.abs(Math.log((half[0]! / n + LEAST_ENERGY) / (half[1]! / n + LEAST_ENERGY))),
  };
}

/**
 * Direction of the lines on the skin against the axis, 0–90°, and how clearly they have one.
 *
 * @source structure tensor: J. Bigün, G. Granlund, "Optimal orientation detection of linear symmetry", ICCV 1987, from memory
 */
function linesOf(strip: WireStrip): { readonly helix: number; readonly clear: number } {
  const { columns, rows, lnRgb, inside } = strip;
  let [xx, yy, xy] = [0, 0, 0];
  for (let r = 1; r + 1 < rows; r++)
    for (let c = 1; c + 1 < columns; c++) {
      const at = r * columns + c;
      if (inside[at - 1] === 0 || inside[at + 1] === 0 || inside[at - columns] === 0 || inside[at + columns] === 0)
        continue;
      const gx = lnRgb[3 * (at + 1) + 1]! - lnRgb[3 * (at - 1) + 1]!;
      // The light changes across the wire slowly; second differences leave it out.
      const gy = lnRgb[3 * (at + columns) + 1]! - lnRgb[3 * (at - columns) + 1]!;
      xx += gx * gx;
      yy += gy * gy;
      xy += gx * gy;
    }
  const total = xx + yy;
  if (total === 0) return { helix: NaN, clear: NaN };
  // Lines run square to the direction of the steepest change.
  const turn = (0.5 * Math.atan2(2 * xy, xx - yy) * 180) / Math.PI + 90;
  const toAxis = Math.abs(((((turn + 90) % 180) + 180) % 180) - 90);
  return { helix: toAxis, clear: Math.hypot(xx - yy, 2 * xy) / total };
}

/** The darkest row (a line along the wire) and the darkest small square, against the skin around, ln units. */
function darkest(strip: WireStrip): readonly [number, number] {
  const { columns, rows, lnRgb, inside } = strip;
  const rowMean = Array.from({ length: rows }, (_, r) => {
    let [sum, n] = [0, 0];
    for (let c = 0; c < columns; c++)
      if (inside[r * columns + c] === 1) [sum, n] = [sum + lnRgb[3 * (r * columns + c) + 1]!, n + 1];
    return n === 0 ? NaN : sum / n;
  });
  let line = 0;
  for (let r = 3; r + 3 < rows; r++) line = Math.min(line, rowMean[r]! - (rowMean[r - 3]! + rowMean[r + 3]!) / 2 || 0);
  const flat = flattened(strip);
  if (flat === null) return [-line, NaN];
  const side = Math.round(0.12 * STRIP_PER_D);
  let spot = 0;
  for (let r = 0; r + side <= rows; r += 2)
    for (let c = 0; c + side <= columns; c += 2) {
      let sum = 0;
      for (let j = 0; j < side; j++) for (let i = 0; i < side; i++) sum += flat[(r + j) * columns + c + i]!;
      spot = Math.min(spot, sum / (side * side));
    }
  return [-line, -spot];
}
