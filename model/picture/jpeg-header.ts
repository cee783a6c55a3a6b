import type { ByteRange, ByteReader } from "./byte-reader.ts";
import { latin, viewOf } from "./byte-reader.ts";
import type { PictureHeader, StatedDensity, WalkDepth } from "./header.ts";
import { jpegRestarts, readFrame, type JpegFrame } from "./jpeg-frame.ts";
import { scanToMarker } from "./jpeg-scan.ts";
import { LIMITS, checkSides } from "./limits.ts";
import { PictureError } from "./picture-error.ts";

const SOI = 0xd8;
const EOI = 0xd9;
const SOS = 0xda;
const DRI = 0xdd;
const APP0 = 0xe0;
const APP1 = 0xe1;
const APP14 = 0xee;
const MAX_SEGMENTS = 20_000;
/** Longest stretch without a marker that is skipped: one segment. */
const MAX_STRAY = 65_536;

const cut = () => new PictureError("truncated", "The photograph is cut off: its last part is missing.");
const broken = (what: string) => new PictureError("damaged", `The JPEG is damaged: ${what}.`);

/** Frame headers are C0–CF without the tables C4 and CC and the extension C8. */
const isFrame = (marker: number) => marker >= 0xc0 && marker <= 0xcf && ![0xc4, 0xc8, 0xcc].includes(marker);

export interface JpegWalk {
  readonly frame: JpegFrame;
  readonly exif: ByteRange | null;
  readonly density: StatedDensity | null;
  /** The marker that says how inks are stored (Adobe APP14) is there. */
  readonly saysInks: boolean;
}

/**
 * Walks all segments and scans of a JPEG to its end-of-image marker. Browsers fill a cut-off photograph with grey
 * without a word, so the end and the restart markers are checked here.
 * @param onFrame – called with the frame as soon as it is known; it may throw to refuse the size.
 * @param toScan – stops at the first scan: for files whose scans were checked before.
 * @throws PictureError truncated, damaged, unsupported-kind, deep-file.
 * @source ITU-T T.81 (1992), annex B.
 */
export async function walkJpeg(
  reader: ByteReader,
  onFrame: (frame: JpegFrame) => void,
  toScan = false,
): Promise<JpegWalk> {
  let position = 2;
  let frame: JpegFrame | null = null;
  let exif: ByteRange | null = null;
  let density: StatedDensity | null = null;
  let saysInks = false;
  let restartInterval = 0;
  let scans = 0;
  const drawn = new Set<number>();
  for (let segments = 0; ; segments++) {
    if (segments > MAX_SEGMENTS) throw broken("too many segments");
    const head = await reader.read(position, 4);
    if (head.length < 2) throw cut();
    if (head[0] !== 0xff) {
      // A segment of wrong length, mostly camera data: decoders look for the next marker, and so do we.
      position = await nextMarker(reader, position);
      continue;
    }
    const marker = head[1] ?? 0;
    if (marker === 0xff || marker === 0x01 || (marker >= 0xd0 && marker <= 0xd7)) {
      // Fill bytes and markers without content.
      position += marker === 0xff ? 1 : 2;
      continue;
    }
    if (marker === EOI) {
      if (!frame || scans === 0) throw cut();
      break;
    }
    if (marker === 0) {
      position += 2;
      continue;
    }
    if (marker === SOI) throw broken("an unexpected marker");
    if (head.length < 4) throw cut();
    const length = viewOf(head).getUint16(2);
    if (length < 2) throw broken("a segment of impossible length");
    if (position + 2 + length > reader.size) throw cut();
    const bodyAt = position + 4;
    const body = () => reader.read(bodyAt, length - 2);
    position += 2 + length;
    if (isFrame(marker)) {
      if (frame) throw broken("two frames");
      frame = readFrame(marker, await body());
      onFrame(frame);
    } else if (marker === DRI) {
      const bytes = await body();
      if (bytes.length < 2) throw broken("a segment of impossible length");
      restartInterval = viewOf(bytes).getUint16(0);
    } else if (marker === APP1 && !exif && latin(await reader.read(bodyAt, 6)) === "Exif\0\0" && length > 8) {
      exif = { offset: bodyAt + 6, length: length - 8 };
    } else if (marker === APP14 && length >= 14 && latin(await reader.read(bodyAt, 5)) === "Adobe") {
      saysInks = true;
    } else if (marker === APP0 && !density && length >= 14) {
      density = jfifDensity(await body());
    } else if (marker === SOS) {
      if (!frame) throw broken("picture data before the frame");
      if (toScan) return { frame, exif, density, saysInks };
      if (++scans > LIMITS.maxScans) throw broken("too many passes");
      const bytes = await body();
      const components = [...Array(bytes[0] ?? 0).keys()].map((i) => bytes[1 + 2 * i] ?? -1);
      for (const id of components) drawn.add(id);
      const scan = await scanToMarker(reader, position);
      if (!scan) throw cut();
      if (!scan.restartsInOrder) throw broken("parts of the picture are out of order");
      if (scan.restarts < jpegRestarts(frame, components, restartInterval)) {
        throw new PictureError("truncated", "The photograph has a gap: part of the picture is missing.");
      }
      position = scan.end;
    }
  }
  if (!frame.components.every((component) => drawn.has(component.id))) {
    throw new PictureError("truncated", "The photograph is incomplete: one of its colour parts is missing.");
  }
  return { frame, exif, density, saysInks };
}

/** @returns where the next FF lies. @throws PictureError truncated, damaged when it is too far away. */
async function nextMarker(reader: ByteReader, from: number): Promise<number> {
  const bytes = await reader.read(from, MAX_STRAY);
  const at = bytes.indexOf(0xff);
  if (at >= 0) return from + at;
  throw bytes.length < MAX_STRAY ? cut() : broken("a segment does not start where the one before it ends");
}

/**
 * Reads what a JPEG says of itself.
 * @throws PictureError truncated, damaged, too-large, too-small, unsupported-kind, deep-file.
 */
export async function readJpegHeader(reader: ByteReader, depth: WalkDepth): Promise<PictureHeader> {
  const { frame, exif, density, saysInks } = await walkJpeg(
    reader,
    ({ widthPx, heightPx }) => {
      checkSides(widthPx, heightPx);
    },
    depth === "limits",
  );
  const samples = frame.components.length;
  // Browsers take all inks for stored the Adobe way, upside down; without its marker the picture would be a negative.
  if (samples === 4 && !saysInks) {
    throw new PictureError(
      "unsupported-kind",
      "This JPEG is in print colours and does not say how its inks are stored.",
    );
  }
  return {
    kind: "jpeg",
    widthPx: frame.widthPx,
    heightPx: frame.heightPx,
    bitsPerSample: 8,
    samples,
    pages: 1,
    exif,
    density,
    png: null,
    tiff: null,
    notes: samples === 4 ? ["Print colours (CMYK): the colours shown are the browser's conversion."] : [],
  };
}

/** @source ITU-T T.871 (2011), clause 10.1: units 0 none, 1 per inch, 2 per cm. */
function jfifDensity(bytes: Uint8Array): StatedDensity | null {
  if (latin(bytes.subarray(0, 5)) !== "JFIF\0" || bytes.length < 12) return null;
  const view = viewOf(bytes);
  const unit = view.getUint8(7);
  if (unit !== 1 && unit !== 2) return null;
  return { x: view.getUint16(8), y: view.getUint16(10), unit: unit === 1 ? "inch" : "cm", from: "JFIF density" };
}
