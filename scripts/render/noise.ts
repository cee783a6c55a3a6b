/**
 * Seeded lattice noise: every texture of the renderer comes from these functions, so a seed fixes a picture.
 * Coordinates are free; one lattice cell is one unit.
 */

/** Mixes a lattice point and a seed into 32 bits. @returns an unsigned 32-bit integer. */
export function hash(ix: number, iy: number, seed: number): number {
  let h = Math.imul(ix | 0, 0x27d4eb2d) ^ Math.imul(iy | 0, 0x165667b1) ^ Math.imul(seed | 0, 0x9e3779b1);
  h = Math.imul(h ^ (h >>> 15), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return (h ^ (h >>> 16)) >>> 0;
}

const TO_UNIT = 1 / 4294967296;

/** A number of 0–1 for a lattice point. */
export const hash01 = (ix: number, iy: number, seed: number): number => hash(ix, iy, seed) * TO_UNIT;

const GX = Float64Array.from({ length: 16 }, (_, i) => Math.cos((i * Math.PI) / 8));
const GY = Float64Array.from({ length: 16 }, (_, i) => Math.sin((i * Math.PI) / 8));

/** Multipliers of {@link hash}; the noise below works its four corners out together. */
const HX = 0x27d4eb2d;
const HY = 0x165667b1;
const HS = 0x9e3779b1;

/** The second half of {@link hash}. */
function finish(h: number): number {
  h = Math.imul(h ^ (h >>> 15), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return h ^ (h >>> 16);
}

/**
 * Gradient noise.
 *
 * @param period – the second axis repeats after this many cells (whole number; 0 = never): used round the wire.
 * @returns about −1 to 1, mean 0.
 */
export function noise(x: number, y: number, seed: number, period = 0): number {
  const x0 = Math.floor(x);
  const y0 = Math.floor(y);
  const fx = x - x0;
  const fy = y - y0;
  let ya = y0 | 0;
  let yb = (ya + 1) | 0;
  const p = period | 0;
  if (p > 0) {
    ya = ((ya % p) | 0) + p;
    ya = ya >= p ? ya - p : ya;
    yb = ya + 1 === p ? 0 : ya + 1;
  }
  const ha = Math.imul(x0 | 0, HX);
  const hb = (ha + HX) | 0;
  const s = Math.imul(seed | 0, HS);
  const ta = Math.imul(ya, HY) ^ s;
  const tb = Math.imul(yb, HY) ^ s;
  const g00 = finish(ha ^ ta) & 15;
  const g10 = finish(hb ^ ta) & 15;
  const g01 = finish(ha ^ tb) & 15;
  const g11 = finish(hb ^ tb) & 15;
  const ux = fx * fx * fx * (fx * (fx * 6 - 15) + 10);
  const uy = fy * fy * fy * (fy * (fy * 6 - 15) + 10);
  const a = GX[g00]! * fx + GY[g00]! * fy;
  const b = GX[g10]! * (fx - 1) + GY[g10]! * fy;
  const c = GX[g01]! * fx + GY[g01]! * (fy - 1);
  const d = GX[g11]! * (fx - 1) + GY[g11]! * (fy - 1);
  const top = a + ux * (b - a);
  return 1.5 * (top + uy * (c + ux * (d - c) - top));
}

/** Several octaves of gradient noise, each twice as fine and half as strong. @returns about −1 to 1. */
export function fbm(x: number, y: number, seed: number, octaves: number): number {
  let sum = 0;
  let gain = 0.5;
  let f = 1;
  for (let o = 0; o < octaves; o++) {
    sum += gain * noise(x * f, y * f, seed + o * 101);
    gain *= 0.5;
    f *= 2.03;
  }
  return sum;
}

/** Nearest cell of a jittered lattice. */
export interface Cell {
  /** Distance to the nearest and to the second nearest point. */
  f1: number;
  f2: number;
  /** 32 bits that belong to the nearest point. */
  id: number;
  /** From the nearest point to the place asked for. */
  dx: number;
  dy: number;
}

export const newCell = (): Cell => ({ f1: 0, f2: 0, id: 0, dx: 0, dy: 0 });

/** Finds the nearest cell point; `out` is overwritten so that the inner loops allocate nothing. */
export function nearestCell(x: number, y: number, seed: number, out: Cell): Cell {
  const x0 = Math.floor(x);
  const y0 = Math.floor(y);
  let best = 1e9;
  let second = 1e9;
  const hx = Math.imul(x0 | 0, HX);
  const hy = Math.imul(y0 | 0, HY);
  const hs = Math.imul(seed | 0, HS);
  for (let j = -1; j <= 1; j++)
    for (let i = -1; i <= 1; i++) {
      const h = finish((hx + Math.imul(i, HX)) ^ (hy + Math.imul(j, HY)) ^ hs) >>> 0;
      const dx = x - (x0 + i + 0.1 + 0.8 * (h & 0xffff) * (1 / 65536));
      const dy = y - (y0 + j + 0.1 + 0.8 * (h >>> 16) * (1 / 65536));
      const d = dx * dx + dy * dy;
      if (d < best) {
        second = best;
        best = d;
        out.id = h;
        out.dx = dx;
        out.dy = dy;
      } else if (d < second) second = d;
    }
  out.f1 = Math.sqrt(best);
  out.f2 = Math.sqrt(second);
  return out;
}

/** A stream of numbers 0–1 from a seed (for parameters, not for pixels). */
export function randomStream(seed: number): () => number {
  let n = 0;
  return () => hash01(n++, 7919, seed);
}

/** Length of a step, by plain arithmetic: the built-in guards against overflow and is many times slower. */
export const lengthOf = (x: number, y: number): number => Math.sqrt(x * x + y * y);

export const clamp = (v: number, lo: number, hi: number): number => (v < lo ? lo : v > hi ? hi : v);

/** Smooth step from 0 at `a` to 1 at `b`. */
export function ramp(a: number, b: number, v: number): number {
  const t = clamp((v - a) / (b - a), 0, 1);
  return t * t * (3 - 2 * t);
}

export const mix = (a: number, b: number, t: number): number => a + (b - a) * t;
