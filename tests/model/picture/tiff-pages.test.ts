import { readFileSync } from "node:fs";
import { deflateSync } from "node:zlib";
import { describe, expect, test } from "vitest";
import { readerOf } from "../../../model/picture/byte-reader.ts";
import { LIMITS } from "../../../model/picture/limits.ts";
import { PictureError } from "../../../model/picture/picture-error.ts";
import { readPictureHeader } from "../../../model/picture/sniff.ts";
import { tiffDeep } from "../../../model/picture/tiff-deep.ts";
import { tiffPixels } from "../../../model/picture/tiff-pixels.ts";
import { unpackDeflate } from "../../../model/picture/unpack-deflate.ts";
import { unpackZstd } from "../../../web/workers/zstd.ts";
import { bytes, le16, le24, le32, page, tiff, type TiffField } from "./small-files.ts";
import fc from "../../properties.ts";

/** Files that other programs packed; see deep-files.test.ts. */
const written = JSON.parse(readFileSync(new URL("../../outside/deep-files.json", import.meta.url), "utf8")) as {
  readonly made: readonly { readonly name: string; readonly tiff: string }[];
};

const unpackers = {
  inflate: (packed: Uint8Array, length: number) => Promise.resolve(unpackDeflate(packed, length)),
  zstd: unpackZstd,
};

/** One-strip pages of 4 × 4 grey, 8 bits, each of one value; extra fields per page. */
function paged(
  pages: readonly { readonly value: number; readonly more?: readonly TiffField[]; readonly side?: number }[],
) {
  const out = [...bytes("II*\0", le32(0))];
  let link = 4;
  for (const { value, more = [], side = 4 } of pages) {
    const at = out.length;
    out.push(...new Array<number>(side * side).fill(value));
    const fields = [...page(side, side), [273, 4, [at]], [279, 4, [side * side]], ...more] as TiffField[];
    fields.sort((a, b) => a[0] - b[0]);
    const own = out.length;
    out.splice(link, 4, ...le32(own));
    out.push(...le16(fields.length));
    for (const [tag, type, [first = 0]] of fields) out.push(...le16(tag), ...le16(type), ...le32(1), ...le32(first));
    link = out.length;
    out.push(...le32(0));
  }
  return Uint8Array.from(out);
}

async function firstValue(file: Uint8Array, index: number): Promise<number | undefined> {
  const reader = readerOf(file);
  const { tiff: layout } = await readPictureHeader(reader, "whole", index);
  return layout ? (await tiffPixels(reader, layout, unpackers))[0] : undefined;
}
const codeOf = (work: Promise<unknown>) =>
  work.then(
    () => "taken",
    (error: unknown) => (error instanceof PictureError ? error.code : String(error)),
  );

describe("pages", () => {
  const three = paged([{ value: 10 }, { value: 20, side: 5 }, { value: 30, more: [[274, 3, [6]]] }]);

  test("each is read by its number, with its own size", async () => {
    expect(await Promise.all([0, 1, 2].map((i) => firstValue(three, i)))).toEqual([10, 20, 30]);
    const header = await readPictureHeader(readerOf(three), "whole", 1);
    expect(header).toMatchObject({ pages: 3, widthPx: 5 });
    expect(header.notes.join(" ")).toContain("3 pages: page 2 is shown");
  });

  test("a page that is not there is refused in words", async () => {
    expect(await codeOf(readPictureHeader(readerOf(three), "whole", 3))).toBe("page-missing");
  });

  test("smaller copies and masks are no pages", async () => {
    const file = paged([
      { value: 1, more: [[254, 4, [1]]] },
      { value: 2 },
      { value: 3, more: [[254, 4, [4]]] },
      { value: 4, more: [[255, 3, [2]]] },
      { value: 5, more: [[254, 4, [2]]] },
    ]);
    expect((await readPictureHeader(readerOf(file))).pages).toBe(2);
    expect(await Promise.all([0, 1].map((i) => firstValue(file, i)))).toEqual([2, 5]);
  });

  test("as many pages as a long series has, and no more", async () => {
    const many = (count: number) => paged(Array.from({ length: count }, () => ({ value: 7 })));
    expect((await readPictureHeader(readerOf(many(300)))).pages).toBe(300);
    const narrow = paged([{ value: 7 }]);
    expect(await codeOf(readPictureHeader(readerOf(narrow)))).toBe("taken");
    expect(LIMITS.maxPages).toBeGreaterThanOrEqual(1_000);
  });
});

describe("samples of few bits", () => {
  const pack = (values: readonly number[], bits: number, perRow: number) => {
    const rows: string[] = [];
    for (let i = 0; i < values.length; i += perRow) {
      const row = values.slice(i, i + perRow).map((v) => v.toString(2).padStart(bits, "0"));
      rows.push(row.join("").padEnd(8 * Math.ceil((perRow * bits) / 8), "0"));
    }
    return Uint8Array.from((rows.join("").match(/.{8}/g) ?? []).map((eight) => parseInt(eight, 2)));
  };
  const values = (bits: number) => Array.from({ length: 35 }, (_, i) => (i * 11 + (i >> 2)) % (1 << bits));

  test.each([1, 2, 4])("%i bits of grey fill the whole range", async (bits) => {
    const file = tiff(page(7, 5, { bits }), { blocks: [pack(values(bits), bits, 7)] });
    const reader = readerOf(file);
    const { tiff: layout } = await readPictureHeader(reader);
    if (!layout) throw new Error("no TIFF");
    const rgba = await tiffPixels(reader, layout, unpackers);
    const full = (1 << bits) - 1;
    expect([...rgba].filter((_, i) => i % 4 === 0)).toEqual(values(bits).map((v) => Math.round((v * 255) / full)));
  });

  test("a palette of four colours", async () => {
    const map = [0, 65_535, 0, 256 * 9, 0, 0, 65_535, 256 * 8, 65_535, 0, 0, 256 * 7];
    const more: TiffField[] = [[320, 3, map]];
    const file = tiff(page(7, 5, { bits: 2, photometric: 3, more }), { blocks: [pack(values(2), 2, 7)] });
    const reader = readerOf(file);
    const { tiff: layout } = await readPictureHeader(reader);
    if (!layout) throw new Error("no TIFF");
    const rgba = await tiffPixels(reader, layout, unpackers);
    const colours = [
      [0, 0, 255],
      [255, 0, 0],
      [0, 255, 0],
      [9, 8, 7],
    ];
    const expected = values(2).flatMap((v) => [...(colours[v] ?? []), 255]);
    expect([...rgba]).toEqual(expected);
  });

  test.each([10, 12, 14])("%i bits are deep", async (bits) => {
    const file = tiff(page(7, 5, { bits }), { blocks: [pack(values(bits), bits, 7)] });
    const reader = readerOf(file);
    const { tiff: layout, deep } = await readPictureHeader(reader);
    if (!layout || !deep) throw new Error("not deep");
    const raster = await tiffDeep(reader, layout, deep, unpackers);
    expect([...raster.data]).toEqual(values(bits));
    expect(raster.fullScale).toBe(2 ** bits - 1);
  });

  test("white is zero is turned round, print colours become red, green and blue", async () => {
    const grey = tiff(page(4, 4, { bits: 16, photometric: 0 }), {
      blocks: [bytes(...Array.from({ length: 16 }, (_, i) => le16(i * 4_000)))],
    });
    const inks = tiff(page(4, 4, { bits: 16, samples: 4, photometric: 5 }), {
      blocks: [bytes(...Array.from({ length: 16 }, () => [le16(65_535), le16(0), le16(30_000), le16(13_107)]).flat())],
    });
    const read = async (file: Uint8Array) => {
      const reader = readerOf(file);
      const { tiff: layout, deep } = await readPictureHeader(reader);
      if (!layout || !deep) throw new Error("not deep");
      return tiffDeep(reader, layout, deep, unpackers);
    };
    expect([...(await read(grey)).data]).toEqual(Array.from({ length: 16 }, (_, i) => 65_535 - i * 4_000));
    expect([...(await read(inks)).data].slice(0, 3)).toEqual([0, 52_428, 28_428]);
  });
});

/** A frame of plain and of repeated blocks. @source RFC 8878, 3.1.1. */
function frame(blocks: readonly (Uint8Array | { readonly byte: number; readonly count: number })[], window = 0) {
  const coded = blocks.map((block, i) => {
    const last = i === blocks.length - 1 ? 1 : 0;
    if (block instanceof Uint8Array) return bytes(le24(last | (block.length << 3)), block);
    return bytes(le24(last | 2 | (block.count << 3)), block.byte);
  });
  return bytes([0x28, 0xb5, 0x2f, 0xfd], 0, window, ...coded);
}

describe("Zstandard, bounded", () => {
  const block = Uint8Array.from({ length: 900 }, (_, i) => (i * i) % 251);
  const two = frame([block, { byte: 7, count: 100 }]);

  test("comes back, whatever window the frame asks for", async () => {
    const plain = [...block, ...new Array<number>(100).fill(7)];
    expect([...(await unpackZstd(two, 1_000))]).toEqual(plain);
    // 248: a window of 2^41 bytes.
    expect([...(await unpackZstd(frame([block, { byte: 7, count: 100 }], 248), 1_000))]).toEqual(plain);
  });

  test("a bomb is refused, and what is cut off too", async () => {
    const bomb = frame(Array.from({ length: 2_000 }, () => ({ byte: 0, count: 100_000 })));
    expect(await codeOf(unpackZstd(bomb, 3_000))).toBe("damaged");
    // One segment of 2^32 − 1 bytes.
    const huge = bytes([0x28, 0xb5, 0x2f, 0xfd], 0xa0, [255, 255, 255, 255], le24(3), 1, new Uint8Array(9));
    expect(await codeOf(unpackZstd(huge, 3_000))).toBe("damaged");
    expect(await codeOf(unpackZstd(two, 1_001))).toBe("truncated");
    expect(await codeOf(unpackZstd(two.subarray(0, 700), 1_000))).toBe("truncated");
    expect(await codeOf(unpackZstd(bytes(1, 2, 3), 10))).toBe("truncated");
    expect(await codeOf(unpackZstd(bytes(1, 2, 3, 4, 5, 6, 7), 10))).toBe("damaged");
  });

  test("damage is refused or unpacks to the length asked for", async () => {
    const [made] = written.made.filter(({ name }) => name === "zstd");
    const file = new Uint8Array(Buffer.from(made?.tiff ?? "", "base64"));
    const { tiff: layout } = await readPictureHeader(readerOf(file));
    const place = layout?.blocks[0] ?? { offset: 0, length: 0 };
    const length = 2 * 29 * (layout?.blockHeightPx ?? 0);
    const packed = file.subarray(place.offset, place.offset + place.length);
    expect(await unpackZstd(packed, length)).toHaveLength(length);
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.tuple(fc.nat(), fc.nat({ max: 255 })), { minLength: 1, maxLength: 4 }),
        async (changes) => {
          const damaged = packed.slice();
          for (const [at, value] of changes) damaged[at % damaged.length] = value;
          try {
            expect(await unpackZstd(damaged, length)).toHaveLength(length);
          } catch (error) {
            expect(error).toBeInstanceOf(PictureError);
          }
        },
      ),
      { numRuns: 150 },
    );
  });

  test("Deflate strips are bounded alike", () => {
    expect(() => unpackDeflate(new Uint8Array(deflateSync(new Uint8Array(9))), 10)).toThrow("cut off");
  });
});
