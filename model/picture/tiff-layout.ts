import type { ByteRange } from "./byte-reader.ts";

/** How the first page of a TIFF lies in the file; everything in it was checked against the file's bounds. */
export interface TiffLayout {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly samples: number;
  /** 0 white is zero, 1 black is zero, 2 RGB, 3 palette, 5 CMYK, 6 YCbCr. */
  readonly photometric: number;
  readonly compression: number;
  /** Samples of a pixel lie together, or each in a plane of its own. */
  readonly planes: "together" | "apart";
  /** Each sample is stored as the difference to its left neighbour. */
  readonly differences: boolean;
  /** Strips are blocks as wide as the picture. */
  readonly blockWidthPx: number;
  readonly blockHeightPx: number;
  /** Strips are cut at the last row; tiles always have their full size. */
  readonly tiled: boolean;
  /** Row by row, then plane by plane. */
  readonly blocks: readonly ByteRange[];
  /** 3 × 256 values, 0–65535: all reds, all greens, all blues. */
  readonly palette: readonly number[] | null;
}
