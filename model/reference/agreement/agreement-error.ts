/** Readings from which no agreement can be computed. */
export class AgreementError extends Error {
  constructor(
    readonly code: "too-few" | "unknown-label" | "no-variation" | "wrong-weights" | "no-area",
    message: string,
    /** What the person can do now. */
    readonly next: string,
  ) {
    super(message);
    this.name = "AgreementError";
  }
}
