import type { BreakTypeId } from "../break-type-ids.ts";
import type { Observations } from "../observations.ts";
import type { Weighing } from "../weigh.ts";

/** One possible answer to an action, as the observations would then be. */
export interface Outcome {
  readonly says: string;
  /** Relative likelihood under each type; coarse, common practice, no source. Scaled to one over the outcomes. */
  readonly likely: Partial<Readonly<Record<BreakTypeId, number>>>;
  /** Relative likelihood under every type not named. */
  readonly otherwise: number;
  readonly then: (o: Observations) => Observations;
}

/** Something that could be done next, and what could come of it. */
export interface Action {
  readonly id: string;
  readonly text: (o: Observations, w: Weighing) => string;
  /** Set where a piece is cut, etched, heated or pulled. */
  readonly care?: "cutting" | "etching" | "heating";
  /** Whether the answer is still open, and the question makes sense here. */
  readonly open: (o: Observations, w: Weighing) => boolean;
  readonly outcomes: (o: Observations, w: Weighing) => readonly Outcome[];
}

export const outcome = (
  says: string,
  likely: Outcome["likely"],
  otherwise: number,
  then: Outcome["then"],
): Outcome => ({ says, likely, otherwise, then });

/** The answer that teaches nothing. */
export const nothingLearned = (says: string, likelihood: number): Outcome => outcome(says, {}, likelihood, (o) => o);

/** What is said beside an action that cuts, etches or heats. */
export const CARE: Readonly<Record<NonNullable<Action["care"]>, string>> = {
  cutting: "Cutting by qualified people under the site's rules; photograph first.",
  etching: "Cutting and etching by qualified people under the site's rules; photograph first.",
  heating: "By a qualified laboratory under the site's rules.",
};
