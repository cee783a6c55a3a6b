import type { ByteReader } from "./byte-reader.ts";
import { viewOf } from "./byte-reader.ts";
import type { PictureHeader, StatedDensity } from "./header.ts";
import { checkSides } from "./limits.ts";
import { PictureError } from "./picture-error.ts";

const CORE = 12;
/** Sizes of the information header that exist; the file keeps no version number. From memory. */
const HEADER_SIZES = [CORE, 40, 52, 56, 64, 108, 124];
const RUN_LENGTH = [1, 2];
const PLAIN = [0, 3, 6];

/**
 * Reads the headers of a BMP and checks that all rows are there.
 * @throws PictureError truncated, damaged, too-large, too-small, unsupported-kind.
 */
export async function readBmpHeader(reader: ByteReader): Promise<PictureHeader> {
  const bytes = await reader.read(0, 54);
  if (bytes.length < 26) throw new PictureError("truncated", "The picture is cut off inside its header.");
  const view = viewOf(bytes);
  const pixelsAt = view.getUint32(10, true);
  const headerSize = view.getUint32(14, true);
  const core = headerSize === CORE;
  if (!HEADER_SIZES.includes(headerSize)) throw new PictureError("damaged", "The BMP is damaged: its header is wrong.");
  if (!core && bytes.length < 54) throw new PictureError("truncated", "The picture is cut off inside its header.");
  const widthPx = core ? view.getUint16(18, true) : view.getInt32(18, true);
  // A negative height means rows from top to bottom.
  const heightPx = Math.abs(core ? view.getUint16(20, true) : view.getInt32(22, true));
  checkSides(widthPx, heightPx);
  const bits = view.getUint16(core ? 24 : 28, true);
  const compression = core ? 0 : view.getUint32(30, true);
  if (![1, 2, 4, 8, 16, 24, 32].includes(bits) || pixelsAt < 14 + headerSize) {
    throw new PictureError("damaged", "The BMP is damaged: its header is wrong.");
  }
  if (!PLAIN.includes(compression) && !RUN_LENGTH.includes(compression)) {
    throw new PictureError("unsupported-kind", "This BMP holds another kind of file, which cannot be shown.");
  }
  const rowBytes = 4 * Math.ceil((widthPx * bits) / 32);
  const needed = PLAIN.includes(compression) ? rowBytes * heightPx : core ? 0 : view.getUint32(34, true);
  if (pixelsAt + needed > reader.size) {
    throw new PictureError("truncated", "The picture is cut off: its last rows are missing.");
  }
  return {
    kind: "bmp",
    widthPx,
    heightPx,
    bitsPerSample: bits > 8 ? 8 : bits,
    samples: bits === 32 ? 4 : bits > 8 ? 3 : 1,
    pages: 1,
    exif: null,
    density: core ? null : perMetre(view.getInt32(38, true), view.getInt32(42, true)),
    png: null,
    tiff: null,
    notes: [],
  };
}

function perMetre(x: number, y: number): StatedDensity | null {
  return x > 0 && y > 0 ? { x, y, unit: "m", from: "BMP resolution" } : null;
}
