import type { Calibration, Share } from "./metrics.ts";
import type { Familiarity } from "./familiarity.ts";
import { distanceShares, unlikeness } from "./familiarity.ts";
import type { SoftmaxModel } from "./softmax.ts";
import { softmaxScores, toProbabilities } from "./softmax.ts";
import type { TreesModel } from "./trees.ts";
import { treesScores } from "./trees.ts";
import { standardRow } from "./standardise.ts";
import { boldnessOf, type Temperature } from "./temperature.ts";

/** What must be known about a model to trust or distrust it. Everything in it was computed, nothing typed by hand. */
export interface ModelCard {
  readonly name: string;
  /** ISO 8601, passed in. */
  readonly trainedAt: string;
  /** What the breaks were: rendered images, or a lab's confirmed breaks. */
  readonly trainedOn: string;
  /** Plain sentences that go wherever a figure of this model goes. */
  readonly limits: readonly string[];
  /** SHA-256 of the numbers learnt from, lower-case hex. */
  readonly dataDigest: string;
  readonly breaks: number;
  readonly perType: readonly {
    readonly type: string;
    readonly breaks: number;
    readonly precision: Share;
    readonly recall: Share;
  }[];
  /** On breaks left out while learning (cross-validation by break). */
  readonly accuracy: Share;
  readonly logLoss: number;
  readonly calibration: Calibration;
  /** Accuracy on the same left-out breaks when fewer breaks were learnt from. */
  readonly learningCurve: readonly { readonly breaks: number; readonly accuracy: Share }[];
  /** The candidates and how they did on the left-out breaks. */
  readonly candidates: readonly { readonly name: string; readonly logLoss: number; readonly accuracy: Share }[];
  readonly seed: number;
}

/** A trained model: numbers of a break in, a probability for each type out. */
export interface BreakModel {
  readonly columns: readonly string[];
  readonly classes: readonly string[];
  readonly core: SoftmaxModel | TreesModel;
  readonly temperature: Temperature;
  readonly familiarity: Familiarity;
  readonly card: ModelCard;
}

export interface ModelAnswer {
  /** Likeliest first; probabilities sum to 1. */
  readonly ranking: readonly { readonly type: string; readonly probability: number }[];
  /** 0–1: share of the breaks learnt from that are more like their types than this one. */
  readonly unlike: number;
}

export const scoresOf = (core: SoftmaxModel | TreesModel, row: ArrayLike<number>): Float64Array =>
  core.kind === "softmax" ? softmaxScores(core, row) : treesScores(core, row);

/** @returns probabilities in the order of `model.classes`. */
export function probabilitiesOf(model: BreakModel, row: ArrayLike<number>): Float64Array {
  const bold = boldnessOf(model.temperature, row);
  const p = scoresOf(model.core, row).map((s) => bold * s);
  toProbabilities(p);
  return p;
}

/** @param row – one value per column of the model, NaN missing. */
export const answer = (model: BreakModel, row: ArrayLike<number>): ModelAnswer => ({
  ranking: rankingOf(model.classes, probabilitiesOf(model, row)),
  unlike: unlikeness(model.familiarity, row),
});

/** @param p – probabilities in the order of the classes. */
export const rankingOf = (classes: readonly string[], p: ArrayLike<number>): ModelAnswer["ranking"] =>
  classes.map((type, c) => ({ type, probability: p[c]! })).sort((a, b) => b.probability - a.probability);

export interface Contribution {
  readonly column: string;
  /** NaN when the column is missing: then the missing itself spoke. */
  readonly value: number;
  /** Push for the type against the mean of the others, in natural log units at the temperature of this break. */
  readonly push: number;
}

/**
 * What each column added to the score of a type, against the mean over all types.
 *
 * Softmax: weight × value, exact. Trees: the change of the node's mean value along each path, which adds up to the
 * score.
 *
 * @returns largest push first, by size.
 * @source trees: A. Saabas, "Interpreting random forests", 2014, from memory
 */
export function contributionsTo(model: BreakModel, row: ArrayLike<number>, type: string): readonly Contribution[] {
  const wanted = model.classes.indexOf(type);
  if (wanted < 0) return [];
  const columns = model.columns.length;
  const classes = model.classes.length;
  const push = new Float64Array(columns);
  const bold = boldnessOf(model.temperature, row);
  const share = (c: number) => bold * ((c === wanted ? 1 : 0) - 1 / classes);
  if (model.core.kind === "softmax") {
    const { standard, weights } = model.core;
    const line = new Float64Array(2 * columns);
    standardRow(row, standard, line);
    for (let c = 0; c < classes; c++)
      for (let j = 0; j < columns; j++) {
        const from = c * 2 * columns + j;
        push[j]! += share(c) * (weights[from]! * line[j]! + weights[from + columns]! * line[columns + j]!);
      }
  } else
    model.core.trees.forEach((tree, t) => {
      let node = tree[0]!;
      while (node.column >= 0) {
        const v = Math.fround(row[node.column]!);
        const low = Number.isNaN(v) ? node.missingLow : v <= node.edge;
        const next = tree[low ? node.low : node.high]!;
        push[node.column]! += share(t % classes) * (next.mean - node.mean);
        node = next;
      }
    });
  return model.columns
    .map((column, j) => ({ column, value: row[j]!, push: push[j]! }))
    .filter((c) => c.push !== 0)
    .sort((a, b) => Math.abs(b.push) - Math.abs(a.push));
}

/** What makes a break unlike the breaks learnt from: a share of its distance to them. */
export interface Strangeness {
  readonly column: string;
  /** Of the break. */
  readonly value: number;
  /** 0–1, of all columns together. */
  readonly share: number;
}

/** Columns of the break that are named at most; what is left has no share worth a word. */
const MOST_STRANGE = 64;

/** @returns the columns in which a break differs most from those of the type it lies nearest to, largest share first. */
export function strangenessOf({ columns, familiarity }: BreakModel, row: ArrayLike<number>): readonly Strangeness[] {
  const shares = distanceShares(familiarity, row);
  return columns
    .map((column, j): Strangeness => ({ column, value: row[j]!, share: shares[j]! }))
    .filter(({ share }) => share > 0)
    .sort((a, b) => b.share - a.share)
    .slice(0, MOST_STRANGE);
}
