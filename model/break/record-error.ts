export type RecordErrorCode =
  /** Not an object with a version: no break record at all. */
  | "not-a-record"
  /** Written by a newer Endpair. */
  | "newer-version"
  /** The version is no whole number from 1 up. */
  | "unknown-version"
  /** A field is missing, of the wrong kind or out of bounds. */
  | "wrong-field"
  /** A field this version does not know: keeping it silently would lose it. */
  | "unknown-field"
  /** Fields that contradict one another. */
  | "contradiction";

/** What is wrong with one field. */
export interface FieldFault {
  readonly code: RecordErrorCode;
  /** Path of the field, such as `[3].ends[0].features[2].feature`; empty for the whole. */
  readonly field: string;
  readonly sentence: string;
}

/** A break record or an observation sheet that cannot be read. Nothing of it is kept. */
export class RecordError extends Error {
  readonly code: RecordErrorCode;
  readonly field: string;
  readonly sentence: string;

  /**
   * @param faults – at least one; the first gives the error its code, field and sentence.
   * @param next – what the person can do now.
   */
  constructor(
    readonly faults: readonly [FieldFault, ...FieldFault[]],
    readonly next: string,
  ) {
    const [first] = faults;
    super(first.field === "" ? first.sentence : `${first.field}: ${first.sentence}`);
    this.name = "RecordError";
    this.code = first.code;
    this.field = first.field;
    this.sentence = first.sentence;
  }
}
