import type { Complex } from "../pixels/fft.ts";
import { newComplex } from "../pixels/fft.ts";
import { FLAT_PX, FLAT_RADIUS } from "./flat-face.ts";
import { USED_RADIUS } from "./even-face.ts";
import type { RippleMap, Ripples } from "./ripples.ts";
import { DIRECTIONS } from "./ripples.ts";

/** Lays the second face on the first: turned clockwise, made larger by `scale`, then shifted, px of the flat face. */
export interface Laying {
  readonly turnDeg: number;
  readonly scale: number;
  readonly dx: number;
  readonly dy: number;
}

/** Places of the first face at which both are compared, grouped by neighbourhood. From the middle, px. */
export interface Neighbourhood {
  readonly x: Float64Array;
  readonly y: Float64Array;
}

/**
 * Neighbourhoods over the face.
 *
 * @param side – of one neighbourhood, px.
 * @param apart – from one to the next, px; less than `side` lets them overlap.
 * @param step – between places, px.
 */
export function neighbourhoods(side: number, apart: number, step: number): readonly Neighbourhood[] {
  const reach = FLAT_RADIUS * USED_RADIUS - 3;
  const found: Neighbourhood[] = [];
  const count = Math.ceil(FLAT_RADIUS / apart);
  for (let j = -count; j <= count; j++)
    for (let i = -count; i <= count; i++) {
      const xs: number[] = [];
      const ys: number[] = [];
      for (let v = -side / 2 + step / 2; v < side / 2; v += step)
        for (let u = -side / 2 + step / 2; u < side / 2; u += step) {
          const x = i * apart + u;
          const y = j * apart + v;
          if (Math.hypot(x, y) > reach) continue;
          xs.push(x);
          ys.push(y);
        }
      if (xs.length >= (0.5 * side * side) / (step * step))
        found.push({ x: Float64Array.from(xs), y: Float64Array.from(ys) });
    }
  return found;
}

/** Ripples weaker than this are noise of the even face. */
const FAINT = 0.02;

/** Squared coherence of each neighbourhood and direction, 0–1, for each wavelength. */
export function squaredAgreement(
  first: Ripples,
  second: Ripples,
  laying: Laying,
  places: readonly Neighbourhood[],
): readonly Float64Array[] {
  return keepingStep(first, second, laying, places).map(({ re, im }) => re.map((r, i) => r * r + im[i]! ** 2));
}

/** Mean of `squaredAgreement` for each wavelength. */
export function agreement(
  first: Ripples,
  second: Ripples,
  laying: Laying,
  places: readonly Neighbourhood[],
): readonly number[] {
  return squaredAgreement(first, second, laying, places).map(
    (cells) => cells.reduce((a, b) => a + b, 0) / cells.length,
  );
}

/**
 * How well two faces agree when laid over each other: in each neighbourhood and direction the mean step between the
 * ripples of both, weighed by their strength (complex coherence): its length is 1 where one phase is kept throughout
 * and near 0 where none is; its angle is that phase.
 *
 * @returns for each wavelength one value per neighbourhood and direction.
 */
export function keepingStep(
  first: Ripples,
  second: Ripples,
  laying: Laying,
  places: readonly Neighbourhood[],
): readonly Complex[] {
  const half = FLAT_PX / 2;
  const turn = (laying.turnDeg * Math.PI) / 180;
  const cos = Math.cos(turn) / laying.scale;
  const sin = Math.sin(turn) / laying.scale;
  const cells = first.map(() => newComplex(places.length * DIRECTIONS));
  const steps = laying.turnDeg / (180 / DIRECTIONS);
  const from = first.flatMap((maps) => maps);
  // Directions turn with the face: the two nearest of the second face are blended.
  const to = first.flatMap((maps, s) =>
    maps.map((_, k) => {
      const wanted = k - steps;
      const low = Math.floor(wanted);
      return { low: directed(second[s]!, low), high: directed(second[s]!, low + 1), part: wanted - low };
    }),
  );
  for (const [place, { x, y }] of places.entries()) {
    const count = x.length;
    const at1 = new Int32Array(count);
    const at2 = new Int32Array(count);
    const fx = new Float64Array(count);
    const fy = new Float64Array(count);
    for (let i = 0; i < count; i++) {
      at1[i] = Math.floor(y[i]! + half) * FLAT_PX + Math.floor(x[i]! + half);
      // Whole cells: places are cell middles of the first face.
      const u = Math.floor(x[i]! + half) + 0.5 - half - laying.dx;
      const v = Math.floor(y[i]! + half) + 0.5 - half - laying.dy;
      const bx = Math.min(FLAT_PX - 1.001, Math.max(0, u * cos + v * sin + half - 0.5));
      const by = Math.min(FLAT_PX - 1.001, Math.max(0, v * cos - u * sin + half - 0.5));
      const ix = Math.floor(bx);
      const iy = Math.floor(by);
      at2[i] = iy * FLAT_PX + ix;
      fx[i] = bx - ix;
      fy[i] = by - iy;
    }
    for (let m = 0; m < from.length; m++) {
      const a = from[m]!;
      const { low, high, part } = to[m]!;
      let re = 0;
      let im = 0;
      let e1 = 0;
      let e2 = 0;
      for (let i = 0; i < count; i++) {
        const p = at2[i]!;
        const wx = fx[i]!;
        const wy = fy[i]!;
        const w00 = (1 - wx) * (1 - wy);
        const w10 = wx * (1 - wy);
        const w01 = (1 - wx) * wy;
        const w11 = wx * wy;
        let r2 = (1 - part) * blend(low.map.re, p, w00, w10, w01, w11);
        let m2 = (1 - part) * low.sign * blend(low.map.im, p, w00, w10, w01, w11);
        if (part > 0) {
          r2 += part * blend(high.map.re, p, w00, w10, w01, w11);
          m2 += part * high.sign * blend(high.map.im, p, w00, w10, w01, w11);
        }
        const r1 = a.re[at1[i]!]!;
        const m1 = a.im[at1[i]!]!;
        re += r1 * r2 + m1 * m2;
        im += m1 * r2 - r1 * m2;
        e1 += r1 * r1 + m1 * m1;
        e2 += r2 * r2 + m2 * m2;
      }
      const faint = count * FAINT * FAINT;
      const whole = Math.sqrt((e1 + faint) * (e2 + faint));
      const cell = cells[Math.floor(m / DIRECTIONS)]!;
      const at = place * DIRECTIONS + (m % DIRECTIONS);
      cell.re[at] = re / whole;
      cell.im[at] = im / whole;
    }
  }
  return cells;
}

function blend(d: Float32Array, p: number, w00: number, w10: number, w01: number, w11: number): number {
  return d[p]! * w00 + d[p + 1]! * w10 + d[p + FLAT_PX]! * w01 + d[p + FLAT_PX + 1]! * w11;
}

/** Map of a direction counted on over half a turn: seen from behind, a ripple runs backwards. */
function directed(maps: readonly RippleMap[], k: number): { readonly map: RippleMap; readonly sign: 1 | -1 } {
  const whole = ((k % (2 * DIRECTIONS)) + 2 * DIRECTIONS) % (2 * DIRECTIONS);
  return { map: maps[whole % DIRECTIONS]!, sign: whole >= DIRECTIONS ? -1 : 1 };
}
