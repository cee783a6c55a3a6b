import { readFile, stat } from "node:fs/promises";
import sharp, { type Sharp } from "sharp";
import { readerOf } from "../../model/picture/byte-reader.ts";
import { readCameraData } from "../../model/picture/camera-data.ts";
import { chooseTone } from "../../model/picture/choose-tone.ts";
import type { DeepTone } from "../../model/picture/deep-tone.ts";
import type { PictureHeader } from "../../model/picture/header.ts";
import { checkBytes } from "../../model/picture/limits.ts";
import { PictureError } from "../../model/picture/picture-error.ts";
import type { Raster } from "../../model/picture/pixels/grey.ts";
import type { ShownAs } from "../../model/picture/shown-as.ts";
import { showDeep } from "../../model/picture/show-deep.ts";
import { readPictureHeader } from "../../model/picture/sniff.ts";
import { tiffPixels } from "../../model/picture/tiff-pixels.ts";
import { uprightSize, uprightTransform } from "../../model/picture/upright.ts";
import { inflate } from "../../web/workers/inflate.ts";
import { checkPngPixels, pngSamples } from "../../web/workers/png-check.ts";
import { tiffSamples } from "../../web/workers/tiff-decode.ts";
import { unpackZstd } from "../../web/workers/zstd.ts";

/** Pixels of a photograph on the disk, upright, and the size it has in full. */
export interface ReadPicture {
  readonly raster: Raster;
  readonly widthPx: number;
  readonly heightPx: number;
}

const FILE_FAULTS: Readonly<Record<string, string>> = {
  ENOENT: "There is no such file.",
  EACCES: "This file may not be read.",
  EISDIR: "This is a folder, not a file.",
};
const JPEG_IN_TIFF = 7;

/**
 * Reads a photograph from the disk under the same limits as the bench, made smaller to at most `maxPx`.
 *
 * @throws PictureError – every code of the bench; `not-a-picture` also where there is no file.
 */
export async function readPicture(path: string, maxPx: number): Promise<ReadPicture> {
  return readPictureBytes(await bytesOf(path), maxPx);
}

/** As `readPicture`, of bytes that are in memory already; `shown` as its record says. @throws PictureError */
export async function readPictureBytes(
  bytes: Uint8Array<ArrayBuffer>,
  maxPx: number,
  { page = 0, deepTone }: ShownAs = {},
): Promise<ReadPicture> {
  const reader = readerOf(bytes);
  const header = await readPictureHeader(reader, "whole", page);
  const { orientation } = await readCameraData(reader, header);
  const full = uprightSize(header.widthPx, header.heightPx, orientation);
  const stored = await pipeline(bytes, header, page, deepTone);
  try {
    const { data, info } = await stored
      .resize({ width: maxPx, height: maxPx, fit: "inside", withoutEnlargement: true })
      .toColourspace("srgb")
      .ensureAlpha()
      .raw()
      .toBuffer({ resolveWithObject: true });
    return { raster: turned({ widthPx: info.width, heightPx: info.height, rgba: data }, orientation), ...full };
  } catch {
    throw new PictureError("damaged", "The picture is damaged or cut off: its pixels cannot be decoded.");
  }
}

/** The pixels as the camera was held. */
function turned(stored: Raster, orientation: number): Raster {
  if (orientation === 1) return stored;
  const { widthPx, heightPx } = uprightSize(stored.widthPx, stored.heightPx, orientation);
  const [a, b, c, d, e, f] = uprightTransform(stored.widthPx, stored.heightPx, orientation);
  const from = new Uint32Array(Uint8Array.from(stored.rgba).buffer);
  const to = new Uint32Array(from.length);
  for (let y = 0, at = 0; y < stored.heightPx; y++)
    for (let x = 0; x < stored.widthPx; x++, at++) {
      const [u, v] = [x + 0.5, y + 0.5];
      to[Math.floor(b * u + d * v + f) * widthPx + Math.floor(a * u + c * v + e)] = from[at]!;
    }
  return { widthPx, heightPx, rgba: new Uint8Array(to.buffer) };
}

async function bytesOf(path: string): Promise<Uint8Array<ArrayBuffer>> {
  try {
    const { size } = await stat(path);
    checkBytes(size);
    // A plain array of its own: views of Node's buffers start anywhere, samples of many bytes may not.
    return Uint8Array.from(await readFile(path));
  } catch (error) {
    if (error instanceof PictureError) throw error;
    const code = error instanceof Error && "code" in error ? String(error.code) : "";
    throw new PictureError("not-a-picture", FILE_FAULTS[code] ?? `The file cannot be read (${code}).`);
  }
}

async function pipeline(
  bytes: Uint8Array<ArrayBuffer>,
  header: PictureHeader,
  page: number,
  tone: DeepTone | undefined,
): Promise<Sharp> {
  const { tiff, png } = header;
  const blob = new Blob([bytes]);
  const deep = header.deep ?? null;
  if (deep !== null && (tiff !== null || png !== null)) {
    const samples = tiff ? await tiffSamples(readerOf(bytes), tiff, deep) : await pngSamples(blob, png!);
    return rawPixels(showDeep(samples, tone ?? chooseTone(samples)), header);
  }
  if (tiff !== null && tiff.compression !== JPEG_IN_TIFF)
    return rawPixels(await tiffPixels(readerOf(bytes), tiff, { inflate, zstd: unpackZstd }), header);
  if (header.kind === "bmp")
    throw new PictureError("unsupported-kind", "BMP pictures are read on the bench only.", "Save it as PNG.");
  if (png !== null) await checkPngPixels(blob, png);
  return sharp(bytes, { page, failOn: "truncated", limitInputPixels: header.widthPx * header.heightPx });
}

const rawPixels = (rgba: Uint8ClampedArray, { widthPx, heightPx }: PictureHeader): Sharp =>
  sharp(rgba, { raw: { width: widthPx, height: heightPx, channels: 4 } });
