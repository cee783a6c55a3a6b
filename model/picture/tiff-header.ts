import type { ByteRange, ByteReader } from "./byte-reader.ts";
import type { PictureHeader, StatedDensity, WalkDepth } from "./header.ts";
import { LIMITS, checkSides } from "./limits.ts";
import { isTone, type DeepSample } from "./deep-tone.ts";
import { omeDensity } from "./ome-pixel-size.ts";
import { PictureError } from "./picture-error.ts";
import { openTiff } from "./tiff-directory.ts";
import { sampleKindOf } from "./tiff-depth.ts";
import type { TiffLayout } from "./tiff-layout.ts";
import { blockBytes, isDeepLayout } from "./tiff-layout.ts";
import type { Page } from "./tiff-pages.ts";
import { readPages } from "./tiff-pages.ts";

/** Tag numbers. @source TIFF 6.0 (1992), appendix A. */
const TAG = {
  width: 256,
  height: 257,
  compression: 259,
  photometric: 262,
  fillOrder: 266,
  description: 270,
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
  lowest: 340,
  highest: 341,
  dngVersion: 50706,
} as const;

/** What this version unpacks: none, LZW, JPEG, Deflate (two numbers for one method), PackBits, Zstandard. */
const COMPRESSIONS = [1, 5, 7, 8, 32946, 32773, 50000];
/** Packed bytes that may have been written lowest bit first; the other methods bring an order of their own. */
const REVERSIBLE = [1, 5, 32773];
/** Methods that a predictor goes with. */
const PREDICTED = [5, 8, 32946, 50000];
const FAX = [2, 3, 4];
/** OME-XML stands at the beginning of a description that may hold a line per plane. */
const DESCRIPTION_BYTES = 65_536;

const broken = (what: string) => new PictureError("damaged", `The TIFF is damaged: ${what}.`);
const unsupported = (what: string) => new PictureError("unsupported-kind", `${what} is not read by this version.`);

/**
 * Walks all directories of a TIFF, then reads and checks the layout of one page: every strip or tile must lie inside the
 * file. Nothing is unpacked.
 * @param pageIndex – from 0 among the pages; previews and masks are none.
 * @throws PictureError directory-loop, fill-order, page-missing, unsupported-kind, truncated, damaged, too-large, too-small.
 * @source TIFF 6.0 (1992), sections 2–8, 10, 14, 15, 16, 19, 21; Zstandard (50000) and predictor 3 from memory.
 */
export async function readTiffHeader(reader: ByteReader, _depth: WalkDepth, pageIndex: number): Promise<PictureHeader> {
  const stream = await openTiff(reader);
  if (!stream) throw broken("its first bytes are wrong");
  const { pages, first } = await readPages(stream);
  const page = pages[pageIndex];
  if (first.entry(TAG.dngVersion)) throw unsupported("A camera raw file");
  if (pages.length === 0) throw unsupported("A camera raw file, or one that holds previews alone,");
  if (!page)
    throw new PictureError("page-missing", `The file has ${String(pages.length)} pages, not ${String(pageIndex + 1)}.`);

  const widthPx = await page.number(TAG.width, 0);
  const heightPx = await page.number(TAG.height, 0);
  checkSides(widthPx, heightPx);
  const samples = await page.number(TAG.samples, 1);
  if (samples < 1 || samples > 5) throw broken("its number of colour parts is wrong");
  const compression = await page.number(TAG.compression, 1);
  if (FAX.includes(compression)) throw unsupported("A fax-compressed (black and white) TIFF");
  const kind = await sampleKindOf(page, samples);
  const stated = await page.number(TAG.photometric, -1);
  // Without a statement readers take one part for grey and three for red, green and blue (common practice, no source).
  const photometric = stated >= 0 ? stated : ({ 1: 1, 3: 2 }[samples] ?? -1);
  const reversedBits = (await page.number(TAG.fillOrder, 1)) === 2;
  const colours = await checkColours(page, photometric, samples, compression, kind);
  if (!COMPRESSIONS.includes(compression)) throw unsupported(`TIFF compression ${String(compression)}`);
  if (reversedBits && !REVERSIBLE.includes(compression)) {
    throw new PictureError("fill-order", "This TIFF stores its bits in reversed order, which is often read wrongly.");
  }
  const planar = await page.number(TAG.planar, 1);
  if (planar !== 1 && planar !== 2) throw broken("its order of colour parts is unknown");
  const planes = planar === 2 && samples > 1 ? "apart" : "together";
  if (planes === "apart" && compression === 7) throw unsupported("A JPEG-compressed TIFF with separate colour planes");
  const layout: TiffLayout = {
    widthPx,
    heightPx,
    samples,
    ...kind,
    littleEndian: stream.littleEndian,
    photometric,
    compression,
    reversedBits,
    planes,
    predictor: await predictorOf(page, compression, kind),
    ...(await readBlocks(page, widthPx, heightPx, planes === "apart" ? samples : 1)),
    palette: colours.palette,
    statedRange: await statedRange(page),
  };
  checkPlainSizes(layout);
  const deep = isDeepLayout(layout);
  if (deep) checkDeepSize(layout);
  const notes = [...colours.notes];
  if (stated < 0) notes.push("The file does not state its colours: black is taken as zero.");
  if (deep && photometric === 0) notes.push("Stored with white as zero: its values are turned round.");
  if (pages.length > 1)
    notes.push(`The file holds ${String(pages.length)} pages: page ${String(pageIndex + 1)} is shown.`);
  return {
    kind: "tiff",
    widthPx,
    heightPx,
    bitsPerSample: kind.bits,
    samples,
    pages: pages.length,
    exif: { offset: 0, length: reader.size },
    density: (await readOme(first)) ?? (await readDensity(page)),
    png: null,
    tiff: layout,
    deep: deep ? deepSampleOf(kind) : null,
    pageAt: page.at,
    notes,
  };
}

function deepSampleOf({ bits, format }: Pick<TiffLayout, "bits" | "format">): DeepSample {
  if (format === "float") return bits === 64 ? "float64" : "float32";
  if (format === "signed") return bits === 32 ? "int32" : "int16";
  return bits === 32 ? "uint32" : "uint16";
}

async function predictorOf(
  page: Page,
  compression: number,
  { bits, format }: Pick<TiffLayout, "bits" | "format">,
): Promise<1 | 2 | 3> {
  const predictor = await page.number(TAG.predictor, 1);
  if (predictor === 1 || !PREDICTED.includes(compression)) {
    if (predictor < 1 || predictor > 3) throw unsupported(`TIFF predictor ${String(predictor)}`);
    return 1;
  }
  if (predictor === 2 && [8, 16, 32].includes(bits)) return 2;
  if (predictor === 3 && format === "float") return 3;
  throw unsupported(`TIFF predictor ${String(predictor)} with ${String(bits)} bits`);
}

/** Black and white as the file names them; per channel, the widest range counts. */
async function statedRange(page: Page): Promise<TiffLayout["statedRange"]> {
  const black = Math.min(...(await page.list(TAG.lowest, 16, [])));
  const white = Math.max(...(await page.list(TAG.highest, 16, [])));
  return isTone(black, white) ? { black, white } : null;
}

async function readOme(first: Page): Promise<StatedDensity | null> {
  const text = await first.text(TAG.description, DESCRIPTION_BYTES);
  return text === null ? null : omeDensity(text);
}

/** The samples are held beside the picture made of them, so they have a limit of their own. */
function checkDeepSize({ widthPx, heightPx, samples, bits, format }: TiffLayout): void {
  const bytes = widthPx * heightPx * (samples > 2 ? 3 : 1) * (bits > 16 || format === "float" ? 4 : 2);
  if (bytes > LIMITS.maxDeepBytes) {
    throw new PictureError(
      "too-large",
      `The picture has ${(bytes / 1e6).toFixed(0)} MB of deep samples, more than ${String(LIMITS.maxDeepBytes / 1e6)} MB.`,
    );
  }
}

async function checkColours(
  page: Page,
  photometric: number,
  samples: number,
  compression: number,
  { bits, format }: Pick<TiffLayout, "bits" | "format">,
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
  if (compression === 7 && (photometric === 3 || bits !== 8)) throw unsupported("A JPEG-compressed TIFF of this kind");
  if (photometric === 0 && format !== "unsigned") throw unsupported("A TIFF of signed values with white as zero");
  if (bits < 8 && photometric > 1 && photometric !== 3) throw unsupported(`A ${String(bits)}-bit colour TIFF`);
  let palette: readonly number[] | null = null;
  if (photometric === 3) {
    if (bits > 8 || format !== "unsigned") throw unsupported("A palette TIFF of more than 8 bits");
    const colours = 3 << bits;
    palette = await page.list(TAG.colourMap, colours, []);
    if (palette.length !== colours) throw broken("its palette is missing");
  }
  if (photometric === 5) {
    if (bits > 16 || format !== "unsigned") throw unsupported("A TIFF in print colours of this depth");
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

async function readDensity(page: Page): Promise<StatedDensity | null> {
  // The standard takes inches where no unit is stated; a hint takes only what is stated.
  const unit = await page.number(TAG.resolutionUnit, 1);
  if (unit !== 2 && unit !== 3) return null;
  const x = await page.number(TAG.xResolution, NaN);
  const y = await page.number(TAG.yResolution, NaN);
  return { x, y, unit: unit === 2 ? "inch" : "cm", from: "TIFF resolution" };
}
