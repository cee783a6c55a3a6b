import type { ByteReader } from "./byte-reader.ts";
import { latin, readerWithin } from "./byte-reader.ts";
import type { PictureHeader, StatedDensity } from "./header.ts";
import { PictureError } from "./picture-error.ts";
import { resolutionHint, type ResolutionHint } from "./resolution-hint.ts";
import type { TiffDirectory, TiffStream } from "./tiff-directory.ts";
import { bytesOf, numbersOf, openTiff, readDirectory } from "./tiff-directory.ts";

/** Tag numbers. @source CIPA DC-008-2019 (Exif 2.32), tables 3–8. */
const TAG = {
  make: 0x010f,
  model: 0x0110,
  orientation: 0x0112,
  xResolution: 0x011a,
  yResolution: 0x011b,
  resolutionUnit: 0x0128,
  changed: 0x0132,
  exif: 0x8769,
  taken: 0x9003,
  digitised: 0x9004,
  offsetChanged: 0x9010,
  offsetTaken: 0x9011,
  offsetDigitised: 0x9012,
  subSecChanged: 0x9290,
  subSecTaken: 0x9291,
  subSecDigitised: 0x9292,
} as const;
const TEXT_LENGTH = 80;

export interface CameraData {
  /** 1–8, 1 when not stated. */
  readonly orientation: number;
  /** As the camera wrote it, "YYYY-MM-DDTHH:MM:SS[.fff][±HH:MM]"; null = none. */
  readonly capturedAt: string | null;
  readonly make: string | null;
  readonly model: string | null;
  readonly hint: ResolutionHint | null;
}

/**
 * Reads what the camera wrote beside the picture. Damaged camera data never cost the photograph: what cannot be read
 * is absent. Clock times stay text, because a time without an offset is in no known time zone.
 */
export async function readCameraData(reader: ByteReader, header: PictureHeader): Promise<CameraData> {
  const main = header.exif ? await tolerant(() => openMain(readerWithin(reader, header.exif ?? none))) : null;
  if (!main) {
    return { orientation: 1, capturedAt: null, make: null, model: null, hint: resolutionHint(header.density) };
  }
  const exif = await tolerant(() => openExif(main.stream, main.directory));
  const find = (tag: number) => textAt(main.stream, exif?.entries.get(tag) ? exif : main.directory, tag);
  const times = [
    [TAG.taken, TAG.subSecTaken, TAG.offsetTaken],
    [TAG.digitised, TAG.subSecDigitised, TAG.offsetDigitised],
    [TAG.changed, TAG.subSecChanged, TAG.offsetChanged],
  ] as const;
  let capturedAt: string | null = null;
  for (const [time, fraction, offset] of times) {
    capturedAt ??= captureTime(await find(time), await find(fraction), await find(offset));
  }
  // Each page of a TIFF has an orientation of its own; time and camera stand on the first.
  const at = header.pageAt ?? main.stream.first;
  const page = at === main.stream.first ? main.directory : await tolerant(() => readDirectory(main.stream, at));
  const orientation = page ? await numberAt(main.stream, page, TAG.orientation) : 1;
  return {
    orientation: Number.isInteger(orientation) && orientation >= 1 && orientation <= 8 ? orientation : 1,
    capturedAt,
    make: await textAt(main.stream, main.directory, TAG.make),
    model: await textAt(main.stream, main.directory, TAG.model),
    hint: resolutionHint(header.density) ?? resolutionHint(await densityAt(main.stream, main.directory)),
  };
}

const none = { offset: 0, length: 0 };

/** Only a refusal counts as "cannot be read"; any other error is a fault of ours and shows. */
async function tolerant<T>(work: () => Promise<T>): Promise<T | null> {
  try {
    return await work();
  } catch (error) {
    if (error instanceof PictureError) return null;
    throw error;
  }
}

async function openMain(reader: ByteReader): Promise<{ stream: TiffStream; directory: TiffDirectory } | null> {
  const stream = await openTiff(reader);
  return stream && { stream, directory: await readDirectory(stream, stream.first) };
}

async function openExif(stream: TiffStream, main: TiffDirectory): Promise<TiffDirectory | null> {
  const entry = main.entries.get(TAG.exif);
  if (!entry) return null;
  const [offset] = await numbersOf(stream, entry, 1);
  return offset === undefined ? null : readDirectory(stream, offset);
}

async function numberAt(stream: TiffStream, directory: TiffDirectory, tag: number): Promise<number> {
  const entry = directory.entries.get(tag);
  // Text in a number field is no number.
  if (!entry || entry.type === 2 || entry.type === 7) return NaN;
  return (await tolerant(() => numbersOf(stream, entry, 16)))?.[0] ?? NaN;
}

async function textAt(stream: TiffStream, directory: TiffDirectory, tag: number): Promise<string | null> {
  const entry = directory.entries.get(tag);
  if (entry?.type !== 2) return null;
  const bytes = await tolerant(() => bytesOf(stream, entry, 4_096));
  return bytes && plainText(latin(bytes));
}

/** @returns the text up to its first NUL without control characters, at most 80 characters; null when empty. */
export function plainText(raw: string): string | null {
  const upTo = raw.split("\0", 1)[0] ?? "";
  const text = [...upTo].filter((c) => c >= " " && !(c >= "\x7f" && c <= "\x9f")).join("");
  return text.trim().slice(0, TEXT_LENGTH).trim() || null;
}

/** @returns the time in ISO 8601 as far as it is stated, or null when it is no possible time. */
export function captureTime(time: string | null, fraction: string | null, offset: string | null): string | null {
  const match = /^(\d{4})[:-](\d{2})[:-](\d{2})[ T](\d{2}):(\d{2}):(\d{2})/.exec(time ?? "");
  if (!match) return null;
  const [year, month, day, hour, minute, second] = match.slice(1).map(Number) as [
    number,
    number,
    number,
    number,
    number,
    number,
  ];
  if (year < 1970 || month < 1 || month > 12 || hour > 23 || minute > 59 || second > 59) return null;
  if (day < 1 || day > new Date(Date.UTC(year, month, 0)).getUTCDate()) return null;
  const clock = `${match.slice(1, 4).join("-")}T${match.slice(4, 7).join(":")}`;
  const digits = /^\d{1,9}/.exec(fraction ?? "")?.[0].replace(/0+$/, "") ?? "";
  const zone = /^(Z|[+-](0\d|1[0-4]):[0-5]\d)$/.exec(offset ?? "")?.[0] ?? "";
  return clock + (digits ? `.${digits}` : "") + zone;
}

async function densityAt(stream: TiffStream, directory: TiffDirectory): Promise<StatedDensity | null> {
  const unit = await numberAt(stream, directory, TAG.resolutionUnit);
  if (unit !== 2 && unit !== 3) return null;
  return {
    x: await numberAt(stream, directory, TAG.xResolution),
    y: await numberAt(stream, directory, TAG.yResolution),
    unit: unit === 2 ? "inch" : "cm",
    from: "EXIF resolution",
  };
}
