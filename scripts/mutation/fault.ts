/** Why a mutation run couldn't be made or finished; `code` is stable, the sentence says what to do next. */
export class MutationError extends Error {
  override readonly name = "MutationError";
  constructor(
    readonly code: "no-install" | "no-report" | "no-such-mutant",
    sentence: string,
  ) {
    super(sentence);
  }
}
