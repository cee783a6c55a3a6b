import type { CameWith } from "../../model/break/wire-break.ts";
import type { NewOriginal } from "./contract.ts";

/** Where breaks come from that other people recorded. Everything it hands out was checked against its hash. */
export interface BreakSource {
  /** What it says of itself; by whom and when it was brought in is known only then. */
  readonly says: Omit<CameWith, "by" | "at">;
  /** The people in it go under codes, so that edits are known again by what they did and when. */
  readonly coded: boolean;
  readonly breaks: readonly SourceBreak[];
  /** What the lab it came from has set up: JSON whose fields nobody has looked at yet; null = it carries none. */
  readonly settings: unknown;
  /** Originals it names and does not carry, with the reason where it gives one. */
  readonly lacking: readonly { readonly fileName: string; readonly number: string; readonly why: string }[];
  /** @returns null when it is not carried, or not whole. */
  original(
    hash: string,
    fileName: string,
    signal?: AbortSignal,
  ): Promise<Omit<NewOriginal, "thumbnail" | "working"> | null>;
}

export interface SourceBreak {
  /** Path that a bench file would have it under; it names the identifier. */
  readonly path: string;
  /** Text of the break with its log. @throws BenchFileError when it is not what was announced. */
  read(signal?: AbortSignal): Promise<Uint8Array<ArrayBuffer>>;
}
