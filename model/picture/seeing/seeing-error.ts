/** Why a blank frame or a grey patch is not used. Stable: screens and tests refer to these. */
export type SeeingErrorCode =
  | "blank-size-differs"
  | "blank-clipped"
  | "blank-dark"
  | "blank-uneven"
  | "blank-structured"
  | "patch-outside"
  | "patch-clipped"
  | "patch-dark"
  | "patch-coloured";

const ANOTHER_FRAME = "Photograph blank ground in the same light, without moving lamp or camera, and use that.";
const NEXT: Readonly<Record<SeeingErrorCode, string>> = {
  "blank-size-differs": "Take the blank frame with the same camera settings as the photograph.",
  "blank-clipped": "Take the blank frame with a shorter exposure: only its evenness counts, not its brightness.",
  "blank-dark": "Take the blank frame with a longer exposure.",
  "blank-uneven": ANOTHER_FRAME,
  "blank-structured": ANOTHER_FRAME,
  "patch-outside": "Place the patch on the picture.",
  "patch-clipped": "Place it on a grey that is less bright, or take the photograph with a shorter exposure.",
  "patch-dark": "Place it on a brighter grey.",
  "patch-coloured": "Place it on something that is grey: a grey card, white paper, a clean steel surface.",
};

/** What crosses from a worker: errors lose their class on the way. */
export interface PlainSeeingError {
  readonly code: SeeingErrorCode;
  readonly message: string;
  readonly next: string;
}

/** A blank frame or grey patch refused in words: `message` is a plain sentence, `next` the next step. */
export class SeeingError extends Error {
  readonly next: string;

  constructor(
    readonly code: SeeingErrorCode,
    message: string,
  ) {
    super(message);
    this.name = "SeeingError";
    this.next = NEXT[code];
  }

  /** @returns the same content as a plain object, for a message between threads. */
  plain(): PlainSeeingError {
    return { code: this.code, message: this.message, next: this.next };
  }

  /** @returns the error again, from what crossed between threads. */
  static from({ code, message }: PlainSeeingError): SeeingError {
    return new SeeingError(code, message);
  }
}
