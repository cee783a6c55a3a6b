export type BenchFileErrorCode =
  | "not-a-bench-file"
  | "unknown-version"
  | "path-escape"
  | "too-large"
  | "bomb"
  | "hash-mismatch"
  | "missing-entry"
  | "unexpected-entry"
  | "damaged-record"
  | "script-in-file"
  | "cancelled";

const NEXT: Readonly<Record<BenchFileErrorCode, string>> = {
  "not-a-bench-file": "Choose a file that Endpair saved as a bench file.",
  "unknown-version": "Open it with the version of Endpair that saved it, or a newer one.",
  "path-escape": "Do not use this file: it was built to write outside its place. Ask for a new one from its sender.",
  "too-large": "Ask for the bench in parts: a selection of breaks can be saved as a file of its own.",
  bomb: "Do not use this file: it was built to fill the disk. Ask for a new one from its sender.",
  "hash-mismatch": "The file was damaged or changed after it was saved. Copy it again from where it was saved.",
  "missing-entry": "The file is not whole. Copy it again from where it was saved.",
  "unexpected-entry": "The file was changed after it was saved. Ask for a new one from its sender.",
  "damaged-record": "The file was damaged or changed after it was saved. Ask for a new one from its sender.",
  "script-in-file": "Do not use this file: it holds a program where a photograph should be.",
  cancelled: "Start again when you like; breaks already taken over are whole and stay.",
};

/** Why a bench file is refused. `message` is a plain sentence that names the place, `next` the next step. */
export class BenchFileError extends Error {
  readonly next: string;

  constructor(
    readonly code: BenchFileErrorCode,
    message: string,
  ) {
    super(message);
    this.name = "BenchFileError";
    this.next = NEXT[code];
  }
}

/** Ends long work that the person cancelled. @throws BenchFileError cancelled. */
export function stopIfCancelled(signal: AbortSignal | undefined): void {
  if (signal?.aborted) throw new BenchFileError("cancelled", "Cancelled.");
}
