import { ClassifierError } from "./classifier-error.ts";
import type { BreakModel } from "./break-model.ts";
import { CANDIDATES } from "./candidates.ts";
import { familiarityOf } from "./familiarity.ts";
import { foldsOf } from "./folds.ts";
import { calibrated } from "./calibrated.ts";
import { learningCurve, leftOut, oneRowPerBreak, rowsOfAnswers } from "./left-out.ts";
import { accuracy, calibrationOf, confusionOf, logLoss, perClass } from "./metrics.ts";
import { inOwnOrder } from "./row-order.ts";
import { standardOf } from "./standardise.ts";
import { stageAt, STAGES } from "./train-stages.ts";
import { answersAt, bestTemperature } from "./temperature.ts";
import { countedOf } from "./temperature-by-known.ts";
import { pickRows, rowsOf, type TrainingSet } from "./training-set.ts";

export { CANDIDATES };

/** Fewest breaks of a type that can be learnt from. @source common practice, no source */
export const FEWEST_PER_TYPE = 6;
const FOLDS = 4;
/** Candidates are compared on at most this many rows; the chosen one learns from all. */
const COMPARED_ROWS = 2000;

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

/**
 * Learns from confirmed breaks: candidates compared by cross-validation grouped by break, the best one (by log loss)
 * fitted to all, its probabilities calibrated on the left-out breaks.
 *
 * The order of the rows changes nothing; the same breaks, options and seed give the same model to the last bit.
 *
 * @throws ClassifierError `too-few-types`, `too-few-breaks`; whatever `onPart` throws.
 */
export function train(given: TrainingSet, options: TrainOptions): BreakModel {
  const set = inOwnOrder(given);
  const breaks = breaksPerType(set);
  checkEnough(set, breaks);
  const { seed } = options;
  const tell = (from: number, to: number) => (part: number) => {
    const done = from + (to - from) * part;
    options.onPart?.(done, stageAt(done));
  };
  const compared = pickRows(set, sample(set, COMPARED_ROWS, seed));
  const fold = foldsOf(compared, FOLDS, seed);
  const judged = oneRowPerBreak(compared.group, seed);
  const each = STAGES.comparing.to / CANDIDATES.length;
  const tried = CANDIDATES.map((candidate, k) => {
    const scored = leftOut(compared, fold, FOLDS, candidate, seed, tell(each * k, each * (k + 1)));
    const answers = rowsOfAnswers(answersAt(scored, bestTemperature(scored)), judged);
    return { candidate, scored, logLoss: logLoss(answers), accuracy: accuracy(answers) };
  });
  const best = tried.reduce((a, b) => (b.logLoss < a.logLoss ? b : a));
  const { temperature, honest } = calibrated(best.scored, fold, FOLDS, countedOf(set.names));
  const answers = rowsOfAnswers(honest, judged);
  const byType = perClass(confusionOf(answers));
  const curve = learningCurve(compared, fold, judged, best, seed, tell(STAGES.comparing.to, STAGES.curve.to));
  const core = best.candidate.fit(set, seed, tell(STAGES.curve.to, 0.97));
  const familiarity = familiarityOf(set, standardOf(set));
  options.onPart?.(1, stageAt(1));
  return {
    columns: set.names,
    classes: set.classes,
    core,
    temperature,
    familiarity,
    card: {
      name: options.name,
      trainedAt: options.trainedAt,
      trainedOn: options.trainedOn,
      limits: options.limits,
      dataDigest: options.dataDigest,
      breaks: new Set(set.group).size,
      perType: set.classes.map((type, c) => ({ type, breaks: breaks[c]!, ...byType[c]! })),
      accuracy: accuracy(answers),
      logLoss: logLoss(answers),
      calibration: calibrationOf(answers),
      learningCurve: curve,
      candidates: tried.map((t) => ({ name: t.candidate.name, logLoss: t.logLoss, accuracy: t.accuracy })),
      seed,
    },
  };
}

function breaksPerType({ y, group, classes }: TrainingSet): readonly number[] {
  const seen = classes.map(() => new Set<number>());
  y.forEach((type, i) => seen[type]!.add(group[i]!));
  return seen.map((groups) => groups.size);
}

function checkEnough({ classes }: TrainingSet, breaks: readonly number[]): void {
  const enough = breaks.filter((n) => n >= FEWEST_PER_TYPE).length;
  if (enough < 2)
    throw new ClassifierError(
      "too-few-types",
      `There must be at least two break types with ${FEWEST_PER_TYPE} confirmed breaks each.`,
      "Confirm more breaks; the log shows which would teach most.",
    );
  const short = classes.filter((_, c) => breaks[c]! < FEWEST_PER_TYPE);
  if (short.length > 0)
    throw new ClassifierError(
      "too-few-breaks",
      `Fewer than ${FEWEST_PER_TYPE} confirmed breaks: ${short.join(", ")}.`,
      "Leave these types out or confirm more of them.",
    );
}

/** Into so many parts are the breaks dealt of which a sample takes some. */
const PARTS = 100;

/** Rows of whole breaks, as near below `most` rows as hundredths of the set allow, every type with its share. */
function sample(set: TrainingSet, most: number, seed: number): Int32Array {
  const rows = rowsOf(set);
  const all = Int32Array.from({ length: rows }, (_, i) => i);
  if (rows <= most) return all;
  const part = foldsOf(set, PARTS, seed);
  const taken = Math.max(1, Math.floor((PARTS * most) / rows));
  return all.filter((i) => part[i]! < taken);
}
