import { stripJpeg } from "./jpeg.ts";
import { stripPng } from "./png.ts";
import { blankPosition, hasPosition } from "./tiff-position.ts";
import { stripWebp } from "./webp.ts";

/** What to take out of a file: where it was taken, or everything that is not needed to show it. */
export type StripWhat = "position" | "all";

export interface Stripped {
  /** The same array when nothing had to go. The picture data itself is never touched. */
  readonly bytes: Uint8Array<ArrayBuffer>;
  /** What was taken out, in words. */
  readonly removed: readonly string[];
}

/**
 * Takes data about the place, or all data but the picture, out of a photograph without decoding it.
 *
 * @returns null when the kind of file is none that can be cleaned this way (draw it anew instead).
 */
export function stripped(bytes: Uint8Array<ArrayBuffer>, what: StripWhat): Stripped | null {
  const starts = (...signs: number[]) => signs.every((sign, i) => bytes[i] === sign);
  if (starts(0xff, 0xd8, 0xff)) return stripJpeg(bytes, what);
  if (starts(0x89, 0x50, 0x4e, 0x47)) return stripPng(bytes, what);
  if (starts(0x52, 0x49, 0x46, 0x46)) return stripWebp(bytes, what);
  if (starts(0x42, 0x4d)) return { bytes, removed: [] };
  if (starts(0x49, 0x49) || starts(0x4d, 0x4d)) {
    if (what === "all" || (bytes[2] ?? 0) + (bytes[3] ?? 0) !== 42) return null;
    if (!hasPosition(bytes)) return { bytes, removed: [] };
    const clean = bytes.slice();
    return blankPosition(clean) ? { bytes: clean, removed: ["position"] } : null;
  }
  return null;
}

/** Whether a photograph says where it was taken. null = cannot be told for this kind of file. */
export function saysPosition(bytes: Uint8Array<ArrayBuffer>): boolean | null {
  const clean = stripped(bytes, "position");
  return clean === null ? null : clean.bytes !== bytes;
}
