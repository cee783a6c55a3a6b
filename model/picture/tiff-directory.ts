import type { ByteReader } from "./byte-reader.ts";
import { viewOf } from "./byte-reader.ts";
import { PictureError } from "./picture-error.ts";

/** Byte order and pointer size of a TIFF-structured stream: a TIFF file, or the camera data inside another file. */
export interface TiffStream {
  readonly reader: ByteReader;
  readonly littleEndian: boolean;
  readonly big: boolean;
  readonly first: number;
}

export interface TiffEntry {
  readonly type: number;
  readonly count: number;
  /** Where its values lie, bytes from the start of the stream. */
  readonly at: number;
}

export interface TiffDirectory {
  readonly entries: ReadonlyMap<number, TiffEntry>;
  /** Offset of the next directory, 0 = none. */
  readonly next: number;
}

/** Bytes per value by type. @source TIFF 6.0 (1992), section 2; BigTIFF types 16–18 from memory. */
const TYPE_BYTES: Readonly<Record<number, number>> = {
  1: 1,
  2: 1,
  3: 2,
  4: 4,
  5: 8,
  6: 1,
  7: 1,
  8: 2,
  9: 4,
  10: 8,
  11: 4,
  12: 8,
  13: 4,
  16: 8,
  17: 8,
  18: 8,
};
/** No real directory comes near; a hostile one could ask for 4 thousand million. */
const MAX_ENTRIES = 4_096;

const broken = (what: string) => new PictureError("damaged", `The TIFF is damaged: ${what}.`);
const cut = () => new PictureError("truncated", "The file is cut off: something it points to is missing.");

/**
 * @returns the head of a TIFF-structured stream, or null when the bytes are not one.
 * @source TIFF 6.0 (1992), section 2.
 */
export async function openTiff(reader: ByteReader): Promise<TiffStream | null> {
  const head = await reader.read(0, 16);
  if (head.length < 8) return null;
  const view = viewOf(head);
  const order = view.getUint16(0);
  if (order !== 0x4949 && order !== 0x4d4d) return null;
  const littleEndian = order === 0x4949;
  const version = view.getUint16(2, littleEndian);
  if (version === 42) return { reader, littleEndian, big: false, first: view.getUint32(4, littleEndian) };
  if (version !== 43 || head.length < 16 || view.getUint16(4, littleEndian) !== 8) return null;
  return { reader, littleEndian, big: true, first: wide(view, 8, littleEndian) };
}

/**
 * Reads one directory. Entries of unknown type are left out.
 * @throws PictureError truncated, damaged.
 */
export async function readDirectory(stream: TiffStream, offset: number): Promise<TiffDirectory> {
  const { reader, littleEndian, big } = stream;
  const countBytes = big ? 8 : 2;
  const head = await reader.read(offset, countBytes);
  if (offset < 8 || head.length < countBytes) throw cut();
  const count = big ? wide(viewOf(head), 0, littleEndian) : viewOf(head).getUint16(0, littleEndian);
  if (count > MAX_ENTRIES) throw broken("a directory with too many entries");
  if (count === 0) throw broken("an empty directory");
  const entryBytes = big ? 20 : 12;
  const body = await reader.read(offset + countBytes, count * entryBytes + (big ? 8 : 4));
  if (body.length < count * entryBytes) throw cut();
  const view = viewOf(body);
  const entries = new Map<number, TiffEntry>();
  for (let i = 0; i < count; i++) {
    const at = i * entryBytes;
    const tag = view.getUint16(at, littleEndian);
    const type = view.getUint16(at + 2, littleEndian);
    const values = big ? wide(view, at + 4, littleEndian) : view.getUint32(at + 4, littleEndian);
    const size = TYPE_BYTES[type];
    if (size === undefined || entries.has(tag)) continue;
    const fieldAt = at + (big ? 12 : 8);
    const room = big ? 8 : 4;
    const inside = values * size <= room;
    const pointed = big ? wide(view, fieldAt, littleEndian) : view.getUint32(fieldAt, littleEndian);
    entries.set(tag, { type, count: values, at: inside ? offset + countBytes + fieldAt : pointed });
  }
  const end = count * entryBytes;
  // A file may end right after its only directory; then there is no next one.
  const has = body.length >= end + (big ? 8 : 4);
  const next = !has ? 0 : big ? wide(view, end, littleEndian) : view.getUint32(end, littleEndian);
  return { entries, next };
}

/**
 * Reads the numbers of an entry; rationals become quotients (0/0 becomes NaN).
 * @param most – values allowed; more is refused before anything is read.
 * @throws PictureError truncated, damaged.
 */
export async function numbersOf(stream: TiffStream, entry: TiffEntry, most: number): Promise<number[]> {
  if (entry.count > most) throw broken("a list is too long");
  const size = TYPE_BYTES[entry.type] ?? 1;
  const bytes = await stream.reader.read(entry.at, entry.count * size);
  if (bytes.length < entry.count * size) throw cut();
  const view = viewOf(bytes);
  return Array.from({ length: entry.count }, (_, i) => oneNumber(view, i * size, entry.type, stream.littleEndian));
}

/**
 * Reads the bytes of an entry, whatever its type says.
 * @throws PictureError truncated, damaged.
 */
export async function bytesOf(stream: TiffStream, entry: TiffEntry, most: number): Promise<Uint8Array> {
  const length = entry.count * (TYPE_BYTES[entry.type] ?? 1);
  if (length > most) throw broken("a block is too long");
  const bytes = await stream.reader.read(entry.at, length);
  if (bytes.length < length) throw cut();
  return bytes;
}

function oneNumber(view: DataView, at: number, type: number, little: boolean): number {
  switch (type) {
    case 3:
      return view.getUint16(at, little);
    case 4:
    case 13:
      return view.getUint32(at, little);
    case 5:
      return view.getUint32(at, little) / view.getUint32(at + 4, little);
    case 6:
      return view.getInt8(at);
    case 8:
      return view.getInt16(at, little);
    case 9:
      return view.getInt32(at, little);
    case 10:
      return view.getInt32(at, little) / view.getInt32(at + 4, little);
    case 11:
      return view.getFloat32(at, little);
    case 12:
      return view.getFloat64(at, little);
    case 16:
    case 18:
      return wide(view, at, little);
    case 17:
      return Number(view.getBigInt64(at, little));
    default:
      return view.getUint8(at);
  }
}

function wide(view: DataView, at: number, little: boolean): number {
  // Above 2^53 it is no offset of any file; the loss of digits then changes nothing.
  return Number(view.getBigUint64(at, little));
}
