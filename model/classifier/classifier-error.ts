export type ClassifierErrorCode =
  | "too-few-breaks"
  | "too-few-types"
  | "not-a-model"
  | "damaged-model"
  | "other-product"
  | "other-columns"
  | "newer-model"
  | "no-model"
  | "runtime-failed"
  | "thread-failed"
  | "cancelled";

/** What crosses between threads: errors lose their class on the way. */
export interface PlainClassifierError {
  readonly code: ClassifierErrorCode;
  readonly message: string;
  readonly next: string;
}

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

  plain(): PlainClassifierError {
    return { code: this.code, message: this.message, next: this.next };
  }

  static from({ code, message, next }: PlainClassifierError): ClassifierError {
    return new ClassifierError(code, message, next);
  }
}
