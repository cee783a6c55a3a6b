/** A function to be made least: writes its slope at `w` to `out` and returns its value there. */
export type Slope = (w: Float64Array, out: Float64Array) => number;

export interface LbfgsOptions {
  /** About one over the curvature, for the first step. */
  readonly scale: number;
  /** Most steps; each asks for the slope once, seldom twice. */
  readonly steps: number;
  /** Stops when three steps together lower the value by less than this share of it. */
  readonly tolerance: number;
  /** Told the steps done; may throw to stop. */
  readonly onStep?: (done: number) => void;
}

/** Steps whose curvature is remembered. */
const MEMORY = 10;
const SINCE = 3;

/**
 * The least value of a smooth convex function, by limited-memory BFGS with steps shortened until they pay (Armijo's rule).
 *
 * @param start – written over with the place found.
 * @source J. Nocedal, S. J. Wright, "Numerical optimization", 2nd ed. 2006, algorithms 7.4 and 3.1; from memory
 */
export function lbfgs(
  slope: Slope,
  start: Float64Array,
  { scale, steps, tolerance, onStep }: LbfgsOptions,
): Float64Array {
  const size = start.length;
  const w = start;
  const g = new Float64Array(size);
  const next = new Float64Array(size);
  const nextG = new Float64Array(size);
  const way = new Float64Array(size);
  const past: { readonly s: Float64Array; readonly y: Float64Array; readonly rho: number }[] = [];
  let value = slope(w, g);
  const values = [value];
  for (let step = 0; step < steps; step++) {
    direction(g, past, scale, way);
    const descent = dot(g, way);
    if (!(descent < 0)) return w;
    let length = 1;
    let nextValue: number;
    for (;;) {
      for (let k = 0; k < size; k++) next[k] = w[k]! + length * way[k]!;
      nextValue = slope(next, nextG);
      if (nextValue <= value + 1e-4 * length * descent) break;
      // The parabola through what is known of this direction has its floor here.
      const floor = (-0.5 * descent * length * length) / (nextValue - value - descent * length);
      length = Math.min(0.5 * length, Math.max(0.05 * length, floor));
      if (!(length > 1e-10)) return w;
    }
    const spare = past.length < MEMORY ? undefined : past.shift();
    const s = spare?.s ?? new Float64Array(size);
    const y = spare?.y ?? new Float64Array(size);
    for (let k = 0; k < size; k++) {
      s[k] = next[k]! - w[k]!;
      y[k] = nextG[k]! - g[k]!;
    }
    const bend = dot(s, y);
    if (bend > 1e-12 * dot(y, y)) past.push({ s, y, rho: 1 / bend });
    w.set(next);
    g.set(nextG);
    value = nextValue;
    onStep?.(step + 1);
    values.push(value);
    const before = values.at(-1 - SINCE);
    if (before !== undefined && before - value < tolerance * Math.abs(value)) return w;
  }
  return w;
}

/** −(inverse curvature) · slope, from the steps remembered. */
function direction(
  g: Float64Array,
  past: readonly { readonly s: Float64Array; readonly y: Float64Array; readonly rho: number }[],
  scale: number,
  out: Float64Array,
): void {
  const size = g.length;
  for (let k = 0; k < size; k++) out[k] = -g[k]!;
  const alpha = new Float64Array(past.length);
  for (let m = past.length - 1; m >= 0; m--) {
    const { s, y, rho } = past[m]!;
    const a = rho * dot(s, out);
    alpha[m] = a;
    for (let k = 0; k < size; k++) out[k]! -= a * y[k]!;
  }
  const last = past.at(-1);
  const first = last === undefined ? scale : 1 / (last.rho * dot(last.y, last.y));
  for (let k = 0; k < size; k++) out[k]! *= first;
  past.forEach(({ s, y, rho }, m) => {
    const b = alpha[m]! - rho * dot(y, out);
    for (let k = 0; k < size; k++) out[k]! += b * s[k]!;
  });
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let k = 0; k < a.length; k++) sum += a[k]! * b[k]!;
  return sum;
}
