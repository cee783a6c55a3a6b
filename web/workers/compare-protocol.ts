import type { ModelCard } from "../../model/classifier/break-model.ts";
import type { ModelComparison, SaidOfBreak } from "../../model/classifier/compare-models.ts";
import type { SetOfBreaks } from "../../model/classifier/set-of-breaks.ts";
import type { Answered } from "./classifier-answers.ts";

export interface CompareInput {
  readonly breaks: SetOfBreaks;
  /** File of the model that was learnt from `breaks`. */
  readonly fresh: Uint8Array;
  /** File of the model in use; null = there is none to compare with. */
  readonly inUse: Uint8Array | null;
  /** Breaks that the model in use learnt from. */
  readonly learntFrom: readonly string[];
}

export interface Compared {
  readonly card: ModelCard;
  readonly classes: readonly string[];
  /** Null without a model in use. */
  readonly comparison: ModelComparison | null;
  /** What both say of the breaks that neither learnt from. */
  readonly said: readonly SaidOfBreak[];
}

export type CompareRequests = {
  readonly compare: { readonly input: CompareInput; readonly output: Answered<Compared> };
};
