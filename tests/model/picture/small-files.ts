import { deflateSync } from "node:zlib";
import { crc32 } from "../../../model/picture/crc32.ts";

export type Part = number | string | Uint8Array | readonly number[];

/** Bytes of numbers, texts (one byte a character) and byte arrays in a row. */
export function bytes(...parts: Part[]): Uint8Array {
  return Uint8Array.from(
    parts.flatMap((part) => {
      if (typeof part === "number") return [part];
      if (typeof part === "string") return [...part].map((c) => c.charCodeAt(0));
      return [...part];
    }),
  );
}

export const be16 = (n: number) => [(n >> 8) & 255, n & 255];
export const be32 = (n: number) => [...be16(n >>> 16), ...be16(n & 0xffff)];
export const le16 = (n: number) => be16(n).reverse();
export const le24 = (n: number) => [...le16(n & 0xffff), (n >> 16) & 255];
export const le32 = (n: number) => be32(n).reverse();

export const segment = (marker: number, ...body: Part[]) => {
  const content = bytes(...body);
  return bytes(0xff, marker, be16(content.length + 2), content);
};

export interface JpegShape {
  readonly widthPx?: number;
  readonly heightPx?: number;
  readonly frame?: number;
  readonly precision?: number;
  readonly components?: number;
  readonly before?: Uint8Array;
  /** Restart interval, 0 = none. */
  readonly interval?: number;
  readonly scan?: Uint8Array;
  readonly end?: Uint8Array;
}

/** A JPEG skeleton: right segments, made-up scan. Enough for a walker, not for a decoder. */
export function jpeg(shape: JpegShape = {}): Uint8Array {
  const { widthPx = 32, heightPx = 16, frame = 0xc0, precision = 8, components = 1, interval = 0 } = shape;
  const ids = Array.from({ length: components }, (_, i) => i + 1);
  return bytes(
    [0xff, 0xd8],
    shape.before ?? [],
    segment(
      frame,
      precision,
      be16(heightPx),
      be16(widthPx),
      components,
      ids.flatMap((id) => [id, 0x11, 0]),
    ),
    interval > 0 ? segment(0xdd, be16(interval)) : [],
    segment(
      0xda,
      components,
      ids.flatMap((id) => [id, 0]),
      [0, 63, 0],
    ),
    shape.scan ?? [1, 2, 0xff, 0, 3],
    shape.end ?? [0xff, 0xd9],
  );
}

export function chunk(type: string, content: Uint8Array): Uint8Array {
  const named = bytes(type, content);
  return bytes(be32(content.length), named, be32(crc32(named)));
}

export interface PngShape {
  readonly widthPx?: number;
  readonly heightPx?: number;
  readonly bitDepth?: number;
  readonly colourType?: number;
  readonly interlace?: number;
  readonly raw?: Uint8Array;
  readonly extra?: Uint8Array;
  readonly after?: Uint8Array;
}

export const PNG_START = bytes(0x89, "PNG\r\n\x1a\n");

export function png(shape: PngShape = {}): Uint8Array {
  const { widthPx = 8, heightPx = 4, bitDepth = 8, colourType = 0, interlace = 0 } = shape;
  const raw = shape.raw ?? new Uint8Array(heightPx * (1 + widthPx));
  return bytes(
    PNG_START,
    chunk("IHDR", bytes(be32(widthPx), be32(heightPx), bitDepth, colourType, 0, 0, interlace)),
    shape.extra ?? [],
    chunk("IDAT", deflateSync(raw)),
    shape.after ?? [],
    chunk("IEND", bytes()),
  );
}

export const riff = (...chunks: readonly Uint8Array[]) => {
  const body = bytes("WEBP", ...chunks);
  return bytes("RIFF", le32(body.length), body);
};
export const riffChunk = (type: string, content: Uint8Array) =>
  bytes(type, le32(content.length), content, content.length % 2 === 1 ? 0 : []);
export const vp8 = (widthPx: number, heightPx: number, firstPart = 4) =>
  riffChunk("VP8 ", bytes(le24(firstPart << 5), [0x9d, 0x01, 0x2a], le16(widthPx), le16(heightPx), [0, 0, 0, 0]));
export const vp8l = (widthPx: number, heightPx: number) =>
  riffChunk("VP8L", bytes(0x2f, le32((widthPx - 1) | ((heightPx - 1) << 14)), 0));
export const vp8x = (widthPx: number, heightPx: number, flags: number) =>
  riffChunk("VP8X", bytes(flags, 0, 0, 0, le24(widthPx - 1), le24(heightPx - 1)));

export interface BmpShape {
  readonly widthPx?: number;
  readonly heightPx?: number;
  readonly bits?: number;
  readonly compression?: number;
  readonly headerSize?: number;
  readonly imageSize?: number;
  readonly perMetre?: number;
}

export function bmp(shape: BmpShape = {}): Uint8Array {
  const { widthPx = 8, heightPx = 4, bits = 24, compression = 0, headerSize = 40, imageSize = 0, perMetre = 0 } = shape;
  const rows = new Uint8Array(4 * Math.ceil((widthPx * bits) / 32) * Math.abs(heightPx));
  const start = 14 + headerSize;
  const info =
    headerSize === 12
      ? bytes(le16(widthPx), le16(heightPx), le16(1), le16(bits))
      : bytes(
          ...[le32(widthPx), le32(heightPx), le16(1), le16(bits), le32(compression), le32(imageSize)],
          ...[le32(perMetre), le32(perMetre), le32(0), le32(0), new Uint8Array(Math.max(0, headerSize - 40))],
        );
  return bytes("BM", le32(start + rows.length), le32(0), le32(start), le32(headerSize), info, rows);
}

/** Type 2 text, 3 short, 4 long, 5 rational (numerator, denominator in turn), 7 undefined. */
export type TiffField = readonly [tag: number, type: number, values: readonly number[]];
const FIELD_BYTES: Readonly<Record<number, number>> = { 1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 7: 1, 16: 8 };

export interface TiffShape {
  readonly little?: boolean;
  readonly big?: boolean;
  /** The blocks of pixels; their places and lengths go into these tags. */
  readonly blocks?: readonly Uint8Array[];
  readonly blockTags?: readonly [offsets: number, lengths: number];
  /** Offset of the next directory; a function of this directory's own offset. */
  readonly next?: (own: number) => number;
  /** A directory inside, pointed to by this tag. */
  readonly inner?: { readonly tag: number; readonly fields: readonly TiffField[] };
}

/** A tiny TIFF writer: blocks first, then the values that don't fit into their entry, then the directory. */
export function tiff(fields: readonly TiffField[], shape: TiffShape = {}): Uint8Array {
  const { little = true, big = false, blocks = [], blockTags = [273, 279], next = () => 0, inner } = shape;
  const out: number[] = [];
  const number = (value: number, size: number): number[] => {
    const digits = Array.from({ length: size }, (_, i) => Math.floor(value / 256 ** i) % 256);
    return little ? digits : digits.reverse();
  };
  out.push(...(little ? [0x49, 0x49] : [0x4d, 0x4d]), ...number(big ? 43 : 42, 2));
  if (big) out.push(...number(8, 2), ...number(0, 2));
  const firstAt = out.length;
  const word = big ? 8 : 4;
  out.push(...number(0, word));
  const places = blocks.map((block) => {
    const at = out.length;
    out.push(...block);
    if (out.length % 2 === 1) out.push(0);
    return at;
  });
  const directory = (list: readonly TiffField[], after: (own: number) => number): number => {
    const entries = [...list]
      .sort((a, b) => a[0] - b[0])
      .map(([tag, type, values]) => {
        const size = FIELD_BYTES[type] ?? 1;
        const count = type === 5 ? values.length / 2 : values.length;
        const content = values.flatMap((value) => number(value, type === 5 ? 4 : size));
        const head = [...number(tag, 2), ...number(type, 2), ...number(count, word)];
        if (content.length <= word) return [...head, ...content, ...new Array<number>(word - content.length).fill(0)];
        const at = out.length;
        out.push(...content);
        if (out.length % 2 === 1) out.push(0);
        return [...head, ...number(at, word)];
      });
    const own = out.length;
    out.push(...number(entries.length, big ? 8 : 2), ...entries.flat(), ...number(after(own), word));
    return own;
  };
  const all = [...fields];
  if (blocks.length > 0) {
    all.push([blockTags[0], 4, places], [blockTags[1], 4, blocks.map((block) => block.length)]);
  }
  if (inner) all.push([inner.tag, 4, [directory(inner.fields, () => 0)]]);
  const own = directory(all, next);
  out.splice(firstAt, word, ...number(own, word));
  return Uint8Array.from(out);
}

/** The entries every page needs. */
export const page = (
  widthPx: number,
  heightPx: number,
  { bits = 8, samples = 1, photometric = 1, compression = 1, more = [] as readonly TiffField[] } = {},
): TiffField[] => [
  [256, 4, [widthPx]],
  [257, 4, [heightPx]],
  [258, 3, new Array<number>(samples).fill(bits)],
  [259, 3, [compression]],
  [262, 3, [photometric]],
  [277, 3, [samples]],
  ...more,
];
