import { BREAK_TYPE_IDS, type BreakTypeId } from "../evidence/break-type-ids.ts";
import type { BreakModel, ModelAnswer } from "./break-model.ts";
import { probabilitiesOf } from "./break-model.ts";
import { unlikeness } from "./familiarity.ts";
import { CANDIDATES } from "./candidates.ts";
import { foldsOf } from "./folds.ts";
import { leftOut } from "./left-out.ts";
import type { Answers, PairedTest, Share } from "./metrics.ts";
import { accuracy, confusionOf, pairedTest, perClass } from "./metrics.ts";
import type { SetOfBreaks } from "./set-of-breaks.ts";
import { answersAt } from "./temperature.ts";
import { rowsOf } from "./training-set.ts";

/** As when the candidates are compared while learning. */
const FOLDS = 4;
/** Fewer judged breaks say nothing about which model is better. @source common practice, no source */
export const FEWEST_TO_TELL = 20;
/** Two-sided probability below which a difference is called beyond chance. @source common practice, no source */
const BEYOND_CHANCE = 0.05;

export type Recommendation = "adopt" | "keep";

export interface ModelComparison {
  /** Breaks both were judged on; neither had learnt from any of them. */
  readonly judged: number;
  /** Confirmed breaks that were left out because the model in use had learnt from them. */
  readonly learntFromByTheOneInUse: number;
  readonly fresh: Share;
  readonly inUse: Share;
  readonly paired: PairedTest;
  readonly perType: readonly {
    readonly type: string;
    readonly breaks: number;
    readonly fresh: Share;
    readonly inUse: Share;
  }[];
  /** Types that only the model in use can name. */
  readonly typesLost: readonly string[];
  readonly recommend: Recommendation;
  /** Plain sentences: why. */
  readonly because: readonly string[];
}

/** What each model says of a break that it did not learn from. */
export interface SaidOfBreak {
  readonly id: string;
  readonly truth: BreakTypeId;
  readonly fresh: ModelAnswer;
  readonly inUse: ModelAnswer;
}

export interface CompareOptions {
  /** Breaks that the model in use learnt from; they cannot judge it. */
  readonly learntFromByTheOneInUse: ReadonlySet<string>;
  /** Told the share done; may throw to stop. */
  readonly onPart?: (part: number) => void;
}

/**
 * A freshly trained model against the one in use, on the same confirmed breaks. Where the fresh model learnt from the
 * break, a model of the same kind that learnt from the other breaks alone answers in its place (the folds of the
 * training itself). Breaks of types too rare to be learnt are judged too: a model that cannot name a type is wrong there.
 *
 * @param fresh – trained on `breaks.set` with the seed on its card.
 */
export function compareModels(
  breaks: SetOfBreaks,
  fresh: BreakModel,
  inUse: BreakModel,
  options: CompareOptions,
): { readonly comparison: ModelComparison; readonly said: readonly SaidOfBreak[] } {
  const columns = breaks.set.names.length;
  const leftOut = leftOutAnswers(breaks, fresh, options.onPart);
  const all = [
    ...breaks.ids.map((id, i) => {
      const row = breaks.set.x.subarray(i * columns, (i + 1) * columns);
      return { id, type: breaks.set.classes[breaks.set.y[i]!]!, row, byFresh: leftOut[i]! };
    }),
    ...breaks.rest.map(({ id, type, vector: row }) => ({ id, type, row, byFresh: probabilitiesOf(fresh, row) })),
  ];
  const judged = all
    .filter((b) => !options.learntFromByTheOneInUse.has(b.id))
    .map((b) => ({ ...b, byInUse: probabilitiesOf(inUse, b.row) }));
  const truth = Int32Array.from(judged, (b) => typePlace(b.type));
  const freshAnswers = overAllTypes(truth, fresh.classes, judged.map((b) => b.byFresh)); // prettier-ignore
  const inUseAnswers = overAllTypes(truth, inUse.classes, judged.map((b) => b.byInUse)); // prettier-ignore
  const figures = {
    judged: judged.length,
    learntFromByTheOneInUse: all.length - judged.length,
    fresh: accuracy(freshAnswers),
    inUse: accuracy(inUseAnswers),
    paired: pairedTest(freshAnswers, inUseAnswers),
    perType: byType(freshAnswers, inUseAnswers),
    typesLost: inUse.classes.filter((type) => !fresh.classes.includes(type)),
  };
  const said = judged.map(({ id, type, row, byFresh, byInUse }): SaidOfBreak => ({
    id,
    truth: type as BreakTypeId,
    fresh: asAnswer(fresh, row, byFresh),
    inUse: asAnswer(inUse, row, byInUse),
  }));
  return { comparison: { ...figures, ...recommended(figures) }, said };
}

const asAnswer = ({ classes, familiarity }: BreakModel, row: ArrayLike<number>, p: Float64Array): ModelAnswer => ({
  ranking: classes.map((type, c) => ({ type, probability: p[c]! })).sort((a, b) => b.probability - a.probability),
  unlike: unlikeness(familiarity, row),
});

const typePlace = (type: string): number => (BREAK_TYPE_IDS as readonly string[]).indexOf(type);

/** Probabilities of every row of the set, each by a model that did not learn from its break. */
function leftOutAnswers(
  { set }: SetOfBreaks,
  fresh: BreakModel,
  onPart?: (part: number) => void,
): readonly Float64Array[] {
  const { seed, candidates } = fresh.card;
  const chosen = candidates.reduce((a, b) => (b.logLoss < a.logLoss ? b : a)).name;
  const candidate = CANDIDATES.find((c) => c.name === chosen) ?? CANDIDATES[0]!;
  const scored = leftOut(set, foldsOf(set, FOLDS, seed), FOLDS, candidate, seed, (part) => onPart?.(part));
  onPart?.(1);
  const { probabilities } = answersAt(scored, fresh.temperature);
  const classes = set.classes.length;
  return Array.from({ length: rowsOf(set) }, (_, i) => probabilities.subarray(i * classes, (i + 1) * classes));
}

/** Answers of a model over all break types; a type that it does not know gets nothing. */
function overAllTypes(truth: Int32Array, classes: readonly string[], answers: readonly Float64Array[]): Answers {
  const probabilities = new Float64Array(truth.length * BREAK_TYPE_IDS.length);
  answers.forEach((p, i) => {
    classes.forEach((type, c) => {
      const place = typePlace(type);
      if (place >= 0) probabilities[i * BREAK_TYPE_IDS.length + place] = p[c]!;
    });
  });
  return { classes: BREAK_TYPE_IDS.length, probabilities, truth };
}

function byType(fresh: Answers, inUse: Answers): ModelComparison["perType"] {
  const [a, b] = [perClass(confusionOf(fresh)), perClass(confusionOf(inUse))];
  return BREAK_TYPE_IDS.map((type, c) => ({
    type,
    breaks: a[c]!.recall.n,
    fresh: a[c]!.recall,
    inUse: b[c]!.recall,
  })).filter((t) => t.breaks > 0);
}

const count = (n: number): string => `${n} ${n === 1 ? "break" : "breaks"}`;

export function recommended({
  judged,
  fresh,
  inUse,
  paired,
  typesLost,
}: Pick<ModelComparison, "judged" | "fresh" | "inUse" | "paired" | "typesLost">): Pick<
  ModelComparison,
  "recommend" | "because"
> {
  const score = `The new model named ${fresh.of} of ${judged} right, the one in use ${inUse.of}.`;
  if (judged < FEWEST_TO_TELL)
    return {
      recommend: "keep",
      because: [
        judged === 0
          ? "There is no confirmed break that the model in use has not learnt from, so nothing can be compared."
          : `${count(judged)} are too few to tell which is better; ${FEWEST_TO_TELL} are needed.`,
        ...(judged === 0 ? [] : [score]),
      ],
    };
  const { onlyFirst, onlySecond, p } = paired;
  const apart = `They differ on ${count(onlyFirst + onlySecond)}: ${onlyFirst} only the new one had right, ${onlySecond} only the one in use.`;
  const beyond = p < BEYOND_CHANCE;
  const sure = beyond
    ? "Such a difference is beyond chance."
    : "Such a difference, or none, can be chance: more confirmed breaks would tell.";
  // A type that can no longer be named is a loss that these breaks may not show: only a gain beyond chance outweighs it.
  const outweighs = typesLost.length === 0 || (beyond && onlyFirst > onlySecond);
  const lost = outweighs
    ? []
    : [
        `It would lose ${typesLost.length} ${typesLost.length === 1 ? "type" : "types"}, and nothing beyond chance outweighs that.`,
      ];
  const adopt = onlyFirst >= onlySecond && outweighs;
  return { recommend: adopt ? "adopt" : "keep", because: [score, apart, sure, ...lost] };
}
