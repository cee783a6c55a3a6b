import type { ByteRange, ByteReader } from "./byte-reader.ts";
import { latin, viewOf } from "./byte-reader.ts";
import type { PictureHeader } from "./header.ts";
import { checkSides } from "./limits.ts";
import { PictureError } from "./picture-error.ts";

const MAX_CHUNKS = 1_000;
const broken = (what: string) => new PictureError("damaged", `The WebP is damaged: ${what}.`);

/**
 * Walks the chunks of a WebP: simple lossy (VP8), lossless (VP8L) or extended (VP8X).
 * @throws PictureError truncated, damaged, too-large, too-small, unsupported-kind (moving picture).
 * @source RFC 9649 (2024), sections 2 and 3; RFC 6386 (2011), 9.1.
 */
export async function readWebpHeader(reader: ByteReader): Promise<PictureHeader> {
  const riff = viewOf(await reader.read(0, 12));
  const end = 8 + riff.getUint32(4, true);
  if (end > reader.size) throw new PictureError("truncated", "The picture is cut off: its last part is missing.");
  let canvas: { widthPx: number; heightPx: number } | null = null;
  let frame: { widthPx: number; heightPx: number } | null = null;
  let exif: ByteRange | null = null;
  let webpExifAt: number | null = null;
  let seeThrough = false;
  let position = 12;
  for (let count = 0; position + 8 <= end; count++) {
    if (count > MAX_CHUNKS) throw broken("too many parts");
    const head = await reader.read(position, 8);
    const type = latin(head.subarray(0, 4));
    const length = viewOf(head).getUint32(4, true);
    if (position + 8 + length > end) throw new PictureError("truncated", "The picture is cut off.");
    const body = await reader.read(position + 8, Math.min(length, 10));
    if (type === "VP8X" && body.length >= 10) {
      const view = viewOf(body);
      if (view.getUint8(0) & 0x02) {
        throw new PictureError("unsupported-kind", "This is a moving picture (animated WebP), not a photograph.");
      }
      canvas = {
        widthPx: 1 + (view.getUint16(4, true) | (view.getUint8(6) << 16)),
        heightPx: 1 + (view.getUint16(7, true) | (view.getUint8(9) << 16)),
      };
      checkSides(canvas.widthPx, canvas.heightPx);
      seeThrough = (view.getUint8(0) & 0x10) !== 0;
    } else if (type === "VP8 " || type === "VP8L") {
      if (frame) throw broken("it holds two pictures");
      frame = type === "VP8 " ? lossySize(body, length) : losslessSize(body);
      checkSides(frame.widthPx, frame.heightPx);
    } else if (type === "EXIF" && !exif) {
      // Some writers keep the six bytes that precede the block in a JPEG.
      const prefixed = latin(body.subarray(0, 6)) === "Exif\0\0";
      webpExifAt = position;
      exif = { offset: position + 8 + (prefixed ? 6 : 0), length: Math.max(0, length - (prefixed ? 6 : 0)) };
    }
    position += 8 + length + (length & 1);
  }
  if (!frame) throw broken("it holds no picture");
  if (canvas && (canvas.widthPx !== frame.widthPx || canvas.heightPx !== frame.heightPx)) {
    throw broken("its two statements of size disagree");
  }
  return {
    kind: "webp",
    ...frame,
    bitsPerSample: 8,
    samples: 3,
    pages: 1,
    exif,
    density: null,
    png: null,
    tiff: null,
    webpExifAt,
    notes: seeThrough ? ["The picture may have see-through parts."] : [],
  };
}

function lossySize(body: Uint8Array, length: number): { widthPx: number; heightPx: number } {
  if (body.length < 10) throw broken("its frame is too short");
  const view = viewOf(body);
  const tag = view.getUint16(0, true) | (view.getUint8(2) << 16);
  if (tag & 1 || view.getUint8(3) !== 0x9d || view.getUint8(4) !== 0x01 || view.getUint8(5) !== 0x2a) {
    throw broken("its frame is wrong");
  }
  if (tag >> 5 > length - 10) throw new PictureError("truncated", "The picture is cut off.");
  return { widthPx: view.getUint16(6, true) & 0x3fff, heightPx: view.getUint16(8, true) & 0x3fff };
}

function losslessSize(body: Uint8Array): { widthPx: number; heightPx: number } {
  if (body.length < 5 || body[0] !== 0x2f) throw broken("its frame is wrong");
  const bits = viewOf(body).getUint32(1, true);
  return { widthPx: 1 + (bits & 0x3fff), heightPx: 1 + ((bits >>> 14) & 0x3fff) };
}
