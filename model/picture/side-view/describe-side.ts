import type { Point } from "../../break/geometry.ts";
import type { Raster } from "../pixels/grey.ts";
import { findSide } from "../propose/side-find.ts";
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
const HALF = 0.36;

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

/** The wire as a closed polygon, px of the raster; empty when none is found for sure. */
export function endContour(raster: Raster): readonly Point[] {
  const found = findSide(raster);
  return "says" in found ? [] : found.silhouette;
}

/**
 * A wire end seen from the side, in numbers. Turning, mirroring and rescaling the picture change nothing, nor do gain
 * and exposure: brightness and colour count against the sound skin of the same picture, lengths against the wire.
 *
 * @param edges – the two sound edges, px of the raster. @param contour – of `endContour`; empty = the end has none.
 * @returns one value per `SIDE_NUMBERS`, NaN where the picture does not show it; null when the edges give no frame.
 * @source common practice, no source
 */
export function describeSide(raster: Raster, edges: EdgesGeometry, contour: readonly Point[]): Float32Array | null {
  const wire = soundWire(edges, raster.widthPx, raster.heightPx);
  if (wire === null) return null;
  const end = shapeOf(contour, wire);
  // Without an outline of the end the drawn edges say where the sound wire ends, and the break is near.
  const rim = end?.rim ?? 0;
  const skin = skinOf(raster, wire, rim);
  return Float32Array.from([...(end?.numbers ?? Array<number>(BEHIND.length + 7).fill(NaN)), ...skin]);
}

interface EndShape {
  /** The rim that lies farther back, along the axis, wire diameters from the end of the edges. */
  readonly rim: number;
  readonly numbers: readonly number[];
}

/** Widths, offsets and slant of the end from its outline. */
function shapeOf(contour: readonly Point[], wire: SoundWire): EndShape | null {
  const placed = contour.map(([x, y]): Point => {
    const [dx, dy] = [x - wire.origin[0], y - wire.origin[1]];
    const [ax, ay] = wire.along;
    return [(ax * dx + ay * dy) / wire.diameter, (ax * dy - ay * dx) / wire.diameter];
  });
  const tip = Math.max(...placed.map(([u]) => u));
  if (placed.length < 8 || !(tip > -0.5 && tip < 4)) return null;
  const sections = new Map<number, readonly [number, number]>();
  const section = (u: number): readonly [number, number] | null => {
    const kept = sections.get(u);
    if (kept !== undefined) return kept;
    const hit = crossings(placed, u);
    if (hit !== null) sections.set(u, hit);
    return hit;
  };
  const across = BEHIND.map((s) => section(tip - s));
  const width = across.map((s) => (s === null ? NaN : s[1] - s[0]));
  const off = across.slice(0, 4).map((s) => (s === null ? NaN : Math.abs(s[0] + s[1]) / 2));
  let widest = 0;
  for (let u = tip - 1.5; u < tip; u += 0.05) {
    const s = section(u);
    if (s !== null) widest = Math.max(widest, s[1] - s[0]);
  }
  const upper = reach(placed, -1, tip);
  const lower = reach(placed, 1, tip);
  const rim = Math.min(upper, lower);
  return {
    rim,
    numbers: [...width, ...off, widest, Math.abs(upper - lower), tip - Math.max(upper, lower)],
  };
}

/** Farthest place along the axis that the outline reaches on one side, at two thirds of the way to the edge there. */
function reach(placed: readonly Point[], side: 1 | -1, tip: number): number {
  const nearTip = placed.filter(([u, w]) => u > tip - 1.5 && side * w > 0).map(([, w]) => side * w);
  const edge = nearTip.length === 0 ? 0.5 : Math.max(...nearTip);
  let far = tip - 1.5;
  for (const [u, w] of placed) if (side * w > 0.66 * Math.min(0.5, edge) && u > far) far = u;
  return far;
}

/** Outermost crossings of the closed outline with the line across the wire at `u`. */
function crossings(placed: readonly Point[], u: number): readonly [number, number] | null {
  let [low, high] = [Infinity, -Infinity];
  placed.forEach(([u1, w1], i) => {
    const [u0, w0] = placed[(i + placed.length - 1) % placed.length]!;
    if (u0 < u === u1 < u) return;
    const w = w0 + ((u - u0) / (u1 - u0)) * (w1 - w0);
    low = Math.min(low, w);
    high = Math.max(high, w);
  });
  return high > low ? [low, high] : null;
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
  const ratio = (a: number, b: number): number => Math.log((a + 1e-4) / (b + 1e-4));
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
    oneSided: Math.abs(Math.log((half[0]! + 1e-3) / (half[1]! + 1e-3))),
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
