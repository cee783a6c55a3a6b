import { CARE, type Action, type Outcome } from "./actions/action.ts";
import { CENTRE_ACTIONS } from "./actions/centre.ts";
import { END_ACTIONS } from "./actions/ends.ts";
import { GRAIN_AND_HEAT_ACTIONS } from "./actions/grains-and-heat.ts";
import { JOINT_AND_CYCLING_ACTIONS } from "./actions/joint-and-cycling.ts";
import { ROUTE_ACTIONS } from "./actions/route.ts";
import { SKIN_ACTIONS } from "./actions/skin.ts";
import type { BreakTypeId } from "./break-type-ids.ts";
import { beliefs, gateDoubt, originDoubt, typeDoubt } from "./doubt.ts";
import type { Observations } from "./observations.ts";
import type { ActionRequest } from "./suggestion.ts";
import { weighBreak, type Weighing } from "./weigh.ts";

/** Everything that could be asked for. */
export const ACTIONS: readonly Action[] = [
  ...END_ACTIONS,
  ...CENTRE_ACTIONS,
  ...SKIN_ACTIONS,
  ...JOINT_AND_CYCLING_ACTIONS,
  ...GRAIN_AND_HEAT_ACTIONS,
  ...ROUTE_ACTIONS,
];

/** Doubt in bits an answer must remove to be worth asking for. */
const WORTH_ASKING_BITS = 0.003;

type Belief = ReadonlyMap<BreakTypeId, number>;

const likelihood = (x: Outcome, type: BreakTypeId) => x.likely[type] ?? x.otherwise;

/** Probability of each outcome under each type, scaled to one over the outcomes. */
const chances = (outcomes: readonly Outcome[], type: BreakTypeId): readonly number[] => {
  const raw = outcomes.map((x) => likelihood(x, type));
  const sum = raw.reduce((a, b) => a + b, 0);
  return raw.map((x) => x / sum);
};

const doubtOf = (w: Weighing): number => {
  const belief = beliefs(w);
  return typeDoubt(belief) + originDoubt(w, belief) + gateDoubt(w);
};

/** Types whose chances of the outcomes differ most, among those still believed. */
function toldApart(outcomes: readonly Outcome[], belief: Belief): readonly BreakTypeId[] {
  const average = outcomes.map((_, k) =>
    [...belief].reduce((sum, [type, p]) => sum + p * (chances(outcomes, type)[k] ?? 0), 0),
  );
  return [...belief]
    .map(([type, p]) => ({
      type,
      p,
      spread: Math.max(...chances(outcomes, type).map((x, k) => Math.abs(x - (average[k] ?? 0)))),
    }))
    .filter(({ p, spread }) => p >= 0.02 && spread >= 0.15)
    .sort((a, b) => b.p * b.spread - a.p * a.spread || a.type.localeCompare(b.type))
    .slice(0, 4)
    .map(({ type }) => type);
}

/**
 * The next actions, ranked by how much of the present doubt their answer would remove.
 *
 * Each possible answer is put into the observations and the break is weighed again; the doubt that would remain is
 * averaged over the answers, each with its chance under what is believed now. An answer that lifts a gate settles that
 * question even where it leaves more types open than before. Nothing here names a type.
 *
 * @returns only actions whose answer is still open and that settle something, best first
 * @source common practice, no source, for the chances of the answers
 */
export function nextActions(o: Observations, w: Weighing): readonly ActionRequest[] {
  const belief = beliefs(w);
  const before = doubtOf(w);
  if (before <= 0) return [];
  const requests: ActionRequest[] = [];
  for (const action of ACTIONS) {
    if (!action.open(o, w)) continue;
    const outcomes = action.outcomes(o, w);
    const weights = outcomes.map(() => 0);
    for (const [type, p] of belief)
      for (const [k, x] of chances(outcomes, type).entries()) weights[k] = (weights[k] ?? 0) + p * x;
    let after = 0;
    let lifted = 0;
    for (const [k, x] of outcomes.entries()) {
      const next = x.then(o);
      const then = next === o ? w : weighBreak(next);
      const chance = weights[k] ?? 0;
      after += chance * (then === w ? before : doubtOf(then));
      lifted += chance * Math.max(0, gateDoubt(w) - gateDoubt(then));
    }
    const removed = Math.max(before - after, lifted);
    if (removed < WORTH_ASKING_BITS) continue;
    const settles = Math.min(1, removed / before);
    const care = action.care === undefined ? "" : ` ${CARE[action.care]}`;
    requests.push({
      id: action.id,
      text: `${action.text(o, w)}${care}`,
      settles,
      separates: toldApart(outcomes, belief),
    });
  }
  return requests.sort((a, b) => b.settles - a.settles || a.id.localeCompare(b.id));
}
