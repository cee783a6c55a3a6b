import { bestByKnown } from "./best-by-known.ts";
import { honestAnswers } from "./left-out.ts";
import { logLoss, type Answers } from "./metrics.ts";
import type { Scored } from "./scored.ts";
import { bestTemperature, type Temperature } from "./temperature.ts";

/**
 * How bold the answers may be. One temperature for all breaks, or one that follows how much is known of a break:
 * whichever does better on folds that it did not see. So a set too small for two numbers keeps to one.
 *
 * @param scored – of breaks not learnt from. @param fold – of each row.
 * @returns the temperature learnt from all rows, and the answers to each fold at the temperature that the others ask for.
 */
export function calibrated(
  scored: Scored,
  fold: Int32Array,
  folds: number,
  counted: Uint8Array,
): { readonly temperature: Temperature; readonly honest: Answers } {
  const byKnown = (rows: Scored): Temperature => bestByKnown(rows, counted) ?? bestTemperature(rows);
  const [one, two] = [bestTemperature, byKnown].map((temperatureFor) => {
    const honest = honestAnswers(scored, fold, folds, temperatureFor);
    return { temperatureFor, honest, loss: logLoss(honest) };
  });
  const { temperatureFor, honest } = two!.loss < one!.loss ? two! : one!;
  return { temperature: temperatureFor(scored), honest };
}
