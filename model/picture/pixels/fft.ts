/** Complex numbers side by side: real parts and imaginary parts. */
export interface Complex {
  readonly re: Float64Array;
  readonly im: Float64Array;
}

export const newComplex = (length: number): Complex => ({
  re: new Float64Array(length),
  im: new Float64Array(length),
});

export const isPowerOfTwo = (n: number): boolean => Number.isInteger(n) && n >= 1 && (n & (n - 1)) === 0;

/** Smallest power of two that is at least n. */
export const powerOfTwoFrom = (n: number): number => 2 ** Math.ceil(Math.log2(Math.max(1, n)));

interface Plan {
  readonly cos: Float64Array;
  readonly sin: Float64Array;
  readonly swap: Uint32Array;
}

const plans = new Map<number, Plan>();

function planOf(n: number): Plan {
  const made = plans.get(n);
  if (made) return made;
  if (!isPowerOfTwo(n)) throw new RangeError(`A Fourier transform here takes powers of two, not ${n}.`);
  const bits = Math.log2(n);
  const swap = new Uint32Array(n);
  for (let i = 0; i < n; i++) {
    let turned = 0;
    for (let b = 0; b < bits; b++) if (i & (1 << b)) turned |= 1 << (bits - 1 - b);
    swap[i] = turned;
  }
  const half = n >> 1;
  const plan = {
    cos: Float64Array.from({ length: half }, (_, k) => Math.cos((2 * Math.PI * k) / n)),
    sin: Float64Array.from({ length: half }, (_, k) => -Math.sin((2 * Math.PI * k) / n)),
    swap,
  };
  plans.set(n, plan);
  return plan;
}

/**
 * Discrete Fourier transform in place: X_k = Σ x_j e^(−2πi·jk/n); `inverse` has + in the exponent and divides by n.
 *
 * @param z – its length is a power of two.
 * @throws RangeError for other lengths.
 * @source J. W. Cooley and J. W. Tukey, Math. Comp. 19 (1965) 297–301 (radix two, decimation in time)
 */
export function fft(z: Complex, inverse = false): void {
  const { re, im } = z;
  const n = re.length;
  const { cos, sin, swap } = planOf(n);
  for (let i = 0; i < n; i++) {
    const j = swap[i]!;
    if (j <= i) continue;
    const r = re[i]!;
    re[i] = re[j]!;
    re[j] = r;
    const m = im[i]!;
    im[i] = im[j]!;
    im[j] = m;
  }
  for (let size = 2; size <= n; size <<= 1) {
    const half = size >> 1;
    const step = n / size;
    for (let start = 0; start < n; start += size)
      for (let k = 0, t = 0; k < half; k++, t += step) {
        const c = cos[t]!;
        const s = inverse ? -sin[t]! : sin[t]!;
        const a = start + k;
        const b = a + half;
        const r = re[b]! * c - im[b]! * s;
        const m = re[b]! * s + im[b]! * c;
        re[b] = re[a]! - r;
        im[b] = im[a]! - m;
        re[a] = re[a]! + r;
        im[a] = im[a]! + m;
      }
  }
  if (!inverse) return;
  for (let i = 0; i < n; i++) {
    re[i] = re[i]! / n;
    im[i] = im[i]! / n;
  }
}

/** The transform down all columns at once: neighbours in a row go through the same steps, so memory is read in order. */
function fftDown({ re, im }: Complex, width: number, height: number, inverse: boolean): void {
  const { cos, sin, swap } = planOf(height);
  for (let i = 0; i < height; i++) {
    const j = swap[i]!;
    if (j <= i) continue;
    for (const part of [re, im]) {
      const row = part.slice(i * width, (i + 1) * width);
      part.copyWithin(i * width, j * width, (j + 1) * width);
      part.set(row, j * width);
    }
  }
  for (let size = 2; size <= height; size <<= 1) {
    const half = size >> 1;
    const step = height / size;
    for (let start = 0; start < height; start += size)
      for (let k = 0, t = 0; k < half; k++, t += step) {
        const c = cos[t]!;
        const s = inverse ? -sin[t]! : sin[t]!;
        let a = (start + k) * width;
        let b = a + half * width;
        for (let x = 0; x < width; x++, a++, b++) {
          const r = re[b]! * c - im[b]! * s;
          const m = re[b]! * s + im[b]! * c;
          re[b] = re[a]! - r;
          im[b] = im[a]! - m;
          re[a] = re[a]! + r;
          im[a] = im[a]! + m;
        }
      }
  }
  if (!inverse) return;
  for (let i = 0; i < re.length; i++) {
    re[i] = re[i]! / height;
    im[i] = im[i]! / height;
  }
}

/**
 * Fourier transform of a picture in place, row by row and then down the columns.
 *
 * @param width, height – powers of two; `z` holds width × height values row by row.
 */
export function fft2(z: Complex, width: number, height: number, inverse = false): void {
  for (let from = 0; from < width * height; from += width) {
    const row = { re: z.re.subarray(from, from + width), im: z.im.subarray(from, from + width) };
    // Filters leave many rows empty, and nothing transforms to nothing.
    if (isEmpty(row)) continue;
    fft(row, inverse);
  }
  fftDown(z, width, height, inverse);
}

function isEmpty({ re, im }: Complex): boolean {
  for (let i = 0; i < re.length; i++) if (re[i] !== 0 || im[i] !== 0) return false;
  return true;
}
