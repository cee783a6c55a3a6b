import type { ByteReader } from "./byte-reader.ts";
import { latin } from "./byte-reader.ts";
import { readBmpHeader } from "./bmp-header.ts";
import type { PictureHeader, PictureKind, WalkDepth } from "./header.ts";
import { readJpegHeader } from "./jpeg-header.ts";
import { checkBytes } from "./limits.ts";
import { PictureError } from "./picture-error.ts";
import { readPngHeader } from "./png-header.ts";
import { readTiffHeader } from "./tiff-header.ts";
import { readWebpHeader } from "./webp-header.ts";

/** First bytes of the kinds that are read, "." for any byte. From memory, as are the refused ones below. */
const READ: readonly (readonly [start: string, kind: PictureKind])[] = [
  ["\xff\xd8\xff", "jpeg"],
  ["\x89PNG\r\n\x1a\n", "png"],
  ["RIFF....WEBP", "webp"],
  ["BM", "bmp"],
  ["II*\0", "tiff"],
  ["MM\0*", "tiff"],
  ["II+\0", "tiff"],
  ["MM\0+", "tiff"],
];

/** First bytes of the kinds that are refused by name; they stand before the ones that are read. */
const REFUSED: readonly (readonly [start: string, name: string])[] = [
  ["II*\0....CR", "a camera raw file (CR2)"],
  ["IIRO", "a camera raw file (ORF)"],
  ["IIRS", "a camera raw file (ORF)"],
  ["MMOR", "a camera raw file (ORF)"],
  ["IIU\0", "a camera raw file (RW2)"],
  ["FUJIFILMCCD-RAW", "a camera raw file (RAF)"],
  ["\0MRM", "a camera raw file (MRW)"],
  ["FOVb", "a camera raw file (X3F)"],
  ["....ftypcrx ", "a camera raw file (CR3)"],
  ["....ftypavif", "an AVIF picture"],
  ["....ftypavis", "an AVIF picture"],
  ["....ftyphei", "a HEIC picture"],
  ["....ftyphev", "a HEIC picture"],
  ["....ftypmif1", "a HEIC picture"],
  ["....ftypmsf1", "a HEIC picture"],
  ["....ftyp", "a film"],
  ["GIF87a", "a GIF picture"],
  ["GIF89a", "a GIF picture"],
  ["%PDF", "a PDF document"],
  ["%!PS", "a PostScript document"],
  ["8BPS", "a Photoshop document"],
  ["PK\x03\x04", "a zip archive or an office document"],
  ["PK\x05\x06", "a zip archive or an office document"],
  ["\xd0\xcf\x11\xe0", "an office document or a microscope archive"],
  ["\0\0\x01\0", "an icon"],
  ["\xff\x4f\xff\x51", "a JPEG 2000 picture"],
  ["\0\0\0\x0cjP  ", "a JPEG 2000 picture"],
  ["\xff\x0a", "a JPEG XL picture"],
  ["\0\0\0\x0cJXL ", "a JPEG XL picture"],
  ["v/1\x01", "a floating-point picture (EXR)"],
  ["RIFF....AVI ", "a film"],
  ["RIFF....WAVE", "a sound"],
];

const NEXT: readonly (readonly [part: string, next: string])[] = [
  ["zip archive", "Unpack it first, then add the photographs in it."],
  ["office document", "Save the photograph in it as a file of its own and add that."],
  ["camera raw", "Develop it to JPEG, PNG or TIFF and add that file."],
  ["HEIC", "Set the camera to JPEG, or save it as JPEG and add that file."],
];

const starts = (head: string, pattern: string) =>
  head.length >= pattern.length && [...pattern].every((c, i) => (c === "." && i < 8) || head[i] === c);

/**
 * Says by the first bytes what a file is; its name is not asked, because names lie.
 * @throws PictureError not-a-picture, unsupported-kind.
 */
export function sniff(firstBytes: Uint8Array): PictureKind {
  const head = latin(firstBytes.subarray(0, 512));
  const refused = REFUSED.find(([pattern]) => starts(head, pattern));
  if (refused) throw refuse(refused[1]);
  const read = READ.find(([pattern]) => starts(head, pattern));
  if (read) return read[1];
  const text = head
    .replace(/^\xef\xbb\xbf/, "")
    .trimStart()
    .toLowerCase();
  if (/^(<\?xml[\s\S]*)?(<!--[\s\S]*-->\s*)?(<!doctype svg|<svg)/.test(text) || text.includes("<svg")) {
    throw refuse("an SVG drawing");
  }
  if (/^<(!doctype html|html|head|body)/.test(text)) throw refuse("a web page");
  throw new PictureError("not-a-picture", "This file is not a photograph.");
}

function refuse(name: string): PictureError {
  return new PictureError(
    "unsupported-kind",
    `This is ${name}, not a photograph that can be read.`,
    NEXT.find(([part]) => name.includes(part))?.[1],
  );
}

const WALK: Readonly<
  Record<PictureKind, (reader: ByteReader, depth: WalkDepth, page: number) => Promise<PictureHeader>>
> = {
  jpeg: readJpegHeader,
  png: readPngHeader,
  webp: readWebpHeader,
  bmp: readBmpHeader,
  tiff: readTiffHeader,
};

/**
 * Reads what a file says of itself, within limits and without decoding a pixel.
 * @param page – from 0; kinds other than TIFF have one page whatever is asked.
 * @throws PictureError every code but timed-out, decoder-failed and cancelled.
 */
export async function readPictureHeader(
  reader: ByteReader,
  depth: WalkDepth = "whole",
  page = 0,
): Promise<PictureHeader> {
  checkBytes(reader.size);
  const kind = sniff(await reader.read(0, 512));
  return WALK[kind](reader, depth, page);
}
