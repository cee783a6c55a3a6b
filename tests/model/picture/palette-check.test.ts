import { describe, expect, test } from "vitest";
import { PaletteCheck } from "../../../model/picture/palette-check.ts";
import { PictureError } from "../../../model/picture/picture-error.ts";
import fc from "../../properties.ts";

/** Filters 8-bit rows as a PNG writer does. @source ISO/IEC 15948:2004, clause 9. */
function filtered(rows: readonly (readonly number[])[], filters: readonly number[]): Uint8Array {
  return Uint8Array.from(
    rows.flatMap((row, y) => {
      const filter = filters[y] ?? 0;
      const stored = row.map((value, x) => {
        const left = row[x - 1] ?? 0;
        const up = rows[y - 1]?.[x] ?? 0;
        const corner = rows[y - 1]?.[x - 1] ?? 0;
        const guess = left + up - corner;
        const nearest = [left, up, corner].reduce((a, b) => (Math.abs(guess - b) < Math.abs(guess - a) ? b : a));
        return (value - ([0, left, up, (left + up) >> 1, nearest][filter] ?? 0) + 256) % 256;
      });
      return [filter, ...stored];
    }),
  );
}

function passes(
  raw: Uint8Array,
  size: number,
  paletteSize: number,
  bitDepth = 8,
  piece = 7,
  interlaced = false,
): boolean {
  const check = new PaletteCheck({ widthPx: size, heightPx: size, bitDepth, interlaced }, paletteSize);
  try {
    for (let at = 0; at < raw.length; at += piece) check.feed(raw.subarray(at, at + piece));
    return true;
  } catch (error) {
    if (!(error instanceof PictureError) || error.code !== "damaged") throw error;
    return false;
  }
}

describe("colours that the palette lacks", () => {
  test("are found under every filter and in any pieces, and only they", () => {
    const square = fc.array(fc.array(fc.nat({ max: 255 }), { minLength: 5, maxLength: 5 }), {
      minLength: 5,
      maxLength: 5,
    });
    const filters = fc.array(fc.nat({ max: 4 }), { minLength: 5, maxLength: 5 });
    fc.assert(
      fc.property(square, filters, fc.integer({ min: 1, max: 31 }), (rows, kinds, piece) => {
        const highest = Math.max(...rows.flat());
        const raw = filtered(rows, kinds);
        expect(passes(raw, 5, highest + 1, 8, piece)).toBe(true);
        if (highest > 0) expect(passes(raw, 5, highest, 8, piece)).toBe(false);
      }),
    );
  });

  test("are found in pixels smaller than a byte, and padding bits are no pixels", () => {
    // Four rows of three 2-bit pixels 0, 1, 2; the last two bits of each byte are padding.
    const raw = Uint8Array.from([1, 2, 3, 4, 5].flatMap(() => [0, 0b00011011, 0b00000011]));
    expect(passes(raw, 5, 4, 2)).toBe(true);
    expect(passes(raw, 5, 3, 2)).toBe(false);
    const padded = Uint8Array.from([1, 2, 3, 4, 5].flatMap(() => [0, 0, 0b00111111]));
    expect(passes(padded, 5, 1, 2)).toBe(true);
  });

  test("an unknown filter is damage, bytes after the last row are none", () => {
    expect(passes(Uint8Array.from([5, 0, 0, 0, 0]), 4, 255)).toBe(false);
    expect(passes(new Uint8Array(200), 4, 1)).toBe(true);
  });

  test("interlaced passes start afresh", () => {
    // 8 × 8 px: the first pass has one pixel, the second too; "up" in the second must not see the first.
    const raw = new Uint8Array(79);
    raw.set([0, 3, 2, 3]);
    expect(passes(raw, 8, 4, 8, 3, true)).toBe(true);
    raw.set([0, 3, 2, 4]);
    expect(passes(raw, 8, 4, 8, 3, true)).toBe(false);
  });
});
