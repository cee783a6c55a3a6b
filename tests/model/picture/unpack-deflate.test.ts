import { constants, deflateSync } from "node:zlib";
import { describe, expect, test } from "vitest";
import { PictureError } from "../../../model/picture/picture-error.ts";
import { unpackDeflate } from "../../../model/picture/unpack-deflate.ts";
import fc from "../../properties.ts";

const text = (bytes: Uint8Array) => Buffer.from(bytes).toString("latin1");

describe("Deflate, against zlib", () => {
  // RFC 1951 (1996), 3.2.4 to 3.2.7: stored, fixed and own codes are the three kinds of block.
  const long = Uint8Array.from({ length: 300_000 }, (_, i) => ((i * 2_654_435_761) >>> (i % 7 === 0 ? 13 : 28)) & 255);
  test.each([
    ["stored", { level: 0 }],
    ["fixed codes", { strategy: constants.Z_FIXED }],
    ["own codes", { level: 9 }],
    ["codes without repeats", { strategy: constants.Z_HUFFMAN_ONLY }],
    ["runs", { strategy: constants.Z_RLE }],
  ])("%s", (_, options) => {
    expect(text(unpackDeflate(deflateSync(long, options), long.length))).toBe(text(long));
  });

  test("any bytes come back, and their beginning alone when less is asked for", () => {
    const bytes = fc.oneof(
      fc.uint8Array({ maxLength: 400 }),
      fc.array(fc.constantFrom(0, 0, 0, 7, 255), { maxLength: 3_000 }).map((list) => Uint8Array.from(list)),
    );
    fc.assert(
      fc.property(
        bytes,
        fc.integer({ min: 0, max: 9 }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (all, level, share) => {
          const packed = deflateSync(all, { level });
          const some = Math.floor(share * all.length);
          expect(text(unpackDeflate(packed, all.length))).toBe(text(all));
          expect(text(unpackDeflate(packed, some))).toBe(text(all.subarray(0, some)));
          expect(() => unpackDeflate(packed, all.length + 1)).toThrow("cut off");
        },
      ),
      { numRuns: 200 },
    );
  });

  test("damaged bytes are refused or unpack to the length asked for, never anything else", () => {
    const packed = deflateSync(long.subarray(0, 5_000));
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.nat(), fc.nat({ max: 255 })), { minLength: 1, maxLength: 5 }),
        fc.nat(),
        (changes, cut) => {
          const damaged = new Uint8Array(packed.subarray(0, cut % 3 === 0 ? cut % packed.length : packed.length));
          for (const [at, value] of changes) if (damaged.length > 0) damaged[at % damaged.length] = value;
          try {
            expect(unpackDeflate(damaged, 5_000)).toHaveLength(5_000);
          } catch (error) {
            expect(error).toBeInstanceOf(PictureError);
          }
        },
      ),
      { numRuns: 400 },
    );
  });

  test.each([
    ["nothing", [], "truncated"],
    ["no zlib head", [0x42, 0x4d, 0, 0], "damaged"],
    ["a dictionary", [0x78, 0xbb, 0, 0, 0, 0], "damaged"],
    ["a block of unknown kind", [0x78, 0x9c, 0x07, 0], "damaged"],
    ["a stored block whose lengths differ", [0x78, 0x9c, 0x01, 5, 0, 5, 0, 1, 2, 3, 4, 5], "damaged"],
    ["a distance before the start", [0x78, 0x9c, 0x03, 0x02, 0x00, 0x00], "damaged"],
  ])("%s: %s", (_, bytes, code) => {
    expect(() => unpackDeflate(Uint8Array.from(bytes), 10)).toThrow(expect.objectContaining({ code }) as Error);
  });
});
