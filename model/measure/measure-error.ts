/** Why a measure cannot be given. The codes are stable. */
export type MeasureErrorCode =
  | "scale-missing"
  | "wire-missing"
  | "diameter-not-positive"
  | "neck-exceeds-original"
  | "degenerate-geometry"
  | "too-few"
  | "wrong-view"
  | "not-a-number"
  | "not-later";

/** A measure that cannot be computed, with a plain sentence that says what to do next. */
export class MeasureError extends Error {
  constructor(
    readonly code: MeasureErrorCode,
    message: string,
  ) {
    super(message);
    this.name = "MeasureError";
  }
}
