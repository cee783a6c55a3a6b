import type { FramePlace } from "./frame.ts";
import type { Place, SafeSizes } from "./safe-files.ts";

/** A frame as the page reads it. */
export interface TextFrame extends FramePlace {
  readonly text: string;
}
export interface TextScan {
  readonly frames: readonly TextFrame[];
  readonly damaged: number;
  readonly next: number;
  readonly tornAt: number | null;
}

/** What the worker of the safe can be asked, one after the other. */
export interface SafeRequests {
  open: { input: { readonly folder: string }; output: SafeSizes };
  keep: { input: { readonly originals: readonly Blob[] }; output: { places: readonly Place[]; sizes: SafeSizes } };
  append: { input: { readonly text: string }; output: FramePlace };
  cut: { input: SafeSizes; output: SafeSizes };
  holds: { input: FramePlace; output: boolean };
  scan: { input: { readonly from: number; readonly budget: number }; output: TextScan };
  read: { input: Place; output: ArrayBuffer | null };
}
export type SafeRequestName = keyof SafeRequests;
export type SafeInput<N extends SafeRequestName> = SafeRequests[N]["input"];
export type SafeOutput<N extends SafeRequestName> = SafeRequests[N]["output"];

export interface SafeRequest {
  readonly id: number;
  readonly name: SafeRequestName;
  readonly input: SafeInput<SafeRequestName>;
}
/** The name of a failure decides what it means; the message is for the person. */
export type SafeReply =
  | { readonly id: number; readonly ok: true; readonly output: SafeOutput<SafeRequestName> }
  | { readonly id: number; readonly ok: false; readonly failure: { readonly name: string; readonly message: string } };

export const JOURNAL = "journal";
export const volumeName = (number: number): string => `originals-${String(number).padStart(3, "0")}`;
