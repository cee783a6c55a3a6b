import type { ByteRange } from "./byte-reader.ts";
import type { DeepSample } from "./deep-tone.ts";
import type { TiffLayout } from "./tiff-layout.ts";

export type PictureKind = "jpeg" | "png" | "webp" | "bmp" | "tiff";

/**
 * "whole" looks for gaps and damage through the whole file, once, when it comes in; "limits" only makes sure that
 * decoding stays bounded, for files that came in before.
 */
export type WalkDepth = "whole" | "limits";

export const MEDIA_TYPE: Readonly<Record<PictureKind, string>> = {
  jpeg: "image/jpeg",
  png: "image/png",
  webp: "image/webp",
  bmp: "image/bmp",
  tiff: "image/tiff",
};

/** Pixels per unit as a file states them; a print size in most files, never a scale of the wire. */
export interface StatedDensity {
  readonly x: number;
  readonly y: number;
  readonly unit: "inch" | "cm" | "m";
  /** Where it was found. */
  readonly from: string;
}

/** Where the compressed pixels of a PNG lie, and how many bytes they must unpack to. */
export interface PngPixels {
  readonly parts: readonly ByteRange[];
  readonly rawBytes: number;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly bitDepth: number;
  readonly interlaced: boolean;
  /** Parts of a pixel: 1 grey or palette, 2 grey and cover, 3 colours, 4 colours and cover. */
  readonly samples: number;
  /** The one sample value, or three, that is see-through; null = none. */
  readonly seeThrough: readonly number[] | null;
  /** Colours in the palette; null for pictures without one. */
  readonly paletteSize: number | null;
}

/** What a file says of itself, read without decoding a pixel. */
export interface PictureHeader {
  readonly kind: PictureKind;
  /** As stored, before the camera orientation is applied. */
  readonly widthPx: number;
  readonly heightPx: number;
  readonly bitsPerSample: number;
  readonly samples: number;
  readonly pages: number;
  /** Kind of the samples when they do not fit into 8 bits; left out or null = they fit. */
  readonly deep?: DeepSample | null;
  /** Where the camera data (TIFF-structured) lie; null = none. */
  readonly exif: ByteRange | null;
  readonly density: StatedDensity | null;
  readonly png: PngPixels | null;
  readonly tiff: TiffLayout | null;
  /** Where the directory of the page read lies in a TIFF, bytes from the start. */
  readonly pageAt?: number;
  /** Where the chunk with the camera data of a WebP starts, its name included. */
  readonly webpExifAt?: number | null;
  /** Plain sentences about what the reader of the photograph should know. */
  readonly notes: readonly string[];
}
