import type { ResolutionHint } from "../../model/picture/resolution-hint.ts";
import type { PlainPictureError } from "../../model/picture/picture-error.ts";

/** What a file is, read and checked without keeping its pixels. */
export interface Inspection {
  /** SHA-256 of the file, lower-case hex. */
  readonly hash: string;
  readonly byteLength: number;
  readonly mediaType: string;
  /** Upright: after the camera orientation is applied. */
  readonly widthPx: number;
  readonly heightPx: number;
  /** As stated in the file, 1–8. */
  readonly orientation: number;
  readonly capturedAt: string | null;
  /** Camera maker and model, as the file says; null = none. */
  readonly camera: string | null;
  readonly hint: ResolutionHint | null;
  readonly pages: number;
  readonly notes: readonly string[];
}

/** The small copies made of a photograph once, when it comes in. */
export interface Copies {
  /** JPEG, upright, longest side at most 320 px. */
  readonly thumbnail: Blob;
  /** PNG, upright, same pixels; null where browsers show the original upright themselves. */
  readonly working: Blob | null;
}

/** A decoded photograph, upright. The receiver closes every bitmap when done. */
export interface DecodedPicture {
  readonly bitmap: ImageBitmap;
  /** Half, quarter, … of `bitmap`, down to a longest side of 512 px. */
  readonly levels: readonly ImageBitmap[];
  /** Size of the full photograph; `bitmap` is smaller when `maxPx` asked for it. */
  readonly fullWidthPx: number;
  readonly fullHeightPx: number;
}

/** Request name → input and output. */
export interface PictureRequests {
  readonly inspect: { readonly input: { readonly blob: Blob }; readonly output: Inspection };
  readonly small: { readonly input: { readonly blob: Blob }; readonly output: Blob };
  readonly working: { readonly input: { readonly blob: Blob }; readonly output: Blob | null };
  readonly copies: { readonly input: { readonly blob: Blob }; readonly output: Copies };
  readonly bitmap: {
    readonly input: { readonly blob: Blob; readonly maxPx: number | null };
    readonly output: DecodedPicture;
  };
}
export type RequestName = keyof PictureRequests;
export type InputOf<N extends RequestName> = PictureRequests[N]["input"];
export type OutputOf<N extends RequestName> = PictureRequests[N]["output"];

export type RequestMessage = {
  [N in RequestName]: { readonly id: number; readonly name: N; readonly input: InputOf<N> };
}[RequestName];

/** Exactly one reply follows each request. */
export type ReplyMessage =
  | { readonly id: number; readonly ok: true; readonly output: OutputOf<RequestName> }
  | { readonly id: number; readonly ok: false; readonly error: PlainPictureError };
