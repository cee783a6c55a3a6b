/** Why a cell has no height. */
export type NoPeak = "flat" | "end-of-series" | "unclear";

export interface FocusPeak {
  /** Sharpest place of the series, in frames from the first; between frames by a Gaussian through the curve. */
  readonly at: number;
  /** Standard uncertainty from the scatter of the curve round the Gaussian, frames. */
  readonly u: number;
  /** Standard deviation of the Gaussian, frames. */
  readonly width: number;
  /** Peak over floor of the curve. */
  readonly contrast: number;
}

/** A peak must stand this many floors over the floor; noise alone reaches about 1. @source own trial on rendered series */
const LEAST_CONTRAST = 2;
/** Samples above this share of the peak are the curve; below it the floor and neighbours speak. */
const IN_CURVE = 0.3;
/** A second hill as high as this share of the peak means two depths in one cell. */
const SECOND_HILL = 0.6;
/** A peak known no better than to one frame is none. @source common practice, no source */
const VAGUEST = 1;
/** Relative scatter that a focus curve has at least: texture does not blur quite like a Gaussian. @source own trial on rendered series */
const LEAST_SCATTER = 0.05;

/**
 * The sharpest place of one focus curve.
 *
 * The floor (camera noise and what is soft in every frame) is the lower quartile of the curve. Over it the logarithm of
 * a Gaussian is a parabola, fitted by least squares weighted with the squared height, because the noise of the curve
 * is about even.
 *
 * @param curve – focus per frame; NaN where a frame does not reach.
 * @source interpolation by a Gaussian: S. K. Nayar, Y. Nakagawa, "Shape from focus", IEEE Trans. PAMI 16(8), 1994; from memory.
 */
export function focusPeak(curve: Float32Array | readonly number[]): FocusPeak | NoPeak {
  const n = curve.length;
  let top = -1;
  let used = 0;
  for (let k = 0; k < n; k++) {
    const v = curve[k]!;
    if (!(v >= 0)) continue;
    used++;
    if (top < 0 || v > curve[top]!) top = k;
  }
  if (used < 3 || top < 0) return "flat";
  const floor = lowerQuartile(curve, used);
  const peak = curve[top]! - floor;
  if (!(peak > LEAST_CONTRAST * floor) || peak <= 0) return "flat";
  if (top === 0 || top === n - 1 || !(curve[top - 1]! >= 0) || !(curve[top + 1]! >= 0)) return "end-of-series";
  let first = top - 1;
  let last = top + 1;
  while (first > 0 && curve[first - 1]! - floor >= IN_CURVE * peak) first--;
  while (last < n - 1 && curve[last + 1]! - floor >= IN_CURVE * peak) last++;
  for (let k = 0; k < n; k++) if ((k < first || k > last) && curve[k]! - floor > SECOND_HILL * peak) return "unclear";
  return parabola(curve, floor, peak, top, first, last);
}

function parabola(
  curve: Float32Array | readonly number[],
  floor: number,
  peak: number,
  top: number,
  first: number,
  last: number,
): FocusPeak | NoPeak {
  // y = a + b x + c x², x from the top frame.
  let [s0, s1, s2, s3, s4, t0, t1, t2] = [0, 0, 0, 0, 0, 0, 0, 0];
  const value = (k: number) => Math.max(0.02, (curve[k]! - floor) / peak);
  for (let k = first; k <= last; k++) {
    const x = k - top;
    const v = value(k);
    const w = v * v;
    const y = Math.log(v);
    s0 += w;
    s1 += w * x;
    s2 += w * x * x;
    s3 += w * x ** 3;
    s4 += w * x ** 4;
    t0 += w * y;
    t1 += w * x * y;
    t2 += w * x * x * y;
  }
  const det = s0 * (s2 * s4 - s3 * s3) - s1 * (s1 * s4 - s2 * s3) + s2 * (s1 * s3 - s2 * s2);
  if (!(Math.abs(det) > 1e-12)) return "unclear";
  const i11 = (s0 * s4 - s2 * s2) / det;
  const i12 = -(s0 * s3 - s1 * s2) / det;
  const i22 = (s0 * s2 - s1 * s1) / det;
  const i01 = -(s1 * s4 - s2 * s3) / det;
  const i02 = (s1 * s3 - s2 * s2) / det;
  const i00 = (s2 * s4 - s3 * s3) / det;
  const a = i00 * t0 + i01 * t1 + i02 * t2;
  const b = i01 * t0 + i11 * t1 + i12 * t2;
  const c = i02 * t0 + i12 * t1 + i22 * t2;
  if (!(c < 0)) return "unclear";
  const x0 = -b / (2 * c);
  const width = Math.sqrt(-1 / (2 * c));
  if (!(Math.abs(x0) <= 1.5) || !(width < curve.length)) return "unclear";
  let squares = 0;
  for (let k = first; k <= last; k++) {
    const x = k - top;
    const v = value(k);
    squares += v * v * (Math.log(v) - a - b * x - c * x * x) ** 2;
  }
  const free = last - first + 1 - 3;
  const scatter2 = Math.max(LEAST_SCATTER ** 2, free > 0 ? squares / free : 0);
  const [db, dc] = [-1 / (2 * c), b / (2 * c * c)];
  const variance = scatter2 * (db * db * i11 + 2 * db * dc * i12 + dc * dc * i22);
  const u = Math.sqrt(variance);
  if (!(u <= VAGUEST)) return "unclear";
  return { at: top + x0, u, width, contrast: peak / Math.max(floor, 1e-12) };
}

function lowerQuartile(curve: Float32Array | readonly number[], used: number): number {
  const sorted = new Float64Array(used);
  let n = 0;
  for (let k = 0; k < curve.length; k++) if (curve[k]! >= 0) sorted[n++] = curve[k]!;
  sorted.sort();
  return sorted[Math.floor((used - 1) / 4)]!;
}
