import type { Contribution, ModelAnswer, ModelCard, Strangeness } from "../../model/classifier/break-model.ts";
import type { Answered } from "./classifier-answers.ts";

/** A model that was opened: what it says of itself, without its numbers. */
export interface OpenedModel {
  readonly card: ModelCard;
  readonly columns: readonly string[];
  /** Break types that it knows. */
  readonly classes: readonly string[];
}

export interface ModelReply {
  readonly answer: ModelAnswer;
  /** For each type asked for: what each number of the break pushed, largest first; empty for a type it does not know. */
  readonly reasons: Readonly<Record<string, readonly Contribution[]>>;
  /** What makes the break unlike those learnt from, largest share first. */
  readonly strange: readonly Strangeness[];
}

export type ModelRequests = {
  /** Refused, the model that was open stays. */
  readonly open: { readonly input: { readonly file: Uint8Array }; readonly output: Answered<OpenedModel> };
  readonly ask: {
    /** `row`: one value per `COLUMN_NAMES`, NaN missing. */
    readonly input: { readonly row: Float32Array; readonly reasonsFor: readonly string[] };
    readonly output: Answered<ModelReply>;
  };
};
