import type { Answers } from "./metrics.ts";
import type { BreakModel, ModelCard } from "./break-model.ts";
import { scoresOf } from "./break-model.ts";
import type { Candidate } from "./candidates.ts";
import { accuracy } from "./metrics.ts";
import { seeded, shuffled } from "./seeded.ts";
import { rowsOfScored, type Scored } from "./scored.ts";
import { answersAt, type Temperature } from "./temperature.ts";
import { countedOf, knownCounts } from "./temperature-by-known.ts";
import { pickRows, rowsOf, type TrainingSet } from "./training-set.ts";

/** Scores of every row by a model that did not learn from its break. */
export function leftOut(
  set: TrainingSet,
  fold: Int32Array,
  folds: number,
  candidate: Candidate,
  seed: number,
  onPart: (part: number) => void,
): Scored {
  const classes = set.classes.length;
  const scores = new Float64Array(rowsOf(set) * classes);
  const all = Int32Array.from({ length: rowsOf(set) }, (_, i) => i);
  for (let f = 0; f < folds; f++) {
    const core = candidate.fit(
      pickRows(
        set,
        all.filter((i) => fold[i] !== f),
      ),
      seed,
      (part) => onPart((f + part) / folds),
    );
    const left = all.filter((i) => fold[i] === f);
    const found = scoresOfRows(core, set, left);
    left.forEach((i, k) => scores.set(found.subarray(k * classes, (k + 1) * classes), i * classes));
  }
  return { classes, scores, truth: set.y, known: knownCounts(set, countedOf(set.names)) };
}

function scoresOfRows(core: BreakModel["core"], set: TrainingSet, rows: Int32Array): Float64Array {
  const columns = set.names.length;
  const classes = set.classes.length;
  const scores = new Float64Array(rows.length * classes);
  rows.forEach((i, k) => scores.set(scoresOf(core, set.x.subarray(i * columns, (i + 1) * columns)), k * classes));
  return scores;
}

/** Left-out answers, each fold at the temperature that the other folds ask for. */
export function honestAnswers(
  scored: Scored,
  fold: Int32Array,
  folds: number,
  temperatureFor: (others: Scored) => Temperature,
): Answers {
  const probabilities = new Float64Array(scored.scores.length);
  const { classes } = scored;
  const rows = [...fold.keys()];
  for (let f = 0; f < folds; f++) {
    const temperature = temperatureFor(rowsOfScored(scored, rows.filter((i) => fold[i] !== f))); // prettier-ignore
    const mine = rows.filter((i) => fold[i] === f);
    const answers = answersAt(rowsOfScored(scored, mine), temperature);
    mine.forEach((i, k) =>
      probabilities.set(answers.probabilities.subarray(k * classes, (k + 1) * classes), i * classes),
    );
  }
  return { classes, probabilities, truth: scored.truth };
}

/**
 * One row of each break, chosen by the seed: rows of one break are no independent witnesses, and an interval that
 * counted each of them would be too narrow.
 */
export function oneRowPerBreak(group: Int32Array, seed: number): Int32Array {
  const chosen = new Map<number, number>();
  for (const i of shuffled(group.length, seeded(seed + 2))) if (!chosen.has(group[i]!)) chosen.set(group[i]!, i);
  return Int32Array.from(chosen.values()).sort();
}

/** Some rows of the answers. */
export function rowsOfAnswers({ classes, probabilities, truth }: Answers, rows: ArrayLike<number>): Answers {
  const picked = new Float64Array(rows.length * classes);
  for (let k = 0; k < rows.length; k++)
    picked.set(probabilities.subarray(rows[k]! * classes, (rows[k]! + 1) * classes), k * classes);
  return { classes, probabilities: picked, truth: Int32Array.from(rows, (i) => truth[i]!) };
}

/**
 * Accuracy on one fold when a growing part of the other breaks is learnt from.
 *
 * @param judged – rows that may be judged.
 * @param best – the way of learning and its left-out scores: those of the first fold came from all other breaks.
 */
export function learningCurve(
  set: TrainingSet,
  fold: Int32Array,
  judged: Int32Array,
  { candidate, scored }: { readonly candidate: Candidate; readonly scored: Scored },
  seed: number,
  onPart: (part: number) => void,
): ModelCard["learningCurve"] {
  const others = [...new Set(set.group.filter((_, i) => fold[i] !== 0))];
  const order = Array.from(shuffled(others.length, seeded(seed + 1)), (k) => others[k]!);
  const left = judged.filter((i) => fold[i] === 0);
  const whole = rowsOfScored(scored, left);
  const pointOf = (breaks: number, scores: Float64Array) => ({
    breaks,
    accuracy: accuracy(answersAt({ ...whole, scores }, 1)),
  });
  const parts = [0.25, 0.5].map((part, k, { length }) => {
    const breaks = new Set(order.slice(0, Math.max(1, Math.round(part * order.length))));
    const rows = [...set.group.keys()].filter((i) => breaks.has(set.group[i]!));
    const core = candidate.fit(pickRows(set, rows), seed, (p) => onPart((k + p) / length));
    return pointOf(breaks.size, scoresOfRows(core, set, left));
  });
  return [...parts, pointOf(others.length, whole.scores)];
}
