import { ClassifierError } from "./classifier-error.ts";
import type { BreakModel, ModelCard } from "./break-model.ts";
import { scoresOf } from "./break-model.ts";
import { familiarityOf } from "./familiarity.ts";
import { foldsOf } from "./folds.ts";
import { accuracy, calibrationOf, confusionOf, logLoss, perClass } from "./metrics.ts";
import { seeded, shuffled } from "./seeded.ts";
import { trainSoftmax, type SoftmaxModel } from "./softmax.ts";
import { standardOf } from "./standardise.ts";
import { stageAt, STAGES } from "./train-stages.ts";
import { answersAt, bestTemperature, type Scored } from "./temperature.ts";
import { trainTrees, type TreesModel } from "./trees.ts";
import { pickRows, rowsOf, type TrainingSet } from "./training-set.ts";

/** Fewest breaks of a type that can be learnt from. @source common practice, no source */
export const FEWEST_PER_TYPE = 6;
const FOLDS = 4;
/** Candidates are compared on at most this many rows; the chosen one learns from all. */
const COMPARED_ROWS = 2500;

export interface TrainOptions {
  readonly seed: number;
  readonly name: string;
  readonly trainedAt: string;
  readonly trainedOn: string;
  readonly limits: readonly string[];
  readonly dataDigest: string;
  /** Told what is being done and the share of the whole; may throw to stop. */
  readonly onPart?: (part: number, what: string) => void;
}

interface Candidate {
  readonly name: string;
  readonly fit: (set: TrainingSet, seed: number, onPart?: (part: number) => void) => SoftmaxModel | TreesModel;
}

const softmax = (l2: number): Candidate => ({
  name: `softmax, penalty ${l2}`,
  fit: (set, _seed, onPart) => trainSoftmax(set, { l2, steps: 80, ...(onPart ? { onPart } : {}) }),
});
const trees = (rounds: number, depth: number): Candidate => ({
  name: `boosted trees, ${rounds} rounds of depth ${depth}`,
  fit: (set, seed, onPart) =>
    trainTrees(set, {
      rounds,
      depth,
      rate: 0.2,
      l2: 2,
      leastWeight: 1,
      columnShare: 0.3,
      rowShare: 0.7,
      seed,
      ...(onPart ? { onPart } : {}),
    }),
});

export const CANDIDATES: readonly Candidate[] = [softmax(0.003), softmax(0.03), trees(25, 3)];

/**
 * Learns from confirmed breaks: candidates compared by cross-validation grouped by break, the best one (by log loss)
 * fitted to all, its probabilities calibrated on the left-out breaks.
 *
 * @throws ClassifierError `too-few-types`, `too-few-breaks`; whatever `onPart` throws.
 */
export function train(set: TrainingSet, options: TrainOptions): BreakModel {
  checkEnough(set);
  const tell = (from: number, to: number) => (part: number) => {
    const done = from + (to - from) * part;
    options.onPart?.(done, stageAt(done));
  };
  const compared = pickRows(set, sample(set, COMPARED_ROWS, options.seed));
  const fold = foldsOf(compared, FOLDS, options.seed);
  const tried = CANDIDATES.map((candidate, k) => {
    const scored = leftOut(
      compared,
      fold,
      FOLDS,
      candidate,
      options.seed,
      tell((STAGES.comparing.to * k) / CANDIDATES.length, (STAGES.comparing.to * (k + 1)) / CANDIDATES.length),
    );
    const answers = answersAt(scored, bestTemperature(scored));
    return { candidate, scored, logLoss: logLoss(answers), accuracy: accuracy(answers) };
  });
  const best = tried.reduce((a, b) => (b.logLoss < a.logLoss ? b : a));
  const temperature = bestTemperature(best.scored);
  // The figures are those of a temperature that did not see the fold it is judged on.
  const answers = honestAnswers(best.scored, fold, FOLDS);
  const confusion = confusionOf(answers);
  const byType = perClass(confusion);
  const learningCurve = curve(compared, fold, best.candidate, options.seed, tell(STAGES.comparing.to, STAGES.curve.to));
  const core = best.candidate.fit(set, options.seed, tell(STAGES.curve.to, 0.97));
  const breaksOf = (c: number) => new Set([...set.group].filter((_, i) => set.y[i] === c)).size;
  const card: ModelCard = {
    name: options.name,
    trainedAt: options.trainedAt,
    trainedOn: options.trainedOn,
    limits: options.limits,
    dataDigest: options.dataDigest,
    breaks: new Set(set.group).size,
    perType: set.classes.map((type, c) => ({ type, breaks: breaksOf(c), ...byType[c]! })),
    accuracy: accuracy(answers),
    logLoss: logLoss(answers),
    calibration: calibrationOf(answers),
    learningCurve,
    candidates: tried.map((t) => ({ name: t.candidate.name, logLoss: t.logLoss, accuracy: t.accuracy })),
    seed: options.seed,
  };
  const familiarity = familiarityOf(set, standardOf(set));
  options.onPart?.(1, stageAt(1));
  return { columns: set.names, classes: set.classes, core, temperature, familiarity, card };
}

function checkEnough(set: TrainingSet): void {
  const breaks = set.classes.map((_, c) => new Set([...set.group].filter((_g, i) => set.y[i] === c)).size);
  const enough = breaks.filter((n) => n >= FEWEST_PER_TYPE).length;
  if (set.classes.length < 2 || enough < 2)
    throw new ClassifierError(
      "too-few-types",
      `There must be at least two break types with ${FEWEST_PER_TYPE} confirmed breaks each.`,
      "Confirm more breaks; the log shows which would teach most.",
    );
  const short = set.classes.filter((_, c) => breaks[c]! < FEWEST_PER_TYPE);
  if (short.length > 0)
    throw new ClassifierError(
      "too-few-breaks",
      `Fewer than ${FEWEST_PER_TYPE} confirmed breaks: ${short.join(", ")}.`,
      "Leave these types out or confirm more of them.",
    );
}

/** Rows of whole breaks, up to about `most` rows, every type with its share. */
function sample(set: TrainingSet, most: number, seed: number): Int32Array {
  const rows = rowsOf(set);
  const all = Int32Array.from({ length: rows }, (_, i) => i);
  if (rows <= most) return all;
  // Breaks dealt into as many folds as needed; one fold is a fair sample.
  const parts = Math.ceil(rows / most);
  const fold = foldsOf(set, parts, seed);
  return all.filter((i) => fold[i] === 0);
}

/** Scores of every row by a model that did not learn from its break. */
function leftOut(
  set: TrainingSet,
  fold: Int32Array,
  folds: number,
  candidate: Candidate,
  seed: number,
  onPart: (part: number) => void,
): Scored {
  const classes = set.classes.length;
  const columns = set.names.length;
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
    for (const i of all)
      if (fold[i] === f) scores.set(scoresOf(core, set.x.subarray(i * columns, (i + 1) * columns)), i * classes);
  }
  return { classes, scores, truth: set.y };
}

/** Left-out answers, each fold at the temperature that the other folds ask for. */
function honestAnswers(scored: Scored, fold: Int32Array, folds: number) {
  const probabilities = new Float64Array(scored.scores.length);
  const { classes } = scored;
  const part = (keep: (f: number) => boolean) => {
    const rows = [...fold.keys()].filter((i) => keep(fold[i]!));
    const scores = new Float64Array(rows.length * classes);
    rows.forEach((i, k) => scores.set(scored.scores.subarray(i * classes, (i + 1) * classes), k * classes));
    return { rows, scored: { classes, scores, truth: Int32Array.from(rows, (i) => scored.truth[i]!) } };
  };
  for (let f = 0; f < folds; f++) {
    const temperature = bestTemperature(part((g) => g !== f).scored);
    const mine = part((g) => g === f);
    const answers = answersAt(mine.scored, temperature);
    mine.rows.forEach((i, k) =>
      probabilities.set(answers.probabilities.subarray(k * classes, (k + 1) * classes), i * classes),
    );
  }
  return { classes, probabilities, truth: scored.truth };
}

/** Accuracy on one fold when a growing part of the others is learnt from. */
function curve(
  set: TrainingSet,
  fold: Int32Array,
  candidate: Candidate,
  seed: number,
  onPart: (part: number) => void,
): ModelCard["learningCurve"] {
  const columns = set.names.length;
  const classes = set.classes.length;
  const order = shuffled(rowsOf(set), seeded(seed + 1)).filter((i) => fold[i] !== 0);
  const judged = [...fold.keys()].filter((i) => fold[i] === 0);
  const steps = [0.25, 0.5, 1];
  return steps.map((part, k) => {
    const rows = order.subarray(0, Math.max(1, Math.round(part * order.length)));
    const core = candidate.fit(pickRows(set, rows), seed, (p) => onPart((k + p) / steps.length));
    const scores = new Float64Array(judged.length * classes);
    judged.forEach((i, at) => scores.set(scoresOf(core, set.x.subarray(i * columns, (i + 1) * columns)), at * classes));
    const truth = Int32Array.from(judged, (i) => set.y[i]!);
    const breaks = new Set(Array.from(rows, (i) => set.group[i]!)).size;
    return { breaks, accuracy: accuracy(answersAt({ classes, scores, truth }, 1)) };
  });
}
