import { PictureError } from "./picture-error.ts";

/**
 * Limits on what is decoded. A 120-megapixel picture takes 480 MB as pixels, the most that a bench computer with
 * 4 GB can be asked to hold; above it a few bytes of header could ask for any amount (our own choice, no source).
 */
export const LIMITS = {
  minSidePx: 4,
  maxSidePx: 30_000,
  maxPixels: 120_000_000,
  maxBytes: 500_000_000,
  /** Pages walked through in one TIFF. */
  maxPages: 4_000,
  /** Deep samples held at a time, bytes: 120 megapixels of 16-bit grey, or 40 of 16-bit colours. */
  maxDeepBytes: 240_000_000,
  /** Passes of one JPEG: each is a whole pass over the picture, so many of them stall a decoder. */
  maxScans: 200,
  /** Per request to the worker; large files get `msPerMegabyte` more, because reading alone takes time. */
  decodeMs: 10_000,
  msPerMegabyte: 500,
} as const;

/**
 * Checks the size stated in a header, before anything is decoded.
 * @throws PictureError too-large, too-small, damaged (a side of 0).
 */
export function checkSides(widthPx: number, heightPx: number): void {
  if (!(widthPx > 0) || !(heightPx > 0)) {
    throw new PictureError("damaged", "The file states a picture without width or height.");
  }
  const size = `${String(widthPx)} × ${String(heightPx)} px`;
  if (widthPx > LIMITS.maxSidePx || heightPx > LIMITS.maxSidePx) {
    throw new PictureError("too-large", `The picture is ${size}; no side may exceed ${String(LIMITS.maxSidePx)} px.`);
  }
  if (widthPx * heightPx > LIMITS.maxPixels) {
    const limit = String(LIMITS.maxPixels / 1e6);
    throw new PictureError("too-large", `The picture is ${size}, more than ${limit} megapixels.`);
  }
  if (widthPx < LIMITS.minSidePx || heightPx < LIMITS.minSidePx) {
    throw new PictureError("too-small", `The picture is only ${size}.`);
  }
}

/** @throws PictureError too-large, not-a-picture (empty file). */
export function checkBytes(byteLength: number): void {
  if (byteLength === 0) throw new PictureError("not-a-picture", "The file is empty.");
  if (byteLength > LIMITS.maxBytes) {
    const size = (byteLength / 1e6).toFixed(0);
    throw new PictureError("too-large", `The file is ${size} MB, more than ${String(LIMITS.maxBytes / 1e6)} MB.`);
  }
}

/** @returns how long one request for a file of this size may take, ms. */
export function timeLimitMs(byteLength: number): number {
  return LIMITS.decodeMs + (LIMITS.msPerMegabyte * byteLength) / 1e6;
}
