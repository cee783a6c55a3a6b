import { toProbabilities } from "./softmax.ts";
import { exp, ln } from "./steady-math.ts";
import type { Answers } from "./metrics.ts";
import type { Scored } from "./scored.ts";
import { boldnessAt, knownCount, type TemperatureByKnown } from "./temperature-by-known.ts";

/** One for all breaks, or one that follows how much is known. Above 1 makes answers humbler, below 1 bolder. */
export type Temperature = number | TemperatureByKnown;

/** 1 / temperature for a row. @param row – NaN is missing. */
export const boldnessOf = (temperature: Temperature, row: ArrayLike<number>): number =>
  typeof temperature === "number" ? 1 / temperature : boldnessAt(temperature, knownCount(temperature.counted, row));

/** Probabilities at a temperature; the order of the types never changes. */
export function answersAt({ classes, scores, truth, known }: Scored, temperature: Temperature): Answers {
  const probabilities = new Float64Array(scores.length);
  const p = new Float64Array(classes);
  for (let i = 0; i < truth.length; i++) {
    const bold = typeof temperature === "number" ? 1 / temperature : boldnessAt(temperature, known[i]!);
    for (let c = 0; c < classes; c++) p[c] = bold * scores[i * classes + c]!;
    toProbabilities(p);
    probabilities.set(p, i * classes);
  }
  return { classes, probabilities, truth };
}

const LEAST = 0.25;
const MOST = 8;

/**
 * The one temperature with the least log loss on rows that were not learnt from.
 *
 * @returns between ¼ and 8.
 * @source C. Guo, G. Pleiss, Y. Sun, K. Q. Weinberger, "On calibration of modern neural networks", ICML 2017; from memory.
 */
export function bestTemperature(scored: Scored): number {
  const loss = (logT: number): number => {
    const t = exp(logT);
    let sum = 0;
    const p = new Float64Array(scored.classes);
    for (let i = 0; i < scored.truth.length; i++) {
      for (let c = 0; c < scored.classes; c++) p[c] = scored.scores[i * scored.classes + c]! / t;
      toProbabilities(p);
      sum -= ln(Math.max(1e-300, p[scored.truth[i]!]!));
    }
    return sum;
  };
  // Golden section: the loss has one valley in the temperature.
  const ratio = (Math.sqrt(5) - 1) / 2;
  let [a, b] = [ln(LEAST), ln(MOST)];
  let [c, d] = [b - ratio * (b - a), a + ratio * (b - a)];
  let [fc, fd] = [loss(c), loss(d)];
  for (let k = 0; k < 30; k++) {
    if (fc < fd) {
      [b, d, fd] = [d, c, fc];
      c = b - ratio * (b - a);
      fc = loss(c);
    } else {
      [a, c, fc] = [c, d, fd];
      d = a + ratio * (b - a);
      fd = loss(d);
    }
  }
  return exp((a + b) / 2);
}
