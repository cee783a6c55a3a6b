import type { ByteRange, ByteReader } from "./byte-reader.ts";
import type { PictureHeader, StatedDensity } from "./header.ts";
import { LIMITS, checkSides } from "./limits.ts";
import { PictureError } from "./picture-error.ts";
import type { TiffDirectory, TiffEntry, TiffStream } from "./tiff-directory.ts";
import { numbersOf, openTiff, readDirectory } from "./tiff-directory.ts";
import type { TiffLayout } from "./tiff-layout.ts";

/** Tag numbers. @source TIFF 6.0 (1992), appendix A. */
const TAG = {
  subfile: 254,
  width: 256,
  height: 257,
  bits: 258,
  compression: 259,
  photometric: 262,
  fillOrder: 266,
  stripOffsets: 273,
  samples: 277,
  rowsPerStrip: 278,
  stripBytes: 279,
  xResolution: 282,
  yResolution: 283,
  planar: 284,
  resolutionUnit: 296,
  predictor: 317,
  colourMap: 320,
  tileWidth: 322,
  tileHeight: 323,
  tileOffsets: 324,
  tileBytes: 325,
  inkSet: 332,
  sampleFormat: 339,
  dngVersion: 50706,
} as const;

/** What this version unpacks: none, LZW, JPEG, Deflate (two numbers for one method), PackBits. */
const COMPRESSIONS = [1, 5, 7, 8, 32946, 32773];
const FAX = [2, 3, 4];

const broken = (what: string) => new PictureError("damaged", `The TIFF is damaged: ${what}.`);
const unsupported = (what: string) => new PictureError("unsupported-kind", `${what} is not read by this version.`);

/**
 * Walks all directories of a TIFF, then reads and checks the layout of its first page: every strip or tile must lie
 * inside the file. Nothing is unpacked.
 * @throws PictureError directory-loop, fill-order, deep-file, unsupported-kind, truncated, damaged, too-large, too-small.
 * @source TIFF 6.0 (1992), sections 2–8, 10, 14, 15, 16, 19, 21.
 */
export async function readTiffHeader(reader: ByteReader): Promise<PictureHeader> {
  const stream = await openTiff(reader);
  if (!stream) throw broken("its first bytes are wrong");
  const { first, pages } = await walkPages(stream);
  const page = new Page(stream, first);
  if (first.entries.has(TAG.dngVersion)) throw unsupported("A camera raw file");
  if ((await page.number(TAG.subfile, 0)) & 1)
    throw unsupported("A camera raw file, or one that starts with a preview,");

  const widthPx = await page.number(TAG.width, 0);
  const heightPx = await page.number(TAG.height, 0);
  checkSides(widthPx, heightPx);
  const samples = await page.number(TAG.samples, 1);
  if (samples < 1 || samples > 5) throw broken("its number of colour parts is wrong");
  const bits = await page.list(TAG.bits, 64, [1]);
  const format = await page.list(TAG.sampleFormat, 64, [1]);
  const compression = await page.number(TAG.compression, 1);
  const photometric = await page.number(TAG.photometric, -1);
  if ((await page.number(TAG.fillOrder, 1)) === 2) {
    throw new PictureError("fill-order", "This TIFF stores its bits in reversed order, which is often read wrongly.");
  }
  checkDepth(bits, format, samples, compression);
  const colours = await checkColours(page, photometric, samples, compression);
  if (!COMPRESSIONS.includes(compression)) throw unsupported(`TIFF compression ${String(compression)}`);
  const predictor = await page.number(TAG.predictor, 1);
  if (predictor !== 1 && predictor !== 2) throw unsupported(`TIFF predictor ${String(predictor)}`);
  const planar = await page.number(TAG.planar, 1);
  if (planar !== 1 && planar !== 2) throw broken("its order of colour parts is unknown");
  const planes = planar === 2 && samples > 1 ? "apart" : "together";
  if (planes === "apart" && compression === 7) throw unsupported("A JPEG-compressed TIFF with separate colour planes");
  const layout: TiffLayout = {
    widthPx,
    heightPx,
    samples,
    photometric,
    compression,
    planes,
    differences: predictor === 2 && compression !== 1 && compression !== 7 && compression !== 32773,
    ...(await readBlocks(page, widthPx, heightPx, planes === "apart" ? samples : 1)),
    palette: colours.palette,
  };
  checkPlainSizes(layout);
  const notes = [...colours.notes];
  if (pages > 1) notes.push(`The file holds ${String(pages)} pages: only the first is shown.`);
  return {
    kind: "tiff",
    widthPx,
    heightPx,
    bitsPerSample: 8,
    samples,
    pages,
    exif: { offset: 0, length: reader.size },
    density: await readDensity(page),
    png: null,
    tiff: layout,
    notes,
  };
}

/** @throws PictureError directory-loop when a directory is reached twice. */
async function walkPages(stream: TiffStream): Promise<{ first: TiffDirectory; pages: number }> {
  const seen = new Set<number>();
  let first: TiffDirectory | null = null;
  for (let offset = stream.first; offset !== 0;) {
    if (seen.has(offset)) {
      throw new PictureError("directory-loop", "The pages of this TIFF point at each other in a circle.");
    }
    if (seen.size >= LIMITS.maxPages) {
      throw new PictureError("too-large", `The TIFF has more than ${String(LIMITS.maxPages)} pages.`);
    }
    seen.add(offset);
    const directory = await readDirectory(stream, offset);
    first ??= directory;
    offset = directory.next;
  }
  if (!first) throw broken("it has no page");
  return { first, pages: seen.size };
}

/** One directory with its numbers. */
class Page {
  constructor(
    readonly stream: TiffStream,
    readonly directory: TiffDirectory,
  ) {}

  entry(tag: number): TiffEntry | undefined {
    return this.directory.entries.get(tag);
  }

  async list(tag: number, most: number, otherwise: readonly number[]): Promise<readonly number[]> {
    const entry = this.entry(tag);
    if (!entry || entry.count === 0) return otherwise;
    return numbersOf(this.stream, entry, most);
  }

  async number(tag: number, otherwise: number): Promise<number> {
    return (await this.list(tag, 64, [otherwise]))[0] ?? otherwise;
  }
}

function checkDepth(bits: readonly number[], format: readonly number[], samples: number, compression: number): void {
  const depth = Math.max(...bits);
  if (format.includes(3) || depth > 8) {
    const kind = format.includes(3) ? "floating-point" : `${String(depth)}-bit`;
    throw new PictureError("deep-file", `${kind} TIFF: save as 8-bit TIFF or PNG.`);
  }
  if (FAX.includes(compression)) throw unsupported("A fax-compressed (black and white) TIFF");
  if (bits.some((b) => b !== 8)) throw unsupported(`A ${String(Math.min(...bits))}-bit TIFF`);
  if (bits.length !== 1 && bits.length < samples) throw broken("its number of colour parts is wrong");
  if (format.some((f) => f !== 1 && f !== 4)) throw unsupported("A TIFF with signed values");
}

async function checkColours(
  page: Page,
  photometric: number,
  samples: number,
  compression: number,
): Promise<{ palette: readonly number[] | null; notes: string[] }> {
  const notes: string[] = [];
  const base = { 0: 1, 1: 1, 2: 3, 3: 1, 5: 4, 6: 3 }[photometric];
  if (base === undefined) {
    if (photometric === 32803 || photometric === 34892) throw unsupported("A camera raw file");
    throw photometric === -1 ? broken("it does not state its colours") : unsupported("A TIFF of this kind of colours");
  }
  if (samples < base) throw broken("its number of colour parts is wrong");
  if (samples > base + 1) throw unsupported("A TIFF with this many extra channels");
  if (samples > base) notes.push("The extra channel (transparency) is not shown.");
  if (compression === 7 && photometric === 3) throw unsupported("A JPEG-compressed palette TIFF");
  let palette: readonly number[] | null = null;
  if (photometric === 3) {
    palette = await page.list(TAG.colourMap, 768, []);
    if (palette.length !== 768) throw broken("its palette is missing");
  }
  if (photometric === 5) {
    if ((await page.number(TAG.inkSet, 1)) !== 1) throw unsupported("A TIFF in special printing inks");
    notes.push("Print colours (CMYK): the colours shown are a plain conversion.");
  }
  if (photometric === 6 && compression !== 7) throw unsupported("A TIFF in brightness and colour difference (YCbCr)");
  return { palette, notes };
}

async function readBlocks(
  page: Page,
  widthPx: number,
  heightPx: number,
  planeCount: number,
): Promise<Pick<TiffLayout, "tiled" | "blockWidthPx" | "blockHeightPx" | "blocks">> {
  const tiled = page.entry(TAG.tileOffsets) !== undefined || page.entry(TAG.tileWidth) !== undefined;
  const blockWidthPx = tiled ? await page.number(TAG.tileWidth, 0) : widthPx;
  const rows = tiled ? await page.number(TAG.tileHeight, 0) : await page.number(TAG.rowsPerStrip, heightPx);
  const blockHeightPx = tiled ? rows : Math.min(rows, heightPx);
  if (blockWidthPx < 1 || blockHeightPx < 1) throw broken("its strips or tiles have no size");
  // Tiles may stick out of the picture, but not so far that a small picture asks for a large memory.
  if (blockWidthPx > widthPx + 4096 || blockHeightPx > heightPx + 4096) throw broken("its tiles are too large");
  const needed = Math.ceil(widthPx / blockWidthPx) * Math.ceil(heightPx / blockHeightPx) * planeCount;
  const offsets = await page.list(tiled ? TAG.tileOffsets : TAG.stripOffsets, needed + 65_536, []);
  const lengths = await page.list(tiled ? TAG.tileBytes : TAG.stripBytes, needed + 65_536, []);
  if (offsets.length < needed || lengths.length < needed) throw broken("strips or tiles are missing");
  const blocks: ByteRange[] = [];
  for (let i = 0; i < needed; i++) {
    const block = { offset: offsets[i] ?? 0, length: lengths[i] ?? 0 };
    if (block.length === 0) throw broken("an empty strip or tile");
    if (block.offset + block.length > page.stream.reader.size) {
      throw new PictureError("truncated", "The picture is cut off: strips or tiles are missing.");
    }
    blocks.push(block);
  }
  return { tiled, blockWidthPx, blockHeightPx, blocks };
}

/** Uncompressed blocks must have their full length. */
function checkPlainSizes(layout: TiffLayout): void {
  if (layout.compression !== 1) return;
  layout.blocks.forEach((block, index) => {
    if (block.length < blockBytes(layout, index)) {
      throw new PictureError("truncated", "The picture is cut off: a strip or tile is too short.");
    }
  });
}

/** @returns how many rows block `index` holds; the last strip is cut at the edge of the picture. */
export function blockRows(layout: TiffLayout, index: number): number {
  if (layout.tiled) return layout.blockHeightPx;
  const down = Math.ceil(layout.heightPx / layout.blockHeightPx);
  return Math.min(layout.blockHeightPx, layout.heightPx - (index % down) * layout.blockHeightPx);
}

/** @returns the length of block `index` when unpacked, bytes. */
export function blockBytes(layout: TiffLayout, index: number): number {
  return layout.blockWidthPx * blockRows(layout, index) * (layout.planes === "apart" ? 1 : layout.samples);
}

async function readDensity(page: Page): Promise<StatedDensity | null> {
  // The standard takes inches where no unit is stated; a hint takes only what is stated.
  const unit = await page.number(TAG.resolutionUnit, 1);
  if (unit !== 2 && unit !== 3) return null;
  const x = await page.number(TAG.xResolution, NaN);
  const y = await page.number(TAG.yResolution, NaN);
  return { x, y, unit: unit === 2 ? "inch" : "cm", from: "TIFF resolution" };
}
