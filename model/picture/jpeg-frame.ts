import { viewOf } from "./byte-reader.ts";
import { PictureError } from "./picture-error.ts";

export interface JpegComponent {
  readonly id: number;
  /** Sampling factors, 1–4. */
  readonly h: number;
  readonly v: number;
}

export interface JpegFrame {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly progressive: boolean;
  readonly components: readonly JpegComponent[];
}

/**
 * Reads a frame header (SOF).
 * @param marker – the second byte of the marker, C0–CF.
 * @param body – the segment after its length.
 * @throws PictureError damaged, unsupported-kind, deep-file.
 * @source ITU-T T.81 (1992), B.2.2.
 */
export function readFrame(marker: number, body: Uint8Array): JpegFrame {
  if (body.length < 6) throw new PictureError("damaged", "The JPEG is damaged: its frame header is too short.");
  if (marker > 0xc2) {
    throw new PictureError(
      "unsupported-kind",
      "This JPEG is lossless or arithmetic-coded, which browsers cannot show.",
    );
  }
  const view = viewOf(body);
  const precision = view.getUint8(0);
  if (precision > 8) {
    throw new PictureError("deep-file", `${String(precision)}-bit JPEG: browsers cannot show it.`);
  }
  const count = view.getUint8(5);
  if (precision !== 8 || ![1, 3, 4].includes(count) || body.length < 6 + 3 * count) {
    throw new PictureError("damaged", "The JPEG is damaged: its frame header is wrong.");
  }
  const components = [...Array(count).keys()].map((i) => {
    const sampling = view.getUint8(7 + 3 * i);
    return { id: view.getUint8(6 + 3 * i), h: sampling >> 4, v: sampling & 15 };
  });
  if (components.some(({ h, v }) => h < 1 || h > 4 || v < 1 || v > 4)) {
    throw new PictureError("damaged", "The JPEG is damaged: its frame header is wrong.");
  }
  return {
    heightPx: view.getUint16(1),
    widthPx: view.getUint16(3),
    progressive: marker === 0xc2,
    components,
  };
}

/**
 * How many restart markers a scan must have: fewer mean that a piece of the picture is missing.
 * @param interval – minimum coded units between restarts, 0 = none.
 * @source ITU-T T.81 (1992), A.2 (ordering) and B.2.4.4 (restart interval).
 */
export function jpegRestarts(frame: JpegFrame, scanComponents: readonly number[], interval: number): number {
  if (interval === 0) return 0;
  const hMax = Math.max(...frame.components.map((c) => c.h));
  const vMax = Math.max(...frame.components.map((c) => c.v));
  let across = Math.ceil(frame.widthPx / (8 * hMax));
  let down = Math.ceil(frame.heightPx / (8 * vMax));
  const only = scanComponents.length === 1 ? frame.components.find((c) => c.id === scanComponents[0]) : undefined;
  if (only) {
    across = Math.ceil(Math.ceil((frame.widthPx * only.h) / hMax) / 8);
    down = Math.ceil(Math.ceil((frame.heightPx * only.v) / vMax) / 8);
  }
  return Math.ceil((across * down) / interval) - 1;
}
