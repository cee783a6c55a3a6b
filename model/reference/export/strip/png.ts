import { joined } from "./jpeg.ts";
import type { Stripped, StripWhat } from "./strip.ts";
import { hasPosition, speaksOfPosition } from "./tiff-position.ts";

const TEXTS = ["tEXt", "zTXt", "iTXt"];

/**
 * Takes chunks out of a PNG. A text chunk that is packed or hides Exif or XMP cannot be looked into and goes with the
 * position.
 *
 * @source PNG (W3C, third edition), 5 and 11.3.
 */
export function stripPng(bytes: Uint8Array<ArrayBuffer>, what: StripWhat): Stripped | null {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const kept: Uint8Array[] = [bytes.subarray(0, 8)];
  const removed: string[] = [];
  let at = 8;
  for (;;) {
    if (at + 12 > bytes.length) return null;
    const length = view.getUint32(at);
    const name = String.fromCharCode(...bytes.subarray(at + 4, at + 8));
    const end = at + 12 + length;
    if (end > bytes.length) return null;
    const body = bytes.subarray(at + 8, at + 8 + length);
    const said = whyOut(name, body, what);
    if (said === null) kept.push(bytes.subarray(at, end));
    else removed.push(said);
    at = end;
    if (name === "IEND") break;
  }
  if (at < bytes.length && what === "all") removed.push("data behind the picture");
  else if (at < bytes.length) kept.push(bytes.subarray(at));
  return removed.length === 0 ? { bytes, removed } : { bytes: joined(kept), removed };
}

/** null = the chunk stays. */
function whyOut(name: string, body: Uint8Array, what: StripWhat): string | null {
  if (name === "eXIf") return what === "all" || hasPosition(body) ? "camera data" : null;
  if (name === "tIME") return what === "all" ? "time of change" : null;
  if (!TEXTS.includes(name)) return null;
  if (what === "all") return "text";
  const zero = body.indexOf(0);
  const keyword = String.fromCharCode(...body.subarray(0, Math.min(79, zero < 0 ? 0 : zero)));
  const packed = name === "zTXt" || (name === "iTXt" && body[zero + 1] === 1);
  const hides = /^(Raw profile type|XML:com\.adobe\.xmp)/i.test(keyword);
  return (packed && hides) || /^Raw profile type/i.test(keyword) || speaksOfPosition(body) ? "text" : null;
}
