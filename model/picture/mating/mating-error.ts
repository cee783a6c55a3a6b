export type MatingFault = "no-outline" | "too-small" | "blank" | "outside";

/** Two faces that cannot be compared, in a plain sentence with the next step. */
export class MatingError extends Error {
  override readonly name = "MatingError";
  constructor(
    readonly code: MatingFault,
    message: string,
    readonly nextStep: string,
  ) {
    super(message);
  }
}
