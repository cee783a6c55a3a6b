/** Why a file is not taken in. Stable: screens, tests and stored messages refer to these. */
export const PICTURE_ERROR_CODES = [
  "not-a-picture",
  "unsupported-kind",
  "too-large",
  "too-small",
  "truncated",
  "damaged",
  "directory-loop",
  "fill-order",
  "deep-file",
  "page-missing",
  "timed-out",
  "decoder-failed",
  "cancelled",
  "frames-do-not-fit",
] as const;
export type PictureErrorCode = (typeof PICTURE_ERROR_CODES)[number];

const NEXT: Readonly<Record<PictureErrorCode, string>> = {
  "not-a-picture": "Choose a photograph: JPEG, PNG, WebP, BMP or TIFF.",
  "unsupported-kind": "Save it as JPEG, PNG or plain TIFF and add that file.",
  "too-large": "Crop it or save it smaller, and add that file.",
  "too-small": "Add the full photograph instead of its small preview.",
  truncated: "Copy the file again from the camera or card.",
  damaged: "Copy the file again from the camera or card; if it stays damaged, take the photograph again.",
  "directory-loop": "Open the file in the program that wrote it and save it anew.",
  "fill-order": "Save it as TIFF with the usual bit order, or as PNG.",
  "deep-file": "Save it as 16-bit TIFF or PNG and add that file.",
  "page-missing": "Choose one of the pages that the file has.",
  "timed-out": "Save it smaller or as JPEG and add that file.",
  "decoder-failed": "Open it in another program and save it as JPEG or PNG.",
  cancelled: "Add the file again when you want it.",
  "frames-do-not-fit": "Choose frames of one place, all of one size, taken without moving the specimen.",
};

/** What crosses from the worker: errors lose their class on the way. */
export interface PlainPictureError {
  readonly code: PictureErrorCode;
  readonly message: string;
  readonly next: string;
}

/** A file refused in words: `message` is a plain sentence, `next` the next step. */
export class PictureError extends Error {
  constructor(
    readonly code: PictureErrorCode,
    message: string,
    readonly next: string = NEXT[code],
  ) {
    super(message);
    this.name = "PictureError";
  }

  /** @returns the same content as a plain object, for a message between threads. */
  plain(): PlainPictureError {
    return { code: this.code, message: this.message, next: this.next };
  }

  /** @returns the error again, from what crossed between threads. */
  static from(plain: PlainPictureError): PictureError {
    return new PictureError(plain.code, plain.message, plain.next);
  }
}
