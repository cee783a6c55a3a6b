export type ClassifierErrorCode =
  | "too-few-breaks"
  | "too-few-types"
  | "not-a-model"
  | "damaged-model"
  | "other-product"
  | "other-columns"
  | "newer-model"
  | "cancelled";

/** `message` is a plain sentence, `next` the next step. */
export class ClassifierError extends Error {
  constructor(
    readonly code: ClassifierErrorCode,
    message: string,
    readonly next: string,
  ) {
    super(message);
    this.name = "ClassifierError";
  }
}
