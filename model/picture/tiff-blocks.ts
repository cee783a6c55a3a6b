import type { ByteReader } from "./byte-reader.ts";
import { unpackLzw } from "./lzw.ts";
import { unpackBits } from "./pack-bits.ts";
import { PictureError } from "./picture-error.ts";
import type { TiffLayout } from "./tiff-layout.ts";
import { blockBytes, blockRows, samplesTogether } from "./tiff-layout.ts";
import { samplesOfBlock, type BlockSamples } from "./tiff-samples.ts";

/** Unpacks one method into exactly `length` bytes; the platform or a library brings it. */
export type Unpack = (packed: Uint8Array, length: number) => Promise<Uint8Array>;

/** The methods that are not written here. */
export interface Unpackers {
  /** Deflate with a zlib head. */
  readonly inflate: Unpack;
  readonly zstd: Unpack;
}

/** Where the samples of one strip or tile belong. */
export interface BlockPlace {
  readonly left: number;
  readonly top: number;
  /** Within the picture: what sticks out of it is left out. */
  readonly columns: number;
  readonly rows: number;
  /** Index of the first sample of a pixel that lies here. */
  readonly firstSample: number;
  /** Samples of a pixel that lie side by side here. */
  readonly step: number;
  /** Samples of a row of the block. */
  readonly stride: number;
}

/** Lowest bit first becomes highest bit first. */
const REVERSED = Uint8Array.from({ length: 256 }, (_, byte) =>
  [0, 1, 2, 3, 4, 5, 6, 7].reduce((sum, bit) => sum | (((byte >> bit) & 1) << (7 - bit)), 0),
);

/**
 * Unpacks the strips or tiles of a page one after another. Every one must unpack to its full length, so a gap is an
 * error and never grey.
 * @throws PictureError truncated, damaged, unsupported-kind (JPEG-compressed: not decoded here).
 * @source TIFF 6.0 (1992), sections 3–9, 13–16.
 */
export async function eachBlock(
  reader: ByteReader,
  layout: TiffLayout,
  unpackers: Unpackers,
  onBlock: (samples: BlockSamples, place: BlockPlace) => void,
): Promise<void> {
  const { widthPx, heightPx, blockWidthPx, blockHeightPx } = layout;
  const across = Math.ceil(widthPx / blockWidthPx);
  const inPlanes = across * Math.ceil(heightPx / blockHeightPx);
  const step = samplesTogether(layout);
  for (const [index, block] of layout.blocks.entries()) {
    const stored = await reader.read(block.offset, block.length);
    const packed = layout.reversedBits ? stored.map((byte) => REVERSED[byte] ?? 0) : stored;
    const raw = await unpack(packed, blockBytes(layout, index), layout.compression, unpackers);
    const inPlane = index % inPlanes;
    const left = (inPlane % across) * blockWidthPx;
    const top = Math.floor(inPlane / across) * blockHeightPx;
    onBlock(samplesOfBlock(raw, layout), {
      left,
      top,
      columns: Math.min(blockWidthPx, widthPx - left),
      rows: Math.min(blockRows(layout, inPlane), heightPx - top),
      firstSample: layout.planes === "apart" ? Math.floor(index / inPlanes) : 0,
      step,
      stride: blockWidthPx * step,
    });
  }
}

async function unpack(
  packed: Uint8Array,
  length: number,
  compression: number,
  { inflate, zstd }: Unpackers,
): Promise<Uint8Array> {
  switch (compression) {
    case 1:
      return packed.slice(0, length);
    case 5:
      if (packed[0] === 0 && ((packed[1] ?? 0) & 1) === 1) {
        throw new PictureError("unsupported-kind", "This TIFF uses an outdated form of LZW that is not read.");
      }
      return unpackLzw(packed, length);
    case 8:
    case 32946:
      return inflate(packed, length);
    case 32773:
      return unpackBits(packed, length);
    case 50000:
      return zstd(packed, length);
    default:
      throw new PictureError("unsupported-kind", `TIFF compression ${String(compression)} is not read.`);
  }
}
