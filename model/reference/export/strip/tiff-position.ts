/** Tag of IFD 0 that points at the directory of the position. @source CIPA DC-008 (Exif), 4.6.3. */
const GPS_TAG = 0x8825;
const XMP_TAG = 0x02bc;
const BYTES_OF_TYPE = [0, 1, 1, 2, 4, 8, 1, 1, 2, 4, 8, 4, 8];

interface Directory {
  readonly view: DataView;
  readonly little: boolean;
  readonly at: number;
  readonly count: number;
}

/** First directory of a TIFF structure; null when it is none or is cut off. */
function firstDirectory(tiff: Uint8Array): Directory | null {
  if (tiff.length < 14) return null;
  const view = new DataView(tiff.buffer, tiff.byteOffset, tiff.byteLength);
  const order = view.getUint16(0);
  if (order !== 0x4949 && order !== 0x4d4d) return null;
  const little = order === 0x4949;
  return directoryAt(view, little, view.getUint32(4, little));
}

function directoryAt(view: DataView, little: boolean, at: number): Directory | null {
  if (at + 2 > view.byteLength) return null;
  const count = view.getUint16(at, little);
  return at + 2 + 12 * count > view.byteLength ? null : { view, little, at, count };
}

const entriesOf = ({ at, count }: Directory): readonly number[] =>
  Array.from({ length: count }, (_, i) => at + 2 + 12 * i);

/** Directories of a file, page by page; a chain that comes back to itself ends there. */
function directories(tiff: Uint8Array): readonly Directory[] {
  const found: Directory[] = [];
  const seen = new Set<number>();
  for (let now = firstDirectory(tiff); now !== null && !seen.has(now.at) && found.length < 10_000;) {
    seen.add(now.at);
    found.push(now);
    const end = now.at + 2 + 12 * now.count;
    if (end + 4 > tiff.length) break;
    const next = now.view.getUint32(end, now.little);
    if (next === 0) break;
    now = directoryAt(now.view, now.little, next);
  }
  return found;
}

const tagged = (directory: Directory, tag: number): number | undefined =>
  entriesOf(directory).find((at) => directory.view.getUint16(at, directory.little) === tag);

/** Place of the value of an entry and its length in bytes; null when it lies outside. */
function valueOf({ view, little }: Directory, entry: number): readonly [at: number, bytes: number] | null {
  const bytes = (BYTES_OF_TYPE[view.getUint16(entry + 2, little)] ?? 0) * view.getUint32(entry + 4, little);
  const at = bytes <= 4 ? entry + 8 : view.getUint32(entry + 8, little);
  return at + bytes > view.byteLength ? null : [at, bytes];
}

/** Whether text, such as a packet of XMP, speaks of a position. */
export const speaksOfPosition = (bytes: Uint8Array): boolean => {
  let text = "";
  for (let i = 0; i < bytes.length; i += 8192) text += String.fromCharCode(...bytes.subarray(i, i + 8192));
  return /GPS|geo:(lat|long)|photoshop:City|Iptc4xmpCore:Location|Iptc4xmpExt:Location/i.test(
    text.replaceAll("\0", ""),
  );
};

/** Whether a TIFF structure – a file, or the Exif data of another – says where it was taken. */
export function hasPosition(tiff: Uint8Array): boolean {
  return directories(tiff).some((directory) => {
    if (tagged(directory, GPS_TAG) !== undefined) return true;
    const xmp = tagged(directory, XMP_TAG);
    const value = xmp === undefined ? null : valueOf(directory, xmp);
    return value !== null && speaksOfPosition(tiff.subarray(value[0], value[0] + value[1]));
  });
}

/**
 * Overwrites the position in place: every value of its directory with zeros, the directory with zeros, and the entry
 * that points at it is taken out. Nothing else moves, so all other offsets stay right.
 *
 * @returns false when the structure is too damaged to be sure that all of it is gone.
 */
export function blankPosition(tiff: Uint8Array): boolean {
  for (const directory of directories(tiff)) {
    const { view, little } = directory;
    const xmp = tagged(directory, XMP_TAG);
    const packet = xmp === undefined ? null : valueOf(directory, xmp);
    if (packet !== null && speaksOfPosition(tiff.subarray(packet[0], packet[0] + packet[1])))
      tiff.fill(0x20, packet[0], packet[0] + packet[1]);
    for (let entry = tagged(directory, GPS_TAG); entry !== undefined; entry = tagged(directory, GPS_TAG)) {
      const place = directoryAt(view, little, view.getUint32(entry + 8, little));
      if (place === null) return false;
      for (const at of entriesOf(place)) {
        const value = valueOf(place, at);
        if (value === null) return false;
        tiff.fill(0, value[0], value[0] + value[1]);
      }
      tiff.fill(0, place.at, place.at + 2 + 12 * place.count);
      takeOut(directory, entry, tiff);
    }
  }
  return !hasPosition(tiff);
}

/** Takes an entry out of its directory: those behind it and the pointer to the next directory move up. */
function takeOut({ view, little, at }: Directory, entry: number, tiff: Uint8Array): void {
  const count = view.getUint16(at, little);
  const end = Math.min(tiff.length, at + 2 + 12 * count + 4);
  tiff.copyWithin(entry, entry + 12, end);
  tiff.fill(0, end - 12, end);
  view.setUint16(at, count - 1, little);
}
