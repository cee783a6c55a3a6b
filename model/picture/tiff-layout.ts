import type { ByteRange } from "./byte-reader.ts";

/** How one page of a TIFF lies in the file; everything in it was checked against the file's bounds. */
export interface TiffLayout {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly samples: number;
  /** Bits of each sample: 1, 2, 4, 8, 10, 12, 14, 16, 32 or 64. */
  readonly bits: number;
  readonly format: "unsigned" | "signed" | "float";
  readonly littleEndian: boolean;
  /** 0 white is zero, 1 black is zero, 2 RGB, 3 palette, 5 CMYK, 6 YCbCr. */
  readonly photometric: number;
  readonly compression: number;
  /** The lowest bit of a byte comes first (FillOrder 2). */
  readonly reversedBits: boolean;
  /** Samples of a pixel lie together, or each in a plane of its own. */
  readonly planes: "together" | "apart";
  /** What was done before packing: nothing, differences to the left neighbour, or differences of the bytes of floats. */
  readonly predictor: 1 | 2 | 3;
  /** Strips are blocks as wide as the picture. */
  readonly blockWidthPx: number;
  readonly blockHeightPx: number;
  /** Strips are cut at the last row; tiles always have their full size. */
  readonly tiled: boolean;
  /** Row by row, then plane by plane. */
  readonly blocks: readonly ByteRange[];
  /** 3 × 2^bits values, 0–65535: all reds, all greens, all blues. */
  readonly palette: readonly number[] | null;
  /** Sample values that the file itself names as black and white; null = none. */
  readonly statedRange: { readonly black: number; readonly white: number } | null;
}

/** Samples that do not fit into 8 bits and are therefore shown through a black and a white point. */
export const isDeepLayout = ({ bits, format }: Pick<TiffLayout, "bits" | "format">): boolean =>
  bits > 8 || format !== "unsigned";

/** @returns how many rows block `index` holds; the last strip is cut at the edge of the picture. */
export function blockRows(layout: TiffLayout, index: number): number {
  if (layout.tiled) return layout.blockHeightPx;
  const down = Math.ceil(layout.heightPx / layout.blockHeightPx);
  return Math.min(layout.blockHeightPx, layout.heightPx - (index % down) * layout.blockHeightPx);
}

/** @returns the samples of one pixel that lie together in a block. */
export const samplesTogether = (layout: TiffLayout): number => (layout.planes === "apart" ? 1 : layout.samples);

/** @returns the bytes of one row of a block; rows start at whole bytes. */
export const blockRowBytes = (layout: TiffLayout): number =>
  Math.ceil((layout.blockWidthPx * samplesTogether(layout) * layout.bits) / 8);

/** @returns the length of block `index` when unpacked, bytes. */
export const blockBytes = (layout: TiffLayout, index: number): number =>
  blockRowBytes(layout) * blockRows(layout, index);
