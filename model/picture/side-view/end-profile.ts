import type { LaidWire } from "./laid-straight.ts";

/** How much of the place of the wire is covered by something that is not the ground, along the axis. */
export interface EndProfile {
  /** Covered on each side of the axis, wire diameters (half a diameter = the sound wire), by column. */
  readonly one: Float64Array;
  readonly two: Float64Array;
  /** Columns over one wire diameter, and the column at which the drawn edges end. */
  readonly perD: number;
  readonly zero: number;
}

/** Ground is learnt farther from the axis than this, and the wire looked for nearer than that, wire diameters. */
const GROUND_FROM = 0.95;
const WIRE_WITHIN = 0.75;
/** A place stands out of the ground from this many spreads on; half of that is the width of the transition. */
const STANDS_OUT = 2.5;
/** Least spread of the ground: ln units of brightness, and of colour. */
const LEAST = [0.06, 0.02, 0.02] as const;

/**
 * The end of a laid wire against its ground. Soft on purpose: a hard outline jumps when the picture changes a little,
 * a coverage moves a little.
 *
 * @returns null when no ground is seen beside the wire.
 * @source common practice, no source
 */
export function endProfile({ raster, wire }: LaidWire): EndProfile | null {
  const { widthPx, heightPx, rgba } = raster;
  const perD = wire.diameter;
  const axis = wire.origin[1];
  const features = pixelFeatures(rgba, widthPx * heightPx);
  const ground: number[][] = [[], [], []];
  for (let y = 0; y < heightPx; y += 2) {
    if (Math.abs(y + 0.5 - axis) < GROUND_FROM * perD) continue;
    for (let x = 0; x < widthPx; x += 3) features.forEach((f, k) => ground[k]!.push(f[y * widthPx + x]!));
  }
  if (ground[0]!.length < 200) return null;
  const middle = ground.map((g) => quantile(g, 0.5));
  const spread = ground.map((g, k) => Math.max(LEAST[k]!, (quantile(g, 0.84) - quantile(g, 0.16)) / 2));
  const out = new Float32Array(widthPx * heightPx);
  for (let at = 0; at < out.length; at++) {
    let square = 0;
    for (let k = 0; k < 3; k++) square += ((features[k]![at]! - middle[k]!) / spread[k]!) ** 2;
    out[at] = 1 / (1 + Math.exp((2 / STANDS_OUT) * 2 * (STANDS_OUT - Math.sqrt(square))));
  }
  const one = new Float64Array(widthPx);
  const two = new Float64Array(widthPx);
  for (let y = 0; y < heightPx; y++) {
    const w = y + 0.5 - axis;
    if (Math.abs(w) > WIRE_WITHIN * perD) continue;
    const side = w < 0 ? one : two;
    for (let x = 0; x < widthPx; x++) side[x]! += out[y * widthPx + x]! / perD;
  }
  return { one: smoothed(one), two: smoothed(two), perD, zero: wire.origin[0] };
}

/** ln brightness and the two colours of every place. */
function pixelFeatures(rgba: ArrayLike<number>, n: number): readonly Float32Array[] {
  const [bright, red, blue] = [new Float32Array(n), new Float32Array(n), new Float32Array(n)];
  let sum = 0;
  for (let at = 0; at < n; at++) sum += rgba[4 * at + 1]!;
  const floor = Math.max(1, (0.1 * sum) / n);
  for (let at = 0; at < n; at++) {
    const [r, g, b] = [rgba[4 * at]! + floor, rgba[4 * at + 1]! + floor, rgba[4 * at + 2]! + floor];
    bright[at] = Math.log(g);
    red[at] = Math.log(r / g);
    blue[at] = Math.log(b / g);
  }
  return [bright, red, blue];
}

function quantile(values: number[], q: number): number {
  const sorted = Float64Array.from(values).sort();
  return sorted[Math.floor(q * (sorted.length - 1))]!;
}

/** Mean over five columns. */
function smoothed(values: Float64Array): Float64Array {
  return values.map((_, i) => {
    let [sum, n] = [0, 0];
    for (let k = Math.max(0, i - 2); k <= Math.min(values.length - 1, i + 2); k++) [sum, n] = [sum + values[k]!, n + 1];
    return sum / n;
  });
}

/** Farthest place along the axis at which a coverage falls below `level`, wire diameters from the end of the edges. */
export function fallsBelow(
  coverage: (column: number) => number,
  level: number,
  { perD, zero, one }: EndProfile,
): number | null {
  for (let x = one.length - 2; x >= 0; x--) {
    const [here, next] = [coverage(x), coverage(x + 1)];
    // Past the end nothing may cover the place again for a while, else it is ground that looks like metal.
    if (here < level || next >= level) continue;
    return (x + 0.5 + (here - level) / (here - next || 1) - zero) / perD;
  }
  return null;
}
