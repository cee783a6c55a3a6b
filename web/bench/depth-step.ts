import type { Uncertain } from "../../model/break/wire-break.ts";

/** Share of the step that is taken as its uncertainty when none is typed. @source common practice, no source */
const UNSTATED = 0.01;

/** A step that cannot be read, in words. */
export class StepError extends Error {
  readonly code = "not-a-step";
  constructor(message: string) {
    super(message);
    this.name = "StepError";
  }
}

/**
 * The typed focus step in µm and its standard uncertainty.
 * @returns null when no step is typed: then there are no heights.
 * @throws StepError not-a-step.
 */
export function stepFrom(step: string, u: string): Uncertain | null {
  const number = (typed: string) => Number(typed.trim().replace(",", "."));
  if (step.trim() === "") return null;
  const value = number(step);
  if (!Number.isFinite(value) || value <= 0 || value > 100_000)
    throw new StepError("Type the focus step in µm as a number above zero, such as 40, or leave it empty.");
  const spread = u.trim() === "" ? value * UNSTATED : number(u);
  if (!Number.isFinite(spread) || spread < 0 || spread > value)
    throw new StepError("Type the standard uncertainty of the step in µm, between zero and the step itself.");
  return { value, u: spread };
}
