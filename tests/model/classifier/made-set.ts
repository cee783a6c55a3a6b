import { seeded } from "../../../model/classifier/seeded.ts";
import type { TrainingSet } from "../../../model/classifier/training-set.ts";

/** A made problem: three types that differ in the first two columns, two columns of noise, a tenth missing. */
export function madeSet(breaks: number, seed: number, noise = 0.6): TrainingSet {
  const next = seeded(seed);
  const normal = () => Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next());
  const middles = [
    [0, 0],
    [2, 0],
    [1, 2],
  ] as const;
  const x = new Float32Array(breaks * 4);
  const y = new Int32Array(breaks);
  for (let i = 0; i < breaks; i++) {
    const type = i % 3;
    y[i] = type;
    const values = [middles[type]![0] + noise * normal(), middles[type]![1] + noise * normal(), normal(), normal()];
    values.forEach((v, j) => (x[4 * i + j] = next() < 0.1 ? NaN : v));
  }
  return {
    names: ["a", "b", "c", "d"],
    classes: ["central_burst", "torsion", "fatigue"],
    x,
    y,
    group: Int32Array.from({ length: breaks }, (_, i) => i),
  };
}

export const rowAt = (set: TrainingSet, i: number): Float32Array =>
  set.x.subarray(i * set.names.length, (i + 1) * set.names.length);
