import type { AnsweredRule } from "../break/wire-break.ts";
import type { Verdict } from "../evidence/break-type-ids.ts";
import type { FiredRule, Suggestion } from "../evidence/suggestion.ts";

/** Fewest letters and digits that count as an answer: "no" and "ok" are none. */
export const FEWEST_SIGNS = 8;

/** What a confirmation says about the evidence the other way; it need not be written yet. */
export interface Confirming {
  readonly type: Verdict;
  readonly answers?: readonly AnsweredRule[];
}

/** Rules with a strength that speak against a type, as the suggestion lists them. */
export const speaksAgainst = (type: Verdict, { against }: Suggestion): readonly FiredRule[] =>
  against.filter((rule) => rule.type === type && rule.strength !== "gate" && rule.strength !== "note");

/**
 * Evidence against the confirmed type that nobody has answered in words. A break may be confirmed once there is none.
 * A rule that fired more than once wants one answer.
 */
export function unansweredAgainst(confirmation: Confirming, suggestion: Suggestion): readonly FiredRule[] {
  const answered = new Set(
    (confirmation.answers ?? []).filter(({ words }) => signsIn(words) >= FEWEST_SIGNS).map(({ rule }) => rule),
  );
  const seen = new Set<string>();
  return speaksAgainst(confirmation.type, suggestion).filter(({ rule }) => {
    if (answered.has(rule) || seen.has(rule)) return false;
    seen.add(rule);
    return true;
  });
}

const signsIn = (words: string): number => words.match(/[\p{L}\p{N}]/gu)?.length ?? 0;
