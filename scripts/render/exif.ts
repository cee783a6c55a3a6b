/** What the camera data of a rendered photograph says. */
export interface CameraWords {
  readonly description: string;
  readonly software: string;
  /** "YYYY-MM-DDTHH:MM:SS" in the mill's local time. */
  readonly taken: string;
  /** "+01:00" */
  readonly offset: string;
  readonly orientation: 1 | 3 | 6 | 8;
}

type Entry = { readonly tag: number; readonly type: 2 | 3 | 4 | 7; readonly count: number; readonly data: Uint8Array };

const ascii = (tag: number, text: string): Entry => {
  const data = new TextEncoder().encode(`${text}\0`);
  return { tag, type: 2, count: data.length, data };
};

const short = (tag: number, value: number): Entry => ({
  tag,
  type: 3,
  count: 1,
  data: Uint8Array.of(value & 255, value >> 8),
});

const long = (tag: number, value: number): Entry => ({
  tag,
  type: 4,
  count: 1,
  data: Uint8Array.of(value & 255, (value >> 8) & 255, (value >> 16) & 255, (value >> 24) & 255),
});

const raw = (tag: number, data: Uint8Array): Entry => ({ tag, type: 7, count: data.length, data });

/** One directory with its long values behind it, little-endian; offsets count from the TIFF header. */
function directory(entries: readonly Entry[], at: number): Uint8Array {
  const head = 2 + 12 * entries.length + 4;
  const extra = entries.map((e) => (e.data.length > 4 ? e.data.length + (e.data.length % 2) : 0));
  const out = new Uint8Array(head + extra.reduce((a, b) => a + b, 0));
  const view = new DataView(out.buffer);
  view.setUint16(0, entries.length, true);
  let free = head;
  entries.forEach((e, i) => {
    const p = 2 + 12 * i;
    view.setUint16(p, e.tag, true);
    view.setUint16(p + 2, e.type, true);
    view.setUint32(p + 4, e.count, true);
    if (e.data.length <= 4) out.set(e.data, p + 8);
    else {
      view.setUint32(p + 8, at + free, true);
      out.set(e.data, free);
      free += extra[i]!;
    }
  });
  return out;
}

/**
 * The camera data as a JPEG APP1 segment.
 *
 * @source Exif 2.32 (CIPA DC-008): tags 0x010E, 0x0112, 0x0131, 0x0132, 0x8769; 0x9000, 0x9003, 0x9011, 0x9286. From memory.
 */
export function exifSegment(words: CameraWords): Uint8Array {
  const time = words.taken.replaceAll("-", ":").replace("T", " ");
  const comment = new TextEncoder().encode(`ASCII\0\0\0${words.description}`);
  const first = (pointer: number): Entry[] => [
    ascii(0x010e, words.description),
    short(0x0112, words.orientation),
    ascii(0x0131, words.software),
    ascii(0x0132, time),
    long(0x8769, pointer),
  ];
  const size = directory(first(0), 8).length;
  const ifd0 = directory(first(8 + size), 8);
  const camera = directory(
    [
      raw(0x9000, new TextEncoder().encode("0232")),
      ascii(0x9003, time),
      ascii(0x9011, words.offset),
      raw(0x9286, comment),
    ],
    8 + size,
  );
  const head = new TextEncoder().encode("Exif\0\0");
  const tiff = Uint8Array.of(0x49, 0x49, 0x2a, 0, 8, 0, 0, 0);
  const length = 2 + head.length + tiff.length + ifd0.length + camera.length;
  const out = new Uint8Array(2 + length);
  out.set([0xff, 0xe1, length >> 8, length & 255]);
  let p = 4;
  for (const part of [head, tiff, ifd0, camera]) {
    out.set(part, p);
    p += part.length;
  }
  return out;
}

/** Puts a segment behind the start marker of a JPEG file (and behind its JFIF segment, when there is one). */
export function withSegment(jpeg: Uint8Array, segment: Uint8Array): Uint8Array {
  const at = jpeg[2] === 0xff && jpeg[3] === 0xe0 ? 4 + jpeg[4]! * 256 + jpeg[5]! : 2;
  const out = new Uint8Array(jpeg.length + segment.length);
  out.set(jpeg.subarray(0, at));
  out.set(segment, at);
  out.set(jpeg.subarray(at), at + segment.length);
  return out;
}
