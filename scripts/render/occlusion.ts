import { boxBlur } from "./blur.ts";
import type { EndSurface } from "./end-surface.ts";
import { clamp } from "./noise.ts";

const AZIMUTHS = 16;
const STEPS = [1, 2, 3, 4.5, 6.5, 9, 13, 18, 25, 35, 50, 72, 104, 150];

/** How open each place is to the light, on a coarse grid over the end. */
export interface Openness {
  readonly m: number;
  /** Share of the dome seen, 0–1. */
  readonly dome: Float32Array;
  /** Sine of the horizon's elevation for 16 azimuths (0 = right, counter-clockwise seen from the viewer). */
  readonly horizon: readonly Float32Array[];
}

/** Looks outward from each place of the height field: deep holes see little sky and go dark. */
export function lookAround(surface: EndSurface, size: number): Openness {
  const m = Math.min(size, surface.n);
  const ratio = surface.n / m;
  // Averaged before it is thinned out, so that single grains do not print the coarse grid on the picture.
  const held = new Float32Array(surface.seen);
  for (let i = 0; i < held.length; i++) if (held[i]! < -6) held[i] = -6;
  const even = boxBlur(held, surface.n, surface.n, 1, ratio * 0.6, 1);
  const h = new Float32Array(m * m);
  for (let j = 0; j < m; j++)
    for (let i = 0; i < m; i++) {
      const at = Math.floor((j + 0.5) * ratio) * surface.n + Math.floor((i + 0.5) * ratio);
      h[j * m + i] = even[at]!;
    }
  // With open sky all round, no look outward has to ask whether it is still on the end.
  const pad = STEPS[STEPS.length - 1]! + 1;
  const wide = m + 2 * pad;
  const padded = new Float32Array(wide * wide).fill(-1e9);
  let highest = -1e9;
  for (let j = 0; j < m; j++) padded.set(h.subarray(j * m, j * m + m), (j + pad) * wide + pad);
  for (let i = 0; i < h.length; i++) if (h[i]! > highest) highest = h[i]!;
  const cell = ratio / surface.perRadius;
  const dome = new Float32Array(m * m).fill(1);
  const perRun = Float64Array.from(STEPS, (s) => 1 / (s * cell));
  const horizon: Float32Array[] = [];
  for (let k = 0; k < AZIMUTHS; k++) {
    const dx = Math.cos((2 * Math.PI * k) / AZIMUTHS);
    const dy = -Math.sin((2 * Math.PI * k) / AZIMUTHS);
    const offset = Int32Array.from(STEPS, (s) => Math.round(dy * s) * wide + Math.round(dx * s));
    const sines = new Float32Array(m * m);
    for (let j = 0; j < m; j++)
      for (let i = 0; i < m; i++) {
        const own = h[j * m + i]!;
        if (own <= -5.9) continue;
        // The steepest rise in this direction; only its sine is worked out.
        let slope = 0;
        const from = (j + pad) * wide + i + pad;
        const above = highest - own;
        for (let n = 0; n < offset.length; n++) {
          const run = perRun[n]!;
          // Farther out nothing is high enough to rise more steeply.
          if (above * run <= slope) break;
          const rise = (padded[from + offset[n]!]! - own) * run;
          if (rise > slope) slope = rise;
        }
        const square = (slope * slope) / (1 + slope * slope);
        sines[j * m + i] = Math.sqrt(square);
        dome[j * m + i]! -= square / AZIMUTHS;
      }
    horizon.push(boxBlur(sines, m, m, 1, 1, 2));
  }
  return { m, dome: boxBlur(dome, m, m, 1, 1, 2), horizon };
}

/** Share of a light that reaches each place, from its direction; soft as the light has a size. */
export function reach(
  open: Openness,
  azimuthDeg: number | "ring",
  elevationDeg: number,
  softness = 0.16,
): Float32Array {
  const sine = Math.sin((elevationDeg * Math.PI) / 180);
  const seen = (s: number): number => clamp((sine - s) / softness + 0.5, 0, 1);
  const out = new Float32Array(open.m * open.m);
  if (azimuthDeg === "ring") {
    for (const map of open.horizon) for (let i = 0; i < out.length; i++) out[i]! += seen(map[i]!) / AZIMUTHS;
    return out;
  }
  const turn = ((((azimuthDeg / 360) * AZIMUTHS) % AZIMUTHS) + AZIMUTHS) % AZIMUTHS;
  const k = Math.floor(turn);
  const f = turn - k;
  const a = open.horizon[k % AZIMUTHS]!;
  const b = open.horizon[(k + 1) % AZIMUTHS]!;
  for (let i = 0; i < out.length; i++) out[i] = seen(a[i]!) * (1 - f) + seen(b[i]!) * f;
  return out;
}

/** Reads a coarse map between its cells. @param x, y – 0–1 across the end's field. */
export function readMap(map: Float32Array, m: number, x: number, y: number): number {
  const fx = clamp(x * m - 0.5, 0, m - 1.001);
  const fy = clamp(y * m - 0.5, 0, m - 1.001);
  const i = Math.floor(fx);
  const j = Math.floor(fy);
  const a = fx - i;
  const b = fy - j;
  return between(map, j * m + i, m, a, b);
}

/** Value of a map between four cells: `at` is the first of them, `a` and `b` the shares of the way to the others. */
export function between(map: Float32Array, at: number, m: number, a: number, b: number): number {
  return (map[at]! * (1 - a) + map[at + 1]! * a) * (1 - b) + (map[at + m]! * (1 - a) + map[at + m + 1]! * a) * b;
}
