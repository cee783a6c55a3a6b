import type { DeepSample, DeepTone } from "../../model/picture/deep-tone.ts";
import type { ResolutionHint } from "../../model/picture/resolution-hint.ts";
import type { PlainPictureError } from "../../model/picture/picture-error.ts";
import type { ShownAs } from "../../model/picture/shown-as.ts";
import type { ToneSurvey } from "../../model/picture/tone-survey.ts";

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
  /** Kind of the samples of a deep file; null = 8 bits. */
  readonly deep: DeepSample | null;
  readonly notes: readonly string[];
}

/** The small copies made of a photograph once, when it comes in. */
export interface Copies {
  /** JPEG, upright, longest side at most 320 px. */
  readonly thumbnail: Blob;
  /**
   * PNG, upright, same pixels; null where browsers show the original upright themselves, and where what is shown can be
   * chosen anew (deep samples, several pages): there the original is decoded each time.
   */
  readonly working: Blob | null;
  /** Black and white used for them; null for 8-bit files. */
  readonly deepTone: DeepTone | null;
}

/** A stretch of a photograph, px of the upright photograph. */
export interface Region {
  readonly x: number;
  readonly y: number;
  readonly widthPx: number;
  readonly heightPx: number;
}

/** Deep samples in the file's own numbers, for measuring. */
export interface DeepValues extends Region {
  readonly sample: DeepSample;
  /** Row by row: the sample of grey files, the luma of colour files. */
  readonly values: Float32Array;
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
  readonly inspect: { readonly input: { readonly blob: Blob; readonly page: number }; readonly output: Inspection };
  readonly small: { readonly input: { readonly blob: Blob; readonly shown: ShownAs }; readonly output: Blob };
  readonly working: { readonly input: { readonly blob: Blob }; readonly output: Blob | null };
  readonly copies: { readonly input: { readonly blob: Blob; readonly shown: ShownAs }; readonly output: Copies };
  readonly bitmap: {
    readonly input: { readonly blob: Blob; readonly maxPx: number | null; readonly shown: ShownAs };
    readonly output: DecodedPicture;
  };
  /** @returns null for 8-bit files. The region is cut to the photograph; null = all of it. */
  readonly deepValues: {
    readonly input: { readonly blob: Blob; readonly page: number; readonly region: Region | null };
    readonly output: DeepValues | null;
  };
  /** @returns null for 8-bit files. */
  readonly survey: {
    readonly input: { readonly blob: Blob; readonly page: number };
    readonly output: ToneSurvey | null;
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
