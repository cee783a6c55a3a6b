import type { Complex } from "./fft.ts";
import { fft2, newComplex, powerOfTwoFrom } from "./fft.ts";
import type { GreyImage } from "./grey.ts";

export interface FoundShift {
  /** How far the second picture lies to the right of and below the first, px. */
  readonly dx: number;
  readonly dy: number;
  /** Height of the peak: 1 for a pure shift that comes round at the edges, near 0 when nothing is shared. */
  readonly peak: number;
}

export interface PhaseOptions {
  /** Fade both pictures out toward their edges (Hann); off for pictures that come round. On when left out. */
  readonly fade?: boolean;
  /** Parts of a pixel the peak is looked for in. */
  readonly finer?: number;
}

function spectrum(image: GreyImage, width: number, height: number, fade: boolean): Complex {
  const { widthPx, heightPx, data } = image;
  let mean = 0;
  for (const value of data) mean += value;
  mean /= data.length;
  const hann = (i: number, n: number): number =>
    fade && n > 1 ? 0.5 - 0.5 * Math.cos((2 * Math.PI * i) / (n - 1)) : 1;
  const across = Float64Array.from({ length: widthPx }, (_, x) => hann(x, widthPx));
  const z = newComplex(width * height);
  for (let y = 0; y < heightPx; y++) {
    const down = hann(y, heightPx);
    for (let x = 0; x < widthPx; x++) z.re[y * width + x] = (data[y * widthPx + x]! - mean) * across[x]! * down;
  }
  fft2(z, width, height);
  return z;
}

/** Signed frequency of an index, cycles per length. */
const signed = (k: number, n: number): number => (k <= n / 2 ? k : k - n);

/** Value of the correlation at a place between pixels, straight from the spectrum. */
function correlationAt(cross: Complex, width: number, height: number, dx: number, dy: number): number {
  const cx = new Float64Array(width);
  const sx = new Float64Array(width);
  for (let k = 0; k < width; k++) {
    const a = (2 * Math.PI * signed(k, width) * dx) / width;
    cx[k] = Math.cos(a);
    sx[k] = Math.sin(a);
  }
  let sum = 0;
  for (let l = 0; l < height; l++) {
    let r = 0;
    let m = 0;
    const from = l * width;
    for (let k = 0; k < width; k++) {
      const re = cross.re[from + k]!;
      const im = cross.im[from + k]!;
      r += re * cx[k]! - im * sx[k]!;
      m += re * sx[k]! + im * cx[k]!;
    }
    const b = (2 * Math.PI * signed(l, height) * dy) / height;
    sum += r * Math.cos(b) - m * Math.sin(b);
  }
  return sum / (width * height);
}

/**
 * Shift between two pictures of one size from the phase of their cross spectrum alone: even changes of brightness and
 * contrast do not move it. The peak is first found to a pixel, then between pixels in ever smaller steps.
 *
 * @returns the shift, at most half the size either way.
 * @throws RangeError when the sizes differ.
 * @source C. D. Kuglin and D. C. Hines, Proc. IEEE Int. Conf. Cybernetics and Society (1975) 163–165
 */
export function phaseCorrelate(a: GreyImage, b: GreyImage, options: PhaseOptions = {}): FoundShift {
  const { fade = true, finer = 64 } = options;
  if (a.widthPx !== b.widthPx || a.heightPx !== b.heightPx)
    throw new RangeError("Both pictures of a phase correlation must have one size.");
  const width = powerOfTwoFrom(a.widthPx);
  const height = powerOfTwoFrom(a.heightPx);
  const cross = spectrum(b, width, height, fade);
  const first = spectrum(a, width, height, fade);
  const magnitude = new Float64Array(cross.re.length);
  let largest = 0;
  for (let i = 0; i < magnitude.length; i++) {
    const re = cross.re[i]! * first.re[i]! + cross.im[i]! * first.im[i]!;
    const im = cross.im[i]! * first.re[i]! - cross.re[i]! * first.im[i]!;
    cross.re[i] = re;
    cross.im[i] = im;
    magnitude[i] = Math.hypot(re, im);
    if (magnitude[i]! > largest) largest = magnitude[i]!;
  }
  // Frequencies that hold nothing but rounding have no phase to speak of.
  const floor = largest * 1e-12;
  for (let i = 0; i < magnitude.length; i++) {
    const m = magnitude[i]!;
    cross.re[i] = m > floor ? cross.re[i]! / m : 0;
    cross.im[i] = m > floor ? cross.im[i]! / m : 0;
  }
  const map = { re: cross.re.slice(), im: cross.im.slice() };
  fft2(map, width, height, true);
  let at = 0;
  for (let i = 1; i < map.re.length; i++) if (map.re[i]! > map.re[at]!) at = i;
  let dx = signed(at % width, width);
  let dy = signed(Math.floor(at / width), height);
  let peak = map.re[at]!;
  for (let step = 0.5; step >= 1 / finer; step /= 2) {
    const [x, y] = [dx, dy];
    for (let j = -1; j <= 1; j++)
      for (let i = -1; i <= 1; i++) {
        const value = correlationAt(cross, width, height, x + i * step, y + j * step);
        if (value <= peak) continue;
        peak = value;
        dx = x + i * step;
        dy = y + j * step;
      }
  }
  return { dx, dy, peak };
}
