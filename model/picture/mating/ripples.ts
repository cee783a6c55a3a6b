import type { Complex } from "../pixels/fft.ts";
import { fft2, newComplex } from "../pixels/fft.ts";
import type { GreyImage } from "../pixels/grey.ts";

/** Directions of ripples that are told apart, over half a turn. */
export const DIRECTIONS = 6;

/** How strongly a face ripples with one wavelength in one direction at each place, and with which phase. */
export interface RippleMap {
  readonly re: Float32Array;
  readonly im: Float32Array;
}

/** One list per wavelength, one map per direction k, whose ripples run along the angle k·180°/DIRECTIONS. */
export type Ripples = readonly (readonly RippleMap[])[];

const filters = new Map<string, Float32Array>();

/** A hump in the frequency plane, on one side of it only, so that the answer has a phase. */
function filterOf(n: number, wavelength: number, direction: number): Float32Array {
  const key = `${n} ${wavelength} ${direction}`;
  const made = filters.get(key);
  if (made) return made;
  const filter = new Float32Array(n * n);
  const along = (direction * Math.PI) / DIRECTIONS;
  const spreadRadial = 2 * Math.log(0.6) ** 2;
  const spreadAngle = 2 * (Math.PI / DIRECTIONS / 1.5) ** 2;
  for (let l = 0; l < n; l++)
    for (let k = 0; k < n; k++) {
      const fx = (k <= n / 2 ? k : k - n) / n;
      const fy = (l <= n / 2 ? l : l - n) / n;
      const f = Math.hypot(fx, fy);
      if (f === 0 || f > 0.5) continue;
      const angle = Math.atan2(fy, fx) - along;
      const off = Math.atan2(Math.sin(angle), Math.cos(angle));
      const height = Math.exp(-(Math.log(f * wavelength) ** 2) / spreadRadial - off ** 2 / spreadAngle);
      if (height > 1e-4) filter[l * n + k] = height;
    }
  filters.set(key, filter);
  return filter;
}

/**
 * Splits a square picture into ripples by wavelength and direction. A hill lit from one side and the valley that faces
 * it, lit from another, differ in the phase of their ripples, but the phase then differs by the same amount all over a
 * neighbourhood: that is what two faces can be compared by.
 *
 * @param wavelengths – px.
 * @source D. J. Field, J. Opt. Soc. Am. A 4 (1987) 2379–2394 (filters even on a logarithmic scale of frequency)
 */
export function ripplesOf(image: GreyImage, wavelengths: readonly number[]): Ripples {
  const n = image.widthPx;
  const spectrum: Complex = { re: Float64Array.from(image.data), im: new Float64Array(n * n) };
  fft2(spectrum, n, n);
  return wavelengths.map((wavelength) =>
    Array.from({ length: DIRECTIONS }, (_, direction) => {
      const filter = filterOf(n, wavelength, direction);
      const z = newComplex(n * n);
      for (let i = 0; i < n * n; i++) {
        z.re[i] = spectrum.re[i]! * filter[i]!;
        z.im[i] = spectrum.im[i]! * filter[i]!;
      }
      fft2(z, n, n, true);
      return { re: Float32Array.from(z.re), im: Float32Array.from(z.im) };
    }),
  );
}
