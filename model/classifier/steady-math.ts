/**
 * Exponential and logarithm from sums and products alone. The language leaves the last digits of its own to the engine;
 * a model trained twice must come out the same to the byte, whichever engine trains it.
 *
 * @source fdlibm by Sun Microsystems (e_exp.c, e_log.c): reduction and coefficients; from memory, checked by test
 *   against the engine's own.
 */
const LN2_HIGH = 6.93147180369123816490e-1; // prettier-ignore
const LN2_LOW = 1.90821492927058770002e-10; // prettier-ignore
const LEAST_POWER = -1022;

/** 2^k for k from −1022 to 1023, by exact doubling. */
const POWERS = ((): Float64Array => {
  const powers = new Float64Array(2046);
  powers[-LEAST_POWER] = 1;
  for (let k = 1; k <= 1023; k++) powers[k - LEAST_POWER] = 2 * powers[k - 1 - LEAST_POWER]!;
  for (let k = -1; k >= LEAST_POWER; k--) powers[k - LEAST_POWER] = 0.5 * powers[k + 1 - LEAST_POWER]!;
  return powers;
})();

/** e^x within one unit of the last place; 0 below −708, ∞ above 709. */
export function exp(x: number): number {
  if (x < -708) return 0;
  if (x > 709) return Infinity;
  if (Number.isNaN(x)) return NaN;
  const k = Math.floor(x * 1.4426950408889634 + 0.5);
  const high = x - k * LN2_HIGH;
  const low = k * LN2_LOW;
  const r = high - low;
  const t = r * r;
  const c =
    r -
    t *
      (1.66666666666666019037e-1 +
        t *
          (-2.77777777770155933842e-3 +
            t * (6.61375632143793436117e-5 + t * (-1.6533902205465251539e-6 + t * 4.13813679705723846039e-8))));
  const near = 1 - (low - (r * c) / (2 - c) - high);
  return near * POWERS[k - LEAST_POWER]!;
}

const bits = new DataView(new ArrayBuffer(8));

/** Natural logarithm of a positive normal number; NaN for anything below the least of them, ∞ for ∞. */
export function ln(x: number): number {
  if (!(x >= 2.2250738585072014e-308)) return NaN;
  if (x === Infinity) return Infinity;
  bits.setFloat64(0, x);
  let k = ((bits.getUint32(0) >>> 20) & 0x7ff) - 1023;
  // The number's digits as a value in [1, 2), then in [√½, √2).
  bits.setUint32(0, (bits.getUint32(0) & 0xfffff) | 0x3ff00000);
  let m = bits.getFloat64(0);
  if (m > 1.4142135623730951) {
    m *= 0.5;
    k += 1;
  }
  const f = m - 1;
  const s = f / (2 + f);
  const z = s * s;
  const w = z * z;
  const even = w * (3.999999999940941908e-1 + w * (2.222219843214978396e-1 + w * 1.531383769920937332e-1));
  const odd =
    z *
    (6.66666666666673513e-1 +
      w * (2.857142874366239149e-1 + w * (1.818357216161805012e-1 + w * 1.479819860511658591e-1)));
  const half = 0.5 * f * f;
  return k * LN2_HIGH - (half - (s * (half + even + odd) + k * LN2_LOW) - f);
}
