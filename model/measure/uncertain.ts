import type { Uncertain } from "../break/wire-break.ts";
import { MeasureError } from "./measure-error.ts";

export type { Uncertain } from "../break/wire-break.ts";

/**
 * A value together with what each independent source adds to its uncertainty.
 *
 * Two quantities that share a source (the scale of one photograph, one clicked point, one known wire diameter) are correlated;
 * keeping the shares by name makes every correlation come out by itself, so that a ratio of two lengths on the same
 * photograph carries nothing of the scale.
 *
 * @source JCGM 100:2008, 5.2.2 and Annex F.1.2.3: correlated quantities written as functions of common independent inputs; from memory.
 */
export interface Quantity {
  readonly value: number;
  /** Signed share (sensitivity × standard uncertainty, unit of the value) by name of the source. */
  readonly shares: ReadonlyMap<string, number>;
}

const NONE: ReadonlyMap<string, number> = new Map();

/** A number known exactly. */
export const exact = (value: number): Quantity => ({ value, shares: NONE });

/**
 * A quantity read once, with its standard uncertainty.
 *
 * @param source – name of what makes it uncertain; the same name means the same error.
 */
export function reading(source: string, value: number, u: number): Quantity {
  if (!Number.isFinite(value) || !Number.isFinite(u) || u < 0)
    throw new MeasureError("not-a-number", "A reading needs a finite value and an uncertainty of zero or more.");
  return u === 0 ? exact(value) : { value, shares: new Map([[source, u]]) };
}

/** Combined standard uncertainty (k = 1): root sum of squares of the shares. */
export function standardUncertainty(q: Quantity): number {
  let sum = 0;
  for (const share of q.shares.values()) sum += share * share;
  return Math.sqrt(sum);
}

export const toUncertain = (q: Quantity): Uncertain => ({ value: q.value, u: standardUncertainty(q) });

/** Correlation coefficient of two quantities, −1 to 1; 0 when either is exact. */
export function correlation(a: Quantity, b: Quantity): number {
  const ua = standardUncertainty(a);
  const ub = standardUncertainty(b);
  if (ua === 0 || ub === 0) return 0;
  let covariance = 0;
  for (const [source, share] of a.shares) covariance += share * (b.shares.get(source) ?? 0);
  return Math.max(-1, Math.min(1, covariance / (ua * ub)));
}

/**
 * A value whose sensitivities to its inputs are known.
 *
 * @param terms – pairs of input and partial derivative of the value by that input.
 * @source JCGM 100:2008, equation (10) of 5.1.2 and (13) of 5.2.2; from memory.
 */
export function linear(value: number, terms: readonly (readonly [input: Quantity, sensitivity: number])[]): Quantity {
  const shares = new Map<string, number>();
  for (const [input, sensitivity] of terms)
    for (const [source, share] of input.shares) shares.set(source, (shares.get(source) ?? 0) + sensitivity * share);
  return { value, shares };
}

export const plus = (a: Quantity, b: Quantity): Quantity =>
  linear(a.value + b.value, [
    [a, 1],
    [b, 1],
  ]);
export const minus = (a: Quantity, b: Quantity): Quantity =>
  linear(a.value - b.value, [
    [a, 1],
    [b, -1],
  ]);
export const times = (a: Quantity, b: Quantity): Quantity =>
  linear(a.value * b.value, [
    [a, b.value],
    [b, a.value],
  ]);
export const scaled = (a: Quantity, factor: number): Quantity => linear(a.value * factor, [[a, factor]]);

/** @throws MeasureError `degenerate-geometry` when the divisor is zero. */
export function over(a: Quantity, b: Quantity): Quantity {
  if (b.value === 0) throw new MeasureError("degenerate-geometry", "A length that must not be zero is zero.");
  return linear(a.value / b.value, [
    [a, 1 / b.value],
    [b, -a.value / (b.value * b.value)],
  ]);
}

/** @throws MeasureError `degenerate-geometry` when the value is not positive. */
export function squareRoot(a: Quantity): Quantity {
  if (!(a.value > 0)) throw new MeasureError("degenerate-geometry", "An area that must not be zero is zero.");
  const root = Math.sqrt(a.value);
  return linear(root, [[a, 1 / (2 * root)]]);
}

/** Length of a vector. At zero length the direction is open, and the share along x stands for both. */
export function hypotenuse(x: Quantity, y: Quantity): Quantity {
  const length = Math.hypot(x.value, y.value);
  const [cx, cy] = length === 0 ? [1, 0] : [x.value / length, y.value / length];
  return linear(length, [
    [x, cx],
    [y, cy],
  ]);
}

/** Direction of a vector in degrees from +x toward +y. @throws MeasureError `degenerate-geometry` for a zero vector. */
export function directionDeg(x: Quantity, y: Quantity): Quantity {
  const square = x.value * x.value + y.value * y.value;
  if (square === 0) throw new MeasureError("degenerate-geometry", "Two points that must differ lie on each other.");
  const perRad = 180 / Math.PI;
  return linear(Math.atan2(y.value, x.value) * perRad, [
    [x, (-y.value / square) * perRad],
    [y, (x.value / square) * perRad],
  ]);
}

/** Arithmetic mean; shared sources do not average out. */
export function mean(quantities: readonly Quantity[]): Quantity {
  const n = quantities.length;
  if (n === 0) throw new MeasureError("degenerate-geometry", "There is nothing to take the mean of.");
  return linear(
    quantities.reduce((sum, q) => sum + q.value, 0) / n,
    quantities.map((q) => [q, 1 / n] as const),
  );
}

/**
 * Any function of several quantities; sensitivities by stepping each input one standard uncertainty up and down.
 *
 * @param f – from the values of the inputs to a finite number.
 * @throws MeasureError `degenerate-geometry` when f is not finite at the inputs.
 * @source JCGM 100:2008, 5.1.3 note 2 (numerical sensitivities); from memory.
 */
export function combine(inputs: readonly Quantity[], f: (values: readonly number[]) => number): Quantity {
  const values = inputs.map((q) => q.value);
  const value = f(values);
  if (!Number.isFinite(value))
    throw new MeasureError("degenerate-geometry", "The drawn shape is too small or too flat to measure.");
  const terms = inputs.map((q, i): readonly [Quantity, number] => {
    const step = standardUncertainty(q);
    if (step === 0) return [q, 0];
    const at = (x: number) => f(values.map((v, j) => (j === i ? x : v)));
    const difference = at(q.value + step) - at(q.value - step);
    return [q, Number.isFinite(difference) ? difference / (2 * step) : 0];
  });
  return linear(value, terms);
}
