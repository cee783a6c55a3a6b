import type { ByteRange, ByteReader } from "./byte-reader.ts";
import { latin, viewOf } from "./byte-reader.ts";
import { crc32 } from "./crc32.ts";
import type { PictureHeader, StatedDensity, WalkDepth } from "./header.ts";
import { checkSides } from "./limits.ts";
import { PictureError } from "./picture-error.ts";

const CHUNK = 1 << 20;
const MAX_CHUNKS = 200_000;
/** Samples per pixel by colour type. @source ISO/IEC 15948:2004, 11.2.2. */
const SAMPLES: Readonly<Record<number, number>> = { 0: 1, 2: 3, 3: 1, 4: 2, 6: 4 };
const DEPTHS: Readonly<Record<number, readonly number[]>> = {
  0: [1, 2, 4, 8, 16],
  2: [8, 16],
  3: [1, 2, 4, 8],
  4: [8, 16],
  6: [8, 16],
};
/** Seven passes of the interlaced order: first column, first row, step across, step down. */
export const PNG_PASSES = [
  [0, 0, 8, 8],
  [4, 0, 8, 8],
  [0, 4, 4, 8],
  [2, 0, 4, 4],
  [0, 2, 2, 4],
  [1, 0, 2, 2],
  [0, 1, 1, 2],
] as const;

const cut = () => new PictureError("truncated", "The picture is cut off: its last part is missing.");
const broken = (what: string) => new PictureError("damaged", `The PNG is damaged: ${what}.`);

/**
 * Walks every chunk of a PNG, with the check sums of those that make the picture.
 * @throws PictureError truncated, damaged, too-large, too-small.
 * @source ISO/IEC 15948:2004, clauses 5 and 11.
 */
export async function readPngHeader(reader: ByteReader, depth: WalkDepth): Promise<PictureHeader> {
  const ihdr = await reader.read(8, 25);
  if (ihdr.length < 25) throw cut();
  const view = viewOf(ihdr);
  if (view.getUint32(0) !== 13 || latin(ihdr.subarray(4, 8)) !== "IHDR")
    throw broken("it does not start with its size");
  const widthPx = view.getUint32(8);
  const heightPx = view.getUint32(12);
  checkSides(widthPx, heightPx);
  const bitDepth = view.getUint8(16);
  const colourType = view.getUint8(17);
  const samples = SAMPLES[colourType];
  const interlace = view.getUint8(20);
  if (!samples || !DEPTHS[colourType]?.includes(bitDepth) || interlace > 1) throw broken("its header is wrong");
  if (view.getUint8(18) !== 0 || view.getUint8(19) !== 0) throw broken("its compression is unknown");

  const parts: ByteRange[] = [];
  let paletteSize: number | null = null;
  let exif: ByteRange | null = null;
  let density: StatedDensity | null = null;
  let seeThrough: readonly number[] | null = null;
  let moving = false;
  let position = 8;
  for (let count = 0; ; count++) {
    if (count > MAX_CHUNKS) throw broken("too many parts");
    const head = await reader.read(position, 8);
    if (head.length < 8) throw cut();
    const length = viewOf(head).getUint32(0);
    const type = latin(head.subarray(4, 8));
    if (!/^[A-Za-z]{4}$/.test(type)) throw broken("a part has no name");
    if (position + 12 + length > reader.size) throw cut();
    const body: ByteRange = { offset: position + 8, length };
    // Capital first letter: critical, the picture cannot be right without it.
    if (depth === "whole" && /^[A-Z]/.test(type) && !(await checkSumHolds(reader, body)))
      throw broken(`the check sum of ${type} is wrong`);
    if (type === "IDAT") parts.push(body);
    else if (type === "PLTE") {
      if (length % 3 !== 0 || length === 0 || length > 768) throw broken("its palette is wrong");
      paletteSize = length / 3;
    } else if (type === "eXIf") exif ??= body;
    else if (type === "pHYs" && length === 9) density = physical(await reader.read(body.offset, 9));
    else if (type === "tRNS" && colourType !== 3 && length === 2 * samples) {
      const values = viewOf(await reader.read(body.offset, length));
      seeThrough = Array.from({ length: samples }, (_, i) => values.getUint16(2 * i));
    } else if (type === "acTL") moving = true;
    position += 12 + length;
    if (type === "IEND") break;
  }
  if (parts.length === 0) throw cut();
  if (colourType === 3 && paletteSize === null) throw broken("its palette is missing");
  const notes: string[] = [];
  if (moving) notes.push("Moving picture: only its still image is shown.");
  if (colourType === 4 || colourType === 6) notes.push("The picture may have see-through parts.");
  const interlaced = interlace === 1;
  const bits = samples * bitDepth;
  return {
    kind: "png",
    widthPx,
    heightPx,
    bitsPerSample: bitDepth,
    samples,
    pages: 1,
    exif,
    density,
    png: {
      parts,
      rawBytes: pngRows(widthPx, heightPx, bits, interlaced).reduce((sum, p) => sum + p.rows * (1 + p.rowBytes), 0),
      widthPx,
      heightPx,
      bitDepth,
      interlaced,
      samples,
      seeThrough,
      paletteSize: colourType === 3 ? paletteSize : null,
    },
    tiff: null,
    deep: bitDepth === 16 ? "uint16" : null,
    notes,
  };
}

/** @returns the passes of the picture: rows, bytes per row without the filter byte, pixels per row. */
export function pngRows(
  widthPx: number,
  heightPx: number,
  bitsPerPixel: number,
  interlaced: boolean,
): readonly { readonly rows: number; readonly rowBytes: number; readonly columns: number }[] {
  const passes = interlaced ? PNG_PASSES : ([[0, 0, 1, 1]] as const);
  return passes
    .map(([x, y, across, down]) => {
      const columns = Math.max(0, Math.ceil((widthPx - x) / across));
      const rows = Math.max(0, Math.ceil((heightPx - y) / down));
      return { columns, rows, rowBytes: Math.ceil((columns * bitsPerPixel) / 8) };
    })
    .filter(({ columns, rows }) => columns > 0 && rows > 0);
}

async function checkSumHolds(reader: ByteReader, body: ByteRange): Promise<boolean> {
  // The check sum covers the name of the chunk and its content.
  const end = body.offset + body.length;
  let sum = 0;
  for (let at = body.offset - 4; at < end; at += CHUNK)
    sum = crc32(await reader.read(at, Math.min(CHUNK, end - at)), sum);
  const stored = await reader.read(end, 4);
  return stored.length === 4 && viewOf(stored).getUint32(0) === sum;
}

/** @source ISO/IEC 15948:2004, 11.3.5.3: unit 1 is the metre. */
function physical(bytes: Uint8Array): StatedDensity | null {
  const view = viewOf(bytes);
  if (view.getUint8(8) !== 1) return null;
  return { x: view.getUint32(0), y: view.getUint32(4), unit: "m", from: "PNG pHYs" };
}
