import { BREAK_TYPE_IDS, type BreakTypeId, type Verdict } from "../evidence/break-type-ids.ts";
import type { Suggestion } from "../evidence/suggestion.ts";
import type { ModelAnswer } from "./break-model.ts";
import { toProbabilities } from "./softmax.ts";

/** How much the numbers count beside the rules, learnt from confirmed breaks. */
export interface PoolWeights {
  /** Natural log units that one unit of support is worth. */
  readonly perUnit: number;
  /** 0 = rules alone, 1 = model alone. */
  readonly model: number;
}

/** Used until enough breaks are confirmed to learn it: the model may tip a balance, not turn it. */
export const CAUTIOUS: PoolWeights = { perUnit: 1, model: 0.3 };

export interface Pooled {
  /** All types, likeliest first; probabilities sum to 1. */
  readonly ranking: readonly { readonly type: BreakTypeId; readonly probability: number }[];
  /** What the rules say. The model never makes a verdict of an open question, and never unmakes one. */
  readonly verdict: Verdict;
  /** Whether the likeliest type of the model is the one that the rules lead with; null when the rules lead with none. */
  readonly agrees: boolean | null;
}

/** Least probability: one side alone can push a type far down, never out of the question. */
const FLOOR = 1e-4;
/** Beyond this the break is so unlike those learnt from that the model loses its say. */
const STRANGE_FROM = 0.95;

/** The say of the model for a break as unlike as this: full up to 0.95, none at 1. */
export const sayOf = (unlike: number): number =>
  unlike <= STRANGE_FROM ? 1 : Math.max(0, (1 - unlike) / (1 - STRANGE_FROM));

/**
 * Rules and model weighed together: p ∝ rules^(1 − w) · model^w.
 *
 * A type with decisive evidence against it stays at the bottom, whatever the model says. A type that the model does not
 * know is judged by the rules alone.
 *
 * @returns the rules' own verdict with the pooled ranking beside it.
 * @source logarithmic opinion pool: C. Genest, J. V. Zidek, "Combining probability distributions: a critique and an
 *   annotated bibliography", Statistical Science 1 (1986) 114–135; from memory
 */
export function pool(suggestion: Suggestion, answer: ModelAnswer, weights: PoolWeights): Pooled {
  const p = weigh(bothSides(suggestion, answer), weights);
  const ranking = BREAK_TYPE_IDS.map((type, k) => ({ type, probability: p[k]! })).sort(
    (a, b) => b.probability - a.probability,
  );
  const lead = suggestion.ranking[0];
  const agrees = lead === undefined || lead.support <= 0 ? null : answer.ranking[0]?.type === lead.type;
  return { ranking, verdict: suggestion.verdict, agrees };
}

/** What both sides say of every type, in the order of `BREAK_TYPE_IDS`. */
interface BothSides {
  readonly support: Float64Array;
  /** ln p of the model; NaN for a type that it does not know. */
  readonly model: Float64Array;
  readonly ruledOut: readonly boolean[];
  /** 0–1: how much the model may say of a break as unlike as this. */
  readonly say: number;
}

function bothSides(suggestion: Suggestion, answer: ModelAnswer): BothSides {
  const support = new Map(suggestion.ranking.map((r) => [r.type, r.support]));
  const said = new Map(answer.ranking.map((r) => [r.type, r.probability]));
  const out = new Set(suggestion.against.filter((f) => f.strength === "decisive").map((f) => f.type));
  const lead = suggestion.ranking[0]?.type;
  return {
    support: Float64Array.from(BREAK_TYPE_IDS, (type) => support.get(type) ?? 0),
    model: Float64Array.from(BREAK_TYPE_IDS, (type) => Math.log(Math.max(FLOOR, said.get(type) ?? NaN))),
    ruledOut: BREAK_TYPE_IDS.map((type) => out.has(type) && lead !== type),
    say: sayOf(answer.unlike),
  };
}

function weigh({ support, model, ruledOut, say }: BothSides, weights: PoolWeights): Float64Array {
  const w = weights.model * say;
  const p = support.map((units) => weights.perUnit * units);
  toProbabilities(p);
  for (let k = 0; k < p.length; k++) {
    const own = Math.log(Math.max(FLOOR, p[k]!));
    const said = model[k]!;
    p[k] = ruledOut[k] ? Math.log(FLOOR) : Number.isNaN(said) ? own : (1 - w) * own + w * said;
  }
  toProbabilities(p);
  return p;
}

/** A confirmed break with what both sides say of it; the model must not have learnt from it. */
export interface JudgedBreak {
  readonly truth: BreakTypeId;
  readonly suggestion: Suggestion;
  readonly answer: ModelAnswer;
}

const FEWEST = 30;
const UNITS = [0.25, 0.35, 0.5, 0.7, 1, 1.4, 2] as const;
const WEIGHTS = Array.from({ length: 20 }, (_, k) => k / 20);

/**
 * The weights with the least log loss on confirmed breaks that the model did not learn from.
 *
 * @returns `CAUTIOUS` below thirty breaks.
 */
export function learnWeights(breaks: readonly JudgedBreak[]): PoolWeights {
  if (breaks.length < FEWEST) return CAUTIOUS;
  const sides = breaks.map(({ suggestion, answer }) => bothSides(suggestion, answer));
  const truth = breaks.map((b) => BREAK_TYPE_IDS.indexOf(b.truth));
  let best: { readonly weights: PoolWeights; readonly loss: number } = { weights: CAUTIOUS, loss: Infinity };
  for (const perUnit of UNITS)
    for (const model of WEIGHTS) {
      let loss = 0;
      sides.forEach((side, i) => (loss -= Math.log(weigh(side, { perUnit, model })[truth[i]!]!)));
      if (loss < best.loss) best = { weights: { perUnit, model }, loss };
    }
  return best.weights;
}
