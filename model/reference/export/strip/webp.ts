import { joined } from "./jpeg.ts";
import type { Stripped, StripWhat } from "./strip.ts";
import { hasPosition, speaksOfPosition } from "./tiff-position.ts";

const EXIF_FLAG = 0x08;
const XMP_FLAG = 0x04;

/** Takes the Exif and XMP chunks out of a WebP. @source WebP container specification (Google, RFC 9649). */
export function stripWebp(bytes: Uint8Array<ArrayBuffer>, what: StripWhat): Stripped | null {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const kept: Uint8Array[] = [];
  const removed: string[] = [];
  let flags = 0;
  for (let at = 12; at + 8 <= bytes.length;) {
    const name = String.fromCharCode(...bytes.subarray(at, at + 4));
    const length = view.getUint32(at + 4, true);
    const end = Math.min(bytes.length, at + 8 + length + (length & 1));
    if (at + 8 + length > bytes.length) return null;
    const body = bytes.subarray(at + 8, at + 8 + length);
    const exif = name === "EXIF" && (what === "all" || hasPosition(withoutName(body)));
    const xmp = name === "XMP " && (what === "all" || speaksOfPosition(body));
    if (exif) flags |= EXIF_FLAG;
    if (xmp) flags |= XMP_FLAG;
    if (exif || xmp) removed.push(exif ? "camera data" : "XMP data");
    else kept.push(bytes.slice(at, end));
    at = end;
  }
  if (removed.length === 0) return { bytes, removed };
  const first = kept[0];
  if (first !== undefined && String.fromCharCode(...first.subarray(0, 4)) === "VP8X") first[8]! &= ~flags;
  const whole = joined([bytes.slice(0, 12), ...kept]);
  new DataView(whole.buffer).setUint32(4, whole.length - 8, true);
  return { bytes: whole, removed };
}

/** Some writers put the name of the JPEG segment in front. */
const withoutName = (body: Uint8Array): Uint8Array =>
  String.fromCharCode(...body.subarray(0, 4)) === "Exif" ? body.subarray(6) : body;
