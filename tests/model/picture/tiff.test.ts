import { deflateSync, inflateSync } from "node:zlib";
import { fromArrayBuffer } from "geotiff";
import sharp, { type TiffOptions } from "sharp";
import { describe, expect, test } from "vitest";
import { readerOf } from "../../../model/picture/byte-reader.ts";
import { unpackLzw } from "../../../model/picture/lzw.ts";
import { unpackBits } from "../../../model/picture/pack-bits.ts";
import { PictureError } from "../../../model/picture/picture-error.ts";
import { readPictureHeader } from "../../../model/picture/sniff.ts";
import { tiffPixels } from "../../../model/picture/tiff-pixels.ts";
import type { Unpack, Unpackers } from "../../../model/picture/tiff-blocks.ts";
import { unpackZstd } from "../../../web/workers/zstd.ts";
import { bytes, page, tiff, type TiffField, type TiffShape } from "./small-files.ts";
import fc from "../../properties.ts";

const inflate: Unpack = (packed, length) => {
  const out = new Uint8Array(inflateSync(packed, { maxOutputLength: length }));
  return Promise.resolve(out);
};
const unpackers: Unpackers = { inflate, zstd: unpackZstd };

async function verdict(file: Uint8Array): Promise<string> {
  try {
    const header = await readPictureHeader(readerOf(file));
    expect(header.kind).toBe("tiff");
    return "taken";
  } catch (error) {
    if (!(error instanceof PictureError)) throw error;
    return error.code;
  }
}

/** @returns rows × columns × RGB. */
async function pixels(file: Uint8Array): Promise<number[]> {
  const reader = readerOf(file);
  const { tiff: layout } = await readPictureHeader(reader);
  if (!layout) throw new Error("no TIFF");
  const rgba = await tiffPixels(reader, layout, unpackers);
  return [...rgba].filter((_, i) => i % 4 !== 3);
}

const grey = (width: number, height: number) => Uint8Array.from({ length: width * height }, (_, i) => (i * 7) % 256);
const plainGrey = (more: readonly TiffField[] = [], shape: TiffShape = {}) =>
  tiff(page(6, 5, { more }), { blocks: [grey(6, 5)], ...shape });
const tripled = (values: Iterable<number>) => [...values].flatMap((v) => [v, v, v]);

describe("pixels of own uncompressed files", () => {
  test.each([
    [true, false],
    [false, false],
    [true, true],
    [false, true],
  ])("little endian %s, big file %s", async (little, big) => {
    expect(await pixels(plainGrey([], { little, big }))).toEqual(tripled(grey(6, 5)));
  });

  test("white is zero turns the greys round", async () => {
    const file = tiff(page(6, 5, { photometric: 0 }), { blocks: [grey(6, 5)] });
    expect(await pixels(file)).toEqual(tripled([...grey(6, 5)].map((v) => 255 - v)));
  });

  test("strips of two rows, the last one shorter", async () => {
    const all = grey(6, 5);
    const file = tiff(page(6, 5, { more: [[278, 4, [2]]] }), {
      blocks: [all.subarray(0, 12), all.subarray(12, 24), all.subarray(24)],
    });
    expect(await pixels(file)).toEqual(tripled(all));
  });

  test("tiles that stick out of the picture", async () => {
    const all = grey(6, 5);
    const tile = (left: number, top: number) =>
      Uint8Array.from({ length: 16 }, (_, i) => {
        const [x, y] = [left + (i % 4), top + Math.floor(i / 4)];
        return x < 6 && y < 5 ? (all[y * 6 + x] ?? 0) : 99;
      });
    const more: TiffField[] = [
      [322, 4, [4]],
      [323, 4, [4]],
    ];
    const file = tiff(page(6, 5, { more }), {
      blocks: [tile(0, 0), tile(4, 0), tile(0, 4), tile(4, 4)],
      blockTags: [324, 325],
    });
    expect(await pixels(file)).toEqual(tripled(all));
  });

  test("colour planes apart, with an extra one that is not shown", async () => {
    const plane = (add: number) => grey(6, 5).map((v) => (v + add) % 256);
    const file = tiff(page(6, 5, { samples: 4, photometric: 2, more: [[284, 3, [2]]] }), {
      blocks: [plane(0), plane(50), plane(100), plane(150)],
    });
    const header = await readPictureHeader(readerOf(file));
    expect(header.notes.join()).toContain("extra channel");
    expect(await pixels(file)).toEqual([...grey(6, 5)].flatMap((v) => [v, (v + 50) % 256, (v + 100) % 256]));
  });

  test.each([
    ["16-bit", (v: number) => v * 257],
    ["8-bit by mistake", (v: number) => v],
  ])("palette with %s colours", async (_, stored) => {
    const red = Array.from({ length: 256 }, (_v, i) => stored(255 - i));
    const green = Array.from({ length: 256 }, (_v, i) => stored(i));
    const blue = Array.from({ length: 256 }, () => stored(17));
    const more: TiffField[] = [[320, 3, [...red, ...green, ...blue]]];
    const file = tiff(page(6, 5, { photometric: 3, more }), { blocks: [grey(6, 5)] });
    expect(await pixels(file)).toEqual([...grey(6, 5)].flatMap((v) => [255 - v, v, 17]));
  });

  test("print colours: full ink is dark, no ink is white", async () => {
    const inks = [0, 0, 0, 0, 255, 0, 0, 0, 0, 0, 0, 255, 0, 51, 0, 51];
    const block = bytes(inks, inks, inks, inks);
    const file = tiff(page(4, 4, { samples: 4, photometric: 5 }), { blocks: [block] });
    const row = [255, 255, 255, 0, 255, 255, 0, 0, 0, 204, 163, 204];
    expect(await pixels(file)).toEqual([...row, ...row, ...row, ...row]);
  });

  test("CMYK with a fifth channel drops only that one", async () => {
    const block = Uint8Array.from({ length: 80 }, (_, i) => (i % 5 === 4 ? 200 : 0));
    const file = tiff(page(4, 4, { samples: 5, photometric: 5 }), { blocks: [block] });
    expect(new Set(await pixels(file))).toEqual(new Set([255]));
    const apart = tiff(page(4, 4, { samples: 5, photometric: 5, more: [[284, 3, [2]]] }), {
      blocks: [0, 0, 0, 0, 200].map((v) => new Uint8Array(16).fill(v)),
    });
    expect(new Set(await pixels(apart))).toEqual(new Set([255]));
  });
});

describe("pixels of files written by another program (sharp, libtiff), against its own and geotiff's reading", () => {
  const [width, height] = [75, 50];
  const raw = Uint8Array.from({ length: width * height * 3 }, (_, i) => (i * i + (i >> 5) * 13) % 251);
  const colour = () => sharp(raw, { raw: { width, height, channels: 3 } });
  const cases: [string, TiffOptions][] = [
    ["plain strips", { compression: "none" }],
    ["LZW", { compression: "lzw", predictor: "none" }],
    ["LZW with differences", { compression: "lzw", predictor: "horizontal" }],
    ["Deflate", { compression: "deflate", predictor: "none" }],
    ["Deflate with differences", { compression: "deflate", predictor: "horizontal" }],
    ["PackBits", { compression: "packbits" }],
    ["plain tiles", { compression: "none", tile: true, tileWidth: 16, tileHeight: 16 }],
    ["LZW tiles", { compression: "lzw", tile: true, tileWidth: 32, tileHeight: 16 }],
    ["Deflate tiles", { compression: "deflate", tile: true, tileWidth: 16, tileHeight: 32 }],
    ["PackBits tiles", { compression: "packbits", tile: true, tileWidth: 16, tileHeight: 16 }],
    ["a big file", { compression: "lzw", bigtiff: true }],
  ];
  test.each(cases)("%s", async (_, options) => {
    const file = new Uint8Array(await colour().tiff(options).toBuffer());
    const ours = await pixels(file);
    expect(ours).toEqual([...raw]);
    const image = await (await fromArrayBuffer(file.slice().buffer)).getImage();
    expect([...((await image.readRGB({ interleave: true })) as unknown as Uint8Array)]).toEqual(ours);
  });

  test.each(["none", "lzw", "deflate", "packbits"] as const)("grey, %s", async (compression) => {
    const one = Uint8Array.from({ length: width * height }, (_, i) => (i * 31 + (i >> 6)) % 256);
    const image = sharp(one, { raw: { width, height, channels: 1 } }).toColourspace("b-w");
    expect(await pixels(new Uint8Array(await image.tiff({ compression }).toBuffer()))).toEqual(tripled(one));
  });
});

describe("layout", () => {
  const rgb8 = { samples: 3, photometric: 2 };
  test.each([
    ["16-bit", tiff(page(6, 5, { bits: 16 }), { blocks: [new Uint8Array(60)] }), "taken"],
    ["16-bit, a strip too short", tiff(page(6, 5, { bits: 16 }), { blocks: [new Uint8Array(59)] }), "truncated"],
    ["16-bit float", tiff(page(6, 5, { bits: 16, more: [[339, 3, [3]]] })), "unsupported-kind"],
    ["64-bit whole numbers", tiff(page(6, 5, { bits: 64 })), "unsupported-kind"],
    ["complex numbers", tiff(page(6, 5, { bits: 64, more: [[339, 3, [6]]] })), "unsupported-kind"],
    [
      "white is zero, signed",
      tiff(page(6, 5, { bits: 16, photometric: 0, more: [[339, 3, [2]]] })),
      "unsupported-kind",
    ],
    ["8-bit signed", plainGrey([[339, 3, [2]]]), "unsupported-kind"],
    ["1-bit", tiff(page(6, 5, { bits: 1 }), { blocks: [new Uint8Array(5)] }), "taken"],
    ["4-bit colours", tiff(page(6, 5, { bits: 4, samples: 3, photometric: 2 })), "unsupported-kind"],
    [
      "parts of different depths",
      tiff([...page(6, 5, rgb8).filter(([t]) => t !== 258), [258, 3, [8, 8, 4]]]),
      "unsupported-kind",
    ],
    ["fax", tiff(page(6, 5, { bits: 1, compression: 4 })), "unsupported-kind"],
    ["bits in reversed order", plainGrey([[266, 3, [2]]]), "taken"],
    [
      "bits in reversed order under Deflate",
      tiff(page(6, 5, { compression: 8, more: [[266, 3, [2]]] }), { blocks: [grey(6, 5)] }),
      "fill-order",
    ],
    ["bits in usual order", plainGrey([[266, 3, [1]]]), "taken"],
    ["a method of 2030", tiff(page(6, 5, { compression: 50099 }), { blocks: [grey(6, 5)] }), "unsupported-kind"],
    [
      "float predictor on whole numbers",
      tiff(page(6, 5, { compression: 8, more: [[317, 3, [3]]] }), { blocks: [grey(6, 5)] }),
      "unsupported-kind",
    ],
    ["camera raw (DNG)", plainGrey([[50706, 1, [1, 4, 0, 0]]]), "unsupported-kind"],
    ["a preview first", plainGrey([[254, 4, [1]]]), "unsupported-kind"],
    ["camera raw (colour filter)", tiff(page(6, 5, { photometric: 32803 })), "unsupported-kind"],
    ["colours of another kind", tiff(page(6, 5, { photometric: 8, samples: 3 })), "unsupported-kind"],
    [
      "no colours stated",
      tiff(
        page(6, 5).filter(([tag]) => tag !== 262),
        { blocks: [grey(6, 5)] },
      ),
      "taken",
    ],
    ["no colours stated for two parts", tiff(page(6, 5, { samples: 2 }).filter(([tag]) => tag !== 262)), "damaged"],
    ["RGB of two samples", tiff(page(6, 5, { samples: 2, photometric: 2 })), "damaged"],
    ["grey with two extra channels", tiff(page(6, 5, { samples: 3 })), "unsupported-kind"],
    ["nine samples", tiff(page(6, 5, { samples: 9 })), "damaged"],
    ["palette without colours", tiff(page(6, 5, { photometric: 3 }), { blocks: [grey(6, 5)] }), "damaged"],
    ["palette under JPEG", tiff(page(6, 5, { photometric: 3, compression: 7 })), "unsupported-kind"],
    ["YCbCr without JPEG", tiff(page(6, 5, { samples: 3, photometric: 6 })), "unsupported-kind"],
    ["special inks", tiff(page(4, 4, { samples: 4, photometric: 5, more: [[332, 3, [2]]] })), "unsupported-kind"],
    ["planes of unknown order", plainGrey([[284, 3, [3]]]), "damaged"],
    [
      "planes apart under JPEG",
      tiff(page(6, 5, { ...rgb8, compression: 7, more: [[284, 3, [2]]] })),
      "unsupported-kind",
    ],
    ["fewer depths than samples", tiff([...page(6, 5, rgb8).filter(([t]) => t !== 258), [258, 3, [8, 8]]]), "damaged"],
    ["no strips", tiff(page(6, 5)), "damaged"],
    ["too few strips", plainGrey([[278, 4, [1]]]), "damaged"],
    ["rows per strip 0", plainGrey([[278, 4, [0]]]), "damaged"],
    ["a strip too short", tiff(page(6, 5), { blocks: [grey(6, 4)] }), "truncated"],
    ["an empty strip", tiff(page(6, 5), { blocks: [bytes()] }), "damaged"],
    ["a strip outside the file", tiff([...page(6, 5), [273, 4, [9_000]], [279, 4, [30]]]), "truncated"],
    [
      "huge tiles",
      plainGrey(
        [
          [322, 4, [60_000]],
          [323, 4, [60_000]],
        ],
        { blockTags: [324, 325] },
      ),
      "damaged",
    ],
    ["65,535 px", tiff(page(65_535, 5)), "too-large"],
    ["no size", tiff(page(0, 0)), "damaged"],
    ["an empty directory", tiff([]), "damaged"],
    ["no directory", bytes("II*\0", [0, 0, 0, 0]), "damaged"],
    ["a directory outside the file", bytes("II*\0", [99, 0, 0, 0]), "truncated"],
    ["a wrong version", bytes("II+\0", [4, 0, 0, 0], new Uint8Array(20)), "damaged"],
  ])("%s: %s", async (_, file, expected) => {
    expect(await verdict(file)).toBe(expected);
  });

  test("a page that points at itself is a loop", async () => {
    expect(await verdict(plainGrey([], { next: (own) => own }))).toBe("directory-loop");
  });

  test("a directory that claims too many entries is refused before it is read", async () => {
    const file = plainGrey();
    const view = new DataView(file.buffer);
    view.setUint16(view.getUint32(4, true), 60_000, true);
    expect(await verdict(file)).toBe("damaged");
  });

  test("a list that claims four thousand million values is refused before it is read", async () => {
    const file = plainGrey([[278, 4, [1]]]);
    const view = new DataView(file.buffer);
    const at = view.getUint32(4, true);
    for (let i = 0; i < view.getUint16(at, true); i++) {
      const entry = at + 2 + 12 * i;
      if (view.getUint16(entry, true) === 273) view.setUint32(entry + 4, 0xffff_ffff, true);
    }
    expect(await verdict(file)).toBe("damaged");
  });

  test("resolution counts only when its unit is stated", async () => {
    const at = (more: TiffField[]) => readPictureHeader(readerOf(plainGrey(more))).then(({ density }) => density);
    const stated: TiffField[] = [
      [282, 5, [5_080, 10]],
      [283, 5, [5_080, 10]],
    ];
    expect(await at([...stated, [296, 3, [2]]])).toEqual({ x: 508, y: 508, unit: "inch", from: "TIFF resolution" });
    expect((await at([...stated, [296, 3, [3]]]))?.unit).toBe("cm");
    expect(await at(stated)).toBeNull();
  });

  test("random damage is refused or read, never anything else", async () => {
    const whole = [
      plainGrey([[278, 4, [2]]], { blocks: [grey(6, 2), grey(6, 2), grey(6, 1)] }),
      new Uint8Array(
        await sharp(grey(20, 20), { raw: { width: 20, height: 20, channels: 1 } })
          .tiff({ compression: "lzw" })
          .toBuffer(),
      ),
    ];
    await fc.assert(
      fc.asyncProperty(
        fc.constantFrom(...whole),
        fc.array(fc.tuple(fc.nat(), fc.nat({ max: 255 })), { minLength: 1, maxLength: 6 }),
        async (file, changes) => {
          const damaged = file.slice();
          for (const [at, value] of changes) damaged[at % damaged.length] = value;
          const reader = readerOf(damaged);
          try {
            const header = await readPictureHeader(reader);
            if (header.tiff && header.tiff.compression !== 7) {
              const refuse = () => Promise.reject(new PictureError("damaged", "x."));
              const rgba = await tiffPixels(reader, header.tiff, { inflate: refuse, zstd: refuse });
              expect(rgba.length).toBe(4 * header.widthPx * header.heightPx);
            }
          } catch (error) {
            expect(error).toBeInstanceOf(PictureError);
          }
        },
      ),
      { numRuns: 400 },
    );
  });
});

describe("packed data", () => {
  // TIFF 6.0 (1992), section 9: "A sequence of bytes" that most implementations give as their example, from memory.
  test("PackBits unpacks the worked example", () => {
    const packed = bytes([0xfe, 0xaa, 0x02, 0x80, 0x00, 0x2a, 0xfd, 0xaa, 0x03, 0x80, 0x00, 0x2a, 0x22, 0xf7, 0xaa]);
    const plain = [
      ...[0xaa, 0xaa, 0xaa, 0x80, 0x00, 0x2a, 0xaa, 0xaa, 0xaa, 0xaa, 0x80, 0x00, 0x2a, 0x22],
      ...new Array<number>(10).fill(0xaa),
    ];
    expect([...unpackBits(packed, 24)]).toEqual(plain);
    expect([...unpackBits(bytes(0x80, packed), 24)]).toEqual(plain);
    expect(() => unpackBits(packed.subarray(0, 14), 24)).toThrow(PictureError);
    expect(() => unpackBits(packed.subarray(0, 4), 24)).toThrow("too early");
    expect(() => unpackBits(packed, 25)).toThrow("too early");
    expect(() => unpackBits(packed, 20)).toThrow("leaves its strip");
  });

  // TIFF 6.0 (1992), section 13: 7 7 7 8 8 7 7 6 6 packs to codes 256 7 258 8 8 258 6 6 257.
  test("LZW unpacks the worked example", () => {
    const codes = [256, 7, 258, 8, 8, 258, 6, 6, 257];
    const bits = codes.map((code) => code.toString(2).padStart(9, "0")).join("");
    const packed = Uint8Array.from(bits.match(/.{1,8}/g) ?? [], (eight) => parseInt(eight.padEnd(8, "0"), 2));
    expect([...unpackLzw(packed, 9)]).toEqual([7, 7, 7, 8, 8, 7, 7, 6, 6]);
    expect([...unpackLzw(packed, 5)]).toEqual([7, 7, 7, 8, 8]);
    expect(() => unpackLzw(packed, 10)).toThrow("too early");
    expect(() => unpackLzw(packed.subarray(0, 4), 9)).toThrow("too early");
    expect(() => unpackLzw(bytes(0xff, 0xff), 9)).toThrow("make no sense");
  });

  test("long runs fill and restart the LZW table", async () => {
    const side = 300;
    const noise = Uint8Array.from({ length: side * side }, (_, i) => ((i * 2_654_435_761) >>> 13) & 255);
    const file = await sharp(noise, { raw: { width: side, height: side, channels: 1 } })
      .toColourspace("b-w")
      .tiff({ compression: "lzw", predictor: "none" })
      .toBuffer();
    expect(await pixels(new Uint8Array(file))).toEqual(tripled(noise));
  });

  test("an outdated form of LZW is refused", async () => {
    const file = tiff(page(6, 5, { compression: 5 }), { blocks: [bytes(0, 1, 2, 3)] });
    await expect(pixels(file)).rejects.toThrow("outdated");
  });

  test("JPEG strips are not decoded here", async () => {
    const file = tiff(page(6, 5, { compression: 7 }), { blocks: [bytes(0xff, 0xd8)] });
    await expect(pixels(file)).rejects.toThrow("not read");
  });

  test("Deflate goes through the platform", async () => {
    const file = tiff(page(6, 5, { compression: 8 }), { blocks: [new Uint8Array(deflateSync(grey(6, 5)))] });
    expect(await pixels(file)).toEqual(tripled(grey(6, 5)));
  });
});
