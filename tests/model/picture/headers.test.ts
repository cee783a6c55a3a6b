import { describe, expect, test } from "vitest";
import { readerOf, readerWithin } from "../../../model/picture/byte-reader.ts";
import { LIMITS, checkBytes, timeLimitMs } from "../../../model/picture/limits.ts";
import { PICTURE_ERROR_CODES, PictureError } from "../../../model/picture/picture-error.ts";
import { readPictureHeader, sniff } from "../../../model/picture/sniff.ts";
import { swapsSides, uprightSize, uprightTransform } from "../../../model/picture/upright.ts";
import {
  PNG_START,
  be16,
  be32,
  bmp,
  bytes,
  chunk,
  jpeg,
  png,
  riff,
  riffChunk,
  segment,
  vp8,
  vp8l,
  vp8x,
  type Part,
} from "./small-files.ts";

const read = (file: Uint8Array, depth?: "whole" | "limits") => readPictureHeader(readerOf(file), depth);

/** @returns the code of the refusal, or "taken". */
async function verdict(file: Uint8Array, depth?: "whole" | "limits"): Promise<string> {
  try {
    await read(file, depth);
    return "taken";
  } catch (error) {
    if (!(error instanceof PictureError)) throw error;
    expect(error.message).toMatch(/\.$/);
    expect(error.next).toMatch(/\.$/);
    return error.code;
  }
}

describe("first bytes", () => {
  test.each([
    ["GIF89a.......", "a GIF picture"],
    ["%PDF-1.7\n", "a PDF document"],
    ["\0\0\0\x18ftypheic", "a HEIC picture"],
    ["\0\0\0\x18ftypmif1", "a HEIC picture"],
    ["\0\0\0\x1cftypavif", "an AVIF picture"],
    ["\0\0\0\x18ftypcrx ", "a camera raw file"],
    ["\0\0\0\x18ftypisom", "a film"],
    ["II*\0\x10\0\0\0CR\x02\0", "a camera raw file"],
    ["IIU\0\x18\0\0\0", "a camera raw file"],
    ["FUJIFILMCCD-RAW 0201", "a camera raw file"],
    ["8BPS\0\x01", "a Photoshop document"],
    ["PK\x03\x04\x14\0", "a zip archive"],
    ['<?xml version="1.0"?>\n<svg xmlns="http://www.w3.org/2000/svg">', "an SVG drawing"],
    ["\xef\xbb\xbf  <svg>", "an SVG drawing"],
    ["<!DOCTYPE html><html>", "a web page"],
    ["<html><body>", "a web page"],
  ])("%j is refused by name", (start, name) => {
    expect(() => sniff(bytes(start))).toThrow(name);
    expect(() => sniff(bytes(start))).toThrow(expect.objectContaining({ code: "unsupported-kind" }) as Error);
  });

  test("text, noise and an empty file are no photograph", async () => {
    expect(await verdict(bytes("number;diameter\n1;2"))).toBe("not-a-picture");
    expect(await verdict(bytes(1, 2, 3, 4))).toBe("not-a-picture");
    expect(await verdict(bytes())).toBe("not-a-picture");
  });

  test("the next step fits what the file is", () => {
    const next = (start: string) => {
      try {
        sniff(bytes(start));
        return "";
      } catch (error) {
        return error instanceof PictureError ? error.next : "";
      }
    };
    expect(next("PK\x03\x04")).toContain("Unpack");
    expect(next("\0\0\0\x18ftypheic")).toContain("JPEG");
    expect(next("GIF89a")).toContain("PNG");
  });

  test("a file of more than 500 MB is too large", () => {
    expect(() => {
      checkBytes(LIMITS.maxBytes + 1);
    }).toThrow("500 MB");
    expect(() => {
      checkBytes(LIMITS.maxBytes);
    }).not.toThrow();
    expect(timeLimitMs(0)).toBe(10_000);
    expect(timeLimitMs(50e6)).toBe(35_000);
  });
});

describe("errors", () => {
  test("every code has a next step and survives the way between threads", () => {
    for (const code of PICTURE_ERROR_CODES) {
      const error = new PictureError(code, "A sentence.");
      expect(error.next).toMatch(/^[A-Z].*\.$/);
      expect(PictureError.from(structuredClone(error.plain()))).toEqual(error);
    }
  });
});

describe("JPEG", () => {
  test("size, colour parts and density are read", async () => {
    const jfif = segment(0xe0, "JFIF\0", 1, 2, 1, be16(508), be16(508), 0, 0);
    const header = await read(jpeg({ widthPx: 6000, heightPx: 4000, components: 3, before: jfif }));
    expect(header).toMatchObject({
      kind: "jpeg",
      widthPx: 6000,
      heightPx: 4000,
      samples: 3,
      bitsPerSample: 8,
      pages: 1,
    });
    expect(header.density).toEqual({ x: 508, y: 508, unit: "inch", from: "JFIF density" });
    const perCm = segment(0xe0, "JFIF\0", 1, 2, 2, be16(200), be16(200), 0, 0);
    expect((await read(jpeg({ before: perCm }))).density?.unit).toBe("cm");
    const ratio = segment(0xe0, "JFIF\0", 1, 2, 0, be16(1), be16(1), 0, 0);
    expect((await read(jpeg({ before: ratio }))).density).toBeNull();
  });

  test("camera data are found by their mark, and only once", async () => {
    const other = segment(0xe1, "http://ns.adobe.com/xap/1.0/\0", "<x/>");
    const exif = segment(0xe1, "Exif\0\0", "II*\0\x08\0\0\0\0\0");
    const header = await read(jpeg({ before: bytes(other, exif, exif) }));
    expect(header.exif).toEqual({ offset: 2 + other.length + 10, length: 10 });
  });

  test("a photograph without its end is cut off", async () => {
    const whole = jpeg();
    expect(await verdict(whole)).toBe("taken");
    for (let length = 3; length < whole.length; length++) {
      expect(await verdict(whole.subarray(0, length)), String(length)).toBe("truncated");
    }
  });

  test("an end marker before the first scan is no end", async () => {
    expect(await verdict(bytes([0xff, 0xd8], segment(0xfe, "x"), [0xff, 0xd9]))).toBe("truncated");
  });

  test("the end marker of the small picture inside the camera data is no end", async () => {
    const exif = segment(0xe1, "Exif\0\0", [0xff, 0xd8, 0xff, 0xd9]);
    expect(await verdict(jpeg({ before: exif, end: bytes() }))).toBe("truncated");
  });

  test("a gap shows by its missing restart markers", async () => {
    // 32 × 16 px are eight units of 8 × 8: a restart after every two makes three.
    const piece = [1, 2, 3];
    const scan = bytes(piece, [0xff, 0xd0], piece, [0xff, 0xd1], piece, [0xff, 0xd2], piece);
    expect(await verdict(jpeg({ interval: 2, scan }))).toBe("taken");
    expect(await verdict(jpeg({ interval: 2, scan: scan.subarray(0, 8) }))).toBe("truncated");
    const torn = bytes(piece, [0xff, 0xd0], piece, [0xff, 0xd2], piece, [0xff, 0xd3], piece);
    expect(await verdict(jpeg({ interval: 2, scan: torn }))).toBe("damaged");
  });

  test("a scan without one of the colours is incomplete", async () => {
    const frame = segment(0xc0, 8, be16(16), be16(32), 3, [1, 0x22, 0, 2, 0x11, 0, 3, 0x11, 0]);
    const scan = (id: number) => bytes(segment(0xda, 1, [id, 0], [0, 63, 0]), [1, 2, 3]);
    const file = (...ids: number[]) => bytes([0xff, 0xd8], frame, ...ids.map(scan), [0xff, 0xd9]);
    expect(await verdict(file(1, 2, 3))).toBe("taken");
    expect(await verdict(file(1, 2))).toBe("truncated");
  });

  test("restarts of a scan with one colour count its own units", async () => {
    // 40 × 24 px, first colour twice as fine: 5 × 3 units of its own against 3 × 2 of the others.
    const frame = segment(0xc0, 8, be16(24), be16(40), 3, [1, 0x22, 0, 2, 0x11, 0, 3, 0x11, 0]);
    const scan = (id: number, restarts: number) =>
      bytes(
        segment(0xda, 1, [id, 0], [0, 63, 0]),
        ...Array.from({ length: restarts }, (_, i) => bytes(7, 0xff, 0xd0 + (i % 8))),
        7,
      );
    const file = (first: number) =>
      bytes([0xff, 0xd8], frame, segment(0xdd, be16(1)), scan(1, first), scan(2, 5), scan(3, 5), [0xff, 0xd9]);
    expect(await verdict(file(14))).toBe("taken");
    expect(await verdict(file(13))).toBe("truncated");
  });

  test("markers across the pieces in which a file is read are seen", async () => {
    const scan = new Uint8Array((1 << 20) - 1).fill(5);
    expect(await verdict(jpeg({ scan: bytes(scan, 0xff, 0, 1) }))).toBe("taken");
    expect(await verdict(jpeg({ scan }))).toBe("taken");
  });

  test("wrong lengths of camera data cost nothing: the next marker is looked for", async () => {
    expect(await verdict(jpeg({ before: bytes(segment(0xed, "abc"), 1, 2, 3, 0xff, 0) }))).toBe("taken");
    expect(await verdict(jpeg({ before: bytes(segment(0xed, "abc"), new Uint8Array(70_000)) }))).toBe("damaged");
    expect(await verdict(bytes([0xff, 0xd8, 0xff, 0xe1, 0, 4, 0, 0], 1, 2, 3))).toBe("truncated");
  });

  test("fill bytes and empty markers between segments are skipped", async () => {
    expect(await verdict(jpeg({ before: bytes(0xff, 0xff, 0x01, 0xff, 0xff, 0xff, 0xd3) }))).toBe("taken");
  });

  test.each([
    ["12-bit", jpeg({ frame: 0xc1, precision: 12 }), "deep-file"],
    ["lossless", jpeg({ frame: 0xc3 }), "unsupported-kind"],
    ["arithmetic", jpeg({ frame: 0xc9 }), "unsupported-kind"],
    ["of two colours", jpeg({ components: 2 }), "damaged"],
    ["of no height", jpeg({ heightPx: 0 }), "damaged"],
    ["of 65,535 × 65,535", jpeg({ widthPx: 65_535, heightPx: 65_535 }), "too-large"],
    ["of 144 megapixels", jpeg({ widthPx: 12_000, heightPx: 12_000 }), "too-large"],
    ["of 120 megapixels", jpeg({ widthPx: 12_000, heightPx: 10_000 }), "taken"],
    ["of 3 × 3", jpeg({ widthPx: 3, heightPx: 3 }), "too-small"],
    ["with two frames", jpeg({ before: segment(0xc0, 8, be16(8), be16(8), 1, 1, 0x11, 0) }), "damaged"],
    ["with a second start", jpeg({ before: bytes(0xff, 0xd8) }), "damaged"],
    ["with a frame too short", bytes([0xff, 0xd8], segment(0xc0, 8, 0)), "damaged"],
    ["with sampling 0", bytes([0xff, 0xd8], segment(0xc0, 8, be16(8), be16(8), 1, 1, 0x01, 0)), "damaged"],
    ["with a scan first", bytes([0xff, 0xd8], segment(0xda, 1, 1, 0, 0, 63, 0), 1, [0xff, 0xd9]), "damaged"],
    ["with a segment of length 1", bytes([0xff, 0xd8, 0xff, 0xe1, 0, 1], 0, 0), "damaged"],
    ["with an empty restart segment", jpeg({ before: segment(0xdd) }), "damaged"],
  ])("a JPEG %s: %s", async (_, file, expected) => {
    expect(await verdict(file)).toBe(expected);
  });

  test("endless passes are refused", async () => {
    const scan = bytes(segment(0xda, 1, 1, 0, 0, 63, 0), 1);
    expect(await verdict(jpeg({ end: bytes(...Array.from({ length: 250 }, () => scan), [0xff, 0xd9]) }))).toBe(
      "damaged",
    );
  });

  test("for files checked before, the walk ends at the first scan", async () => {
    expect(await verdict(jpeg({ end: bytes() }), "limits")).toBe("taken");
    expect(await verdict(jpeg({ widthPx: 65_535, heightPx: 65_535 }), "limits")).toBe("too-large");
  });

  test("CMYK carries a note, and is refused when it does not say how its inks are stored", async () => {
    const before = segment(0xee, "Adobe", [0, 100, 0, 0, 0, 0, 2]);
    expect((await read(jpeg({ components: 4, before }))).notes.join()).toContain("CMYK");
    await expect(read(jpeg({ components: 4 }))).rejects.toMatchObject({ code: "unsupported-kind" });
  });
});

describe("PNG", () => {
  test("size, depth, density and packed pixels are read", async () => {
    const phys = chunk("pHYs", bytes(be32(200_000), be32(200_000), 1));
    const header = await read(png({ extra: phys }));
    expect(header).toMatchObject({ kind: "png", widthPx: 8, heightPx: 4, bitsPerSample: 8, samples: 1 });
    expect(header.density).toEqual({ x: 200_000, y: 200_000, unit: "m", from: "PNG pHYs" });
    expect(header.png).toMatchObject({ rawBytes: 4 * 9, paletteSize: null, interlaced: false });
    expect((await read(png({ extra: chunk("pHYs", bytes(be32(1), be32(1), 0)) }))).density).toBeNull();
  });

  test("interlaced pictures unpack to their seven passes", async () => {
    // 8 × 8 px grey: passes of 1×1, 1×1, 2×1, 2×2, 4×2, 4×4, 8×4 pixels and one filter byte per row: 64 + 15.
    expect((await read(png({ widthPx: 8, heightPx: 8, interlace: 1 }))).png?.rawBytes).toBe(79);
  });

  test("a moving picture and one with cover carry notes", async () => {
    const notes = (await read(png({ bitDepth: 16, colourType: 4, extra: chunk("acTL", bytes(be32(2), be32(0))) })))
      .notes;
    expect(notes.join(" ")).toMatch(/Moving.*see-through/);
  });

  test("every cut is noticed", async () => {
    const whole = png();
    for (let length = 9; length < whole.length; length++) {
      expect(await verdict(whole.subarray(0, length)), String(length)).toBe("truncated");
    }
  });

  test("one changed bit in what makes the picture is noticed", async () => {
    const whole = png();
    const at = whole.length - 20;
    const changed = whole.slice();
    changed[at] = (changed[at] ?? 0) ^ 4;
    expect(await verdict(changed)).toBe("damaged");
    expect(await verdict(changed, "limits")).toBe("taken");
  });

  const ihdr = (...fields: Part[]) => bytes(PNG_START, chunk("IHDR", bytes(...fields)), chunk("IEND", bytes()));
  test.each([
    ["65,536 × 65,536", ihdr(be32(65_536), be32(65_536), 8, 0, 0, 0, 0), "too-large"],
    ["0 wide", ihdr(be32(0), be32(8), 8, 0, 0, 0, 0), "damaged"],
    ["of depth 3", ihdr(be32(8), be32(8), 3, 0, 0, 0, 0), "damaged"],
    ["of colour type 5", ihdr(be32(8), be32(8), 8, 5, 0, 0, 0), "damaged"],
    ["of unknown compression", ihdr(be32(8), be32(8), 8, 0, 1, 0, 0), "damaged"],
    ["of unknown interlace", ihdr(be32(8), be32(8), 8, 0, 0, 0, 2), "damaged"],
    ["without pixels", ihdr(be32(8), be32(8), 8, 0, 0, 0, 0), "truncated"],
    ["without IHDR", bytes(PNG_START, chunk("IDAT", new Uint8Array(40))), "damaged"],
    ["with a nameless part", png({ extra: chunk("a\0b1", bytes()) }), "damaged"],
    ["with an odd palette", png({ extra: chunk("PLTE", bytes(1, 2)) }), "damaged"],
    ["with colour type 3 and no palette", png({ colourType: 3 }), "damaged"],
    ["with colour type 3 and a palette", png({ colourType: 3, extra: chunk("PLTE", bytes(1, 2, 3)) }), "taken"],
  ])("a PNG %s: %s", async (_, file, expected) => {
    expect(await verdict(file)).toBe(expected);
  });

  test("camera data are found also after the pixels", async () => {
    expect((await read(png({ after: chunk("eXIf", bytes("II*\0")) }))).exif?.length).toBe(4);
  });
});

describe("WebP", () => {
  test("lossy, lossless and extended sizes are read", async () => {
    expect(await read(riff(vp8(640, 480)))).toMatchObject({ kind: "webp", widthPx: 640, heightPx: 480 });
    expect(await read(riff(vp8l(16_000, 7_000)))).toMatchObject({ widthPx: 16_000, heightPx: 7_000 });
    const exif = riffChunk("EXIF", bytes("Exif\0\0II*\0"));
    const header = await read(riff(vp8x(640, 480, 0x18), vp8(640, 480), exif));
    expect(header.exif?.length).toBe(4);
    expect(header.webpExifAt).toBe((header.exif?.offset ?? 0) - 14);
    expect(header.notes.join()).toContain("see-through");
    const bare = await read(riff(vp8x(640, 480, 0x08), vp8(640, 480), riffChunk("EXIF", bytes("II*\0"))));
    expect(bare.webpExifAt).toBe((bare.exif?.offset ?? 0) - 8);
  });

  const broken = (at: number, value: number) => {
    const file = riff(vp8(640, 480)).slice();
    file[at] = value;
    return file;
  };
  test.each([
    ["moving", riff(vp8x(8, 8, 0x02)), "unsupported-kind"],
    ["cut", riff(vp8(640, 480)).subarray(0, 30), "truncated"],
    ["whose part leaves the file", riff(bytes("VP8 ", be32(1))), "truncated"],
    ["whose first part leaves it", riff(vp8(640, 480, 100)), "truncated"],
    ["without a picture", riff(riffChunk("ICCP", bytes(1, 2))), "damaged"],
    ["with two pictures", riff(vp8(8, 8), vp8(8, 8)), "damaged"],
    ["with two sizes", riff(vp8x(9, 8, 0), vp8(8, 8)), "damaged"],
    ["too large in its extension", riff(vp8x(1 << 24, 1 << 24, 0), vp8(8, 8)), "too-large"],
    ["with a wrong start code", broken(23, 0), "damaged"],
    ["with a frame too short", riff(riffChunk("VP8 ", bytes(1, 2))), "damaged"],
    ["lossless with a wrong mark", riff(riffChunk("VP8L", bytes(1, 2, 3, 4, 5, 6))), "damaged"],
  ])("a WebP %s: %s", async (_, file, expected) => {
    expect(await verdict(file)).toBe(expected);
  });
});

describe("BMP", () => {
  test("size and resolution are read, rows may run either way", async () => {
    expect(await read(bmp({ heightPx: -4, perMetre: 20_000 }))).toMatchObject({
      kind: "bmp",
      widthPx: 8,
      heightPx: 4,
      density: { x: 20_000, y: 20_000, unit: "m" },
    });
    expect(await read(bmp({ bits: 8 }))).toMatchObject({ samples: 1, density: null });
    expect(await read(bmp({ bits: 32 }))).toMatchObject({ samples: 4 });
    expect(await read(bmp({ headerSize: 12 }))).toMatchObject({ widthPx: 8, heightPx: 4 });
    expect(await verdict(bmp({ headerSize: 124 }))).toBe("taken");
  });

  test.each([
    ["cut in its rows", bmp().subarray(0, -1), "truncated"],
    ["cut in its header", bmp().subarray(0, 20), "truncated"],
    ["cut in its longer header", bmp().subarray(0, 50), "truncated"],
    ["run-length packed and cut", bmp({ bits: 8, compression: 1, imageSize: 10_000 }), "truncated"],
    ["run-length packed", bmp({ bits: 8, compression: 1, imageSize: 10 }), "taken"],
    ["with a JPEG inside", bmp({ compression: 4 }), "unsupported-kind"],
    ["of depth 7", bmp({ bits: 7 }), "damaged"],
    ["with a header of 39", bytes("BM", new Uint8Array(12), 39, new Uint8Array(60)), "damaged"],
    ["of 40,000 px", bmp({ widthPx: 40_000, heightPx: 4, bits: 1 }), "too-large"],
  ])("a BMP %s: %s", async (_, file, expected) => {
    expect(await verdict(file)).toBe(expected);
  });
});

describe("upright frame", () => {
  test("orientations 5 to 8 swap the sides", () => {
    expect([1, 2, 3, 4, 5, 6, 7, 8].filter(swapsSides)).toEqual([5, 6, 7, 8]);
    expect(uprightSize(30, 20, 6)).toEqual({ widthPx: 20, heightPx: 30 });
    expect(uprightSize(30, 20, 3)).toEqual({ widthPx: 30, heightPx: 20 });
  });

  // CIPA DC-008-2019 (Exif 2.32), Orientation: where the first row and the first column of the stored picture lie.
  test.each([
    [1, "left", "top"],
    [2, "right", "top"],
    [3, "right", "bottom"],
    [4, "left", "bottom"],
    [5, "left", "top"],
    [6, "right", "top"],
    [7, "right", "bottom"],
    [8, "left", "bottom"],
  ])("orientation %i puts the first stored pixel %s %s", (orientation, x, y) => {
    const [a, b, c, d, e, f] = uprightTransform(30, 20, orientation);
    const size = uprightSize(30, 20, orientation);
    const [u, v] = [a * 0.5 + c * 0.5 + e, b * 0.5 + d * 0.5 + f];
    expect(u).toBe(x === "left" ? 0.5 : size.widthPx - 0.5);
    expect(v).toBe(y === "top" ? 0.5 : size.heightPx - 0.5);
    // The stored row runs along the upright row for 1–4 and down the upright column for 5–8.
    expect(Math.abs(a)).toBe(orientation <= 4 ? 1 : 0);
  });
});

describe("reading piece by piece", () => {
  test("a window never shows what lies outside it", async () => {
    const window = readerWithin(readerOf(bytes(0, 1, 2, 3, 4, 5)), { offset: 2, length: 3 });
    expect([...(await window.read(1, 9))]).toEqual([3, 4]);
    expect([...(await window.read(3, 1))]).toEqual([]);
    expect(readerWithin(readerOf(bytes(0, 1)), { offset: 1, length: 9 }).size).toBe(1);
  });
});
