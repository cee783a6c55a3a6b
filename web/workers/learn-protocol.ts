import type { TrainOptions } from "../../model/classifier/train.ts";
import type { TrainingSet } from "../../model/classifier/training-set.ts";
import type { Answered } from "./classifier-answers.ts";

export type LearnOptions = Omit<TrainOptions, "onPart">;

export type LearnRequests = {
  readonly learn: {
    readonly input: { readonly set: TrainingSet; readonly options: LearnOptions };
    /** The bytes of a model file. */
    readonly output: Answered<Uint8Array<ArrayBuffer>>;
  };
};
