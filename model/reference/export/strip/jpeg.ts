import type { Stripped, StripWhat } from "./strip.ts";
import { blankPosition, hasPosition, speaksOfPosition } from "./tiff-position.ts";

const SOS = 0xda;
const APP0 = 0xe0;
const APP1 = 0xe1;
const APP2 = 0xe2;
const APP13 = 0xed;
const APP14 = 0xee;
const COM = 0xfe;

const latin = (bytes: Uint8Array, length: number): string => String.fromCharCode(...bytes.subarray(0, length));

/**
 * Takes segments out of a JPEG, or blanks the position inside its Exif segment. From the first scan on the file stays
 * as it is, up to its end-of-image marker: what cameras hang on behind it goes when everything goes.
 *
 * @source ITU-T T.81 annex B; CIPA DC-008 (Exif), 4.7; ISO 16684-1 (XMP in APP1); Adobe APP13 and APP14, ICC in APP2.
 */
export function stripJpeg(bytes: Uint8Array<ArrayBuffer>, what: StripWhat): Stripped | null {
  const kept: Uint8Array[] = [bytes.subarray(0, 2)];
  const removed: string[] = [];
  let changed = false;
  let at = 2;
  for (;;) {
    if (at + 4 > bytes.length || bytes[at] !== 0xff) return null;
    const marker = bytes[at + 1]!;
    if (marker === 0xff) {
      at++;
      continue;
    }
    if (marker === SOS) break;
    const length = (bytes[at + 2]! << 8) | bytes[at + 3]!;
    const end = at + 2 + length;
    if (length < 2 || end > bytes.length) return null;
    const segment = bytes.subarray(at, end);
    const fate = fateOf(marker, segment, what);
    if (fate.kept !== null) kept.push(fate.kept);
    if (fate.removed !== null) removed.push(fate.removed);
    changed ||= fate.kept !== segment;
    at = end;
  }
  const tail = what === "all" ? endOfPicture(bytes, at) : bytes.length;
  if (tail < bytes.length) {
    removed.push("data behind the picture");
    changed = true;
  }
  if (!changed) return { bytes, removed };
  kept.push(bytes.subarray(at, tail));
  return { bytes: joined(kept), removed };
}

interface Fate {
  readonly kept: Uint8Array | null;
  readonly removed: string | null;
}

function fateOf(marker: number, segment: Uint8Array, what: StripWhat): Fate {
  const body = segment.subarray(4);
  const keep: Fate = { kept: segment, removed: null };
  const drop = (name: string): Fate => ({ kept: null, removed: name });
  if (marker === APP1) {
    if (latin(body, 6) === "Exif\0\0") {
      if (what === "all") return drop("camera data");
      if (!hasPosition(body.subarray(6))) return keep;
      const clean = segment.slice();
      return blankPosition(clean.subarray(10)) ? { kept: clean, removed: "position" } : drop("camera data");
    }
    return what === "all" || speaksOfPosition(body) ? drop("XMP data") : keep;
  }
  if (marker === APP13) return what === "all" || saysPlaceInIptc(body) ? drop("IPTC data") : keep;
  if (what === "position") return keep;
  if (marker === COM) return drop("comment");
  if (marker === APP0 && latin(body, 5) === "JFXX\0") return drop("small copy");
  if (marker === APP2 && latin(body, 12) !== "ICC_PROFILE\0") return drop("more pictures");
  const other = marker > APP2 && marker < 0xf0 && marker !== APP14;
  return other ? drop(`application data ${marker - APP0}`) : keep;
}

/** City, sublocation, state, country of IPTC-IIM 4.2, 2:90, 2:92, 2:95, 2:101. */
function saysPlaceInIptc(body: Uint8Array): boolean {
  return body.some(
    (byte, i) => byte === 0x1c && body[i + 1] === 2 && [90, 92, 95, 100, 101].includes(body[i + 2] ?? 0),
  );
}

/** Place behind the end-of-image marker that ends the scans beginning at `from`; the end of the file when there is none. */
function endOfPicture(bytes: Uint8Array, from: number): number {
  for (let i = from; i + 1 < bytes.length; i++) {
    if (bytes[i] !== 0xff) continue;
    const marker = bytes[i + 1]!;
    if (marker === 0xd9) return i + 2;
    // Stuffed zeros, restarts and fill bytes have no length; tables and further scans do.
    if (marker === 0 || marker === 0xff || (marker >= 0xd0 && marker <= 0xd7)) continue;
    i += 1 + ((bytes[i + 2]! << 8) | bytes[i + 3]!);
  }
  return bytes.length;
}

export function joined(parts: readonly Uint8Array[]): Uint8Array<ArrayBuffer> {
  const whole = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}
