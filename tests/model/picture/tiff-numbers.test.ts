import { describe, expect, test } from "vitest";
import { readerOf } from "../../../model/picture/byte-reader.ts";
import type { PictureError } from "../../../model/picture/picture-error.ts";
import { bytesOf, numbersOf, openTiff, readDirectory, type TiffStream } from "../../../model/picture/tiff-directory.ts";

/** Types and their widths: TIFF 6.0 (1992), section 2; 16 to 18 of BigTIFF from memory. */
const WRITTEN: readonly (readonly [
  name: string,
  type: number,
  size: number,
  write: (view: DataView, little: boolean) => void,
  value: number,
])[] = [
  ["byte", 1, 1, (v) => v.setUint8(0, 200), 200],
  ["short", 3, 2, (v, le) => v.setUint16(0, 65_000, le), 65_000],
  ["long", 4, 4, (v, le) => v.setUint32(0, 4_000_000_000, le), 4_000_000_000],
  ["rational", 5, 8, (v, le) => (v.setUint32(0, 3, le), v.setUint32(4, 8, le)), 0.375],
  ["signed byte", 6, 1, (v) => v.setInt8(0, -100), -100],
  ["signed short", 8, 2, (v, le) => v.setInt16(0, -30_000, le), -30_000],
  ["signed long", 9, 4, (v, le) => v.setInt32(0, -2_000_000_000, le), -2_000_000_000],
  ["signed rational", 10, 8, (v, le) => (v.setInt32(0, -7, le), v.setInt32(4, 4, le)), -1.75],
  ["float", 11, 4, (v, le) => v.setFloat32(0, -0.625, le), -0.625],
  ["double", 12, 8, (v, le) => v.setFloat64(0, 1e-9, le), 1e-9],
  ["directory offset", 13, 4, (v, le) => v.setUint32(0, 3_000_000_000, le), 3_000_000_000],
  ["wide long", 16, 8, (v, le) => v.setBigUint64(0, 5_000_000_000n, le), 5_000_000_000],
  ["signed wide long", 17, 8, (v, le) => v.setBigInt64(0, -5_000_000_000n, le), -5_000_000_000],
  ["wide offset", 18, 8, (v, le) => v.setBigUint64(0, 6_000_000_000n, le), 6_000_000_000],
];

const streamOf = (bytes: Uint8Array, littleEndian = true): TiffStream => ({
  reader: readerOf(bytes),
  littleEndian,
  big: false,
  first: 8,
});

const codeOf = async (act: Promise<unknown>): Promise<string> => {
  try {
    await act;
    return "taken";
  } catch (error) {
    return (error as PictureError).code;
  }
};

describe.each([true, false])("numbers of a TIFF, little endian %s", (little) => {
  test.each(WRITTEN)("a %s reads back as it was written", async (_name, type, size, write, value) => {
    const bytes = new Uint8Array(4 + size);
    write(new DataView(bytes.buffer, 4), little);
    expect(await numbersOf(streamOf(bytes, little), { type, count: 1, at: 4 }, 1)).toEqual([value]);
  });
});

test("a rational of nothing over nothing is no number", async () => {
  const [value] = await numbersOf(streamOf(new Uint8Array(8)), { type: 5, count: 1, at: 0 }, 1);
  expect(value).toBeNaN();
});

test("a list of the length allowed is read, one more is damage", async () => {
  const stream = streamOf(Uint8Array.from([1, 2, 3, 4]));
  expect(await numbersOf(stream, { type: 1, count: 3, at: 1 }, 3)).toEqual([2, 3, 4]);
  expect(await codeOf(numbersOf(stream, { type: 1, count: 4, at: 0 }, 3))).toBe("damaged");
});

test("values that lie beyond the end of the file are cut off", async () => {
  const stream = streamOf(Uint8Array.from([1, 2, 3, 4]));
  expect(await codeOf(numbersOf(stream, { type: 3, count: 2, at: 1 }, 9))).toBe("truncated");
  expect(await codeOf(bytesOf(stream, { type: 3, count: 2, at: 1 }, 9))).toBe("truncated");
});

test("a block is measured in bytes, not in values", async () => {
  const stream = streamOf(Uint8Array.from([1, 2, 3, 4]));
  expect([...(await bytesOf(stream, { type: 3, count: 2, at: 0 }, 4))]).toEqual([1, 2, 3, 4]);
  expect(await codeOf(bytesOf(stream, { type: 3, count: 2, at: 0 }, 3))).toBe("damaged");
});

describe("the head of a stream", () => {
  const opened = (...bytes: number[]) => openTiff(readerOf(Uint8Array.from(bytes)));

  test("says the byte order and where the first directory lies", async () => {
    expect(await opened(0x49, 0x49, 42, 0, 9, 1, 0, 0)).toMatchObject({ littleEndian: true, big: false, first: 265 });
    expect(await opened(0x4d, 0x4d, 0, 42, 0, 0, 1, 9)).toMatchObject({ littleEndian: false, big: false, first: 265 });
  });

  test("is none with another order, another version or fewer than eight bytes", async () => {
    expect(await opened(0x49, 0x4d, 42, 0, 8, 0, 0, 0)).toBeNull();
    expect(await opened(0x49, 0x49, 44, 0, 8, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0)).toBeNull();
    expect(await opened(0x49, 0x49, 42, 0, 8, 0, 0)).toBeNull();
  });

  test("of a big file needs eight-byte offsets and all sixteen bytes", async () => {
    const head = [0x49, 0x49, 43, 0, 8, 0, 0, 0, 16, 0, 0, 0, 0, 0, 0, 0];
    expect(await opened(...head)).toMatchObject({ big: true, first: 16 });
    expect(await opened(...head.slice(0, 15))).toBeNull();
    expect(await opened(...head.map((b, i) => (i === 4 ? 4 : b)))).toBeNull();
  });
});

describe("a directory", () => {
  const entry = (tag: number, type: number, value: number) => [tag, 0, type, 0, 1, 0, 0, 0, value, 0, 0, 0];
  const file = (count: number, ...rest: number[]) =>
    streamOf(Uint8Array.from([0, 0, 0, 0, 0, 0, 0, 0, count & 255, count >> 8, ...rest]));

  test("may end with the file; then no other follows", async () => {
    const { entries, next } = await readDirectory(file(1, ...entry(1, 3, 7)), 8);
    expect(entries.get(1)).toEqual({ type: 3, count: 1, at: 18 });
    expect(next).toBe(0);
  });

  test("names the next one", async () => {
    expect((await readDirectory(file(1, ...entry(1, 3, 7), 44, 1, 0, 0), 8)).next).toBe(300);
  });

  test("keeps the first of two entries of one tag, and leaves out a type nobody knows", async () => {
    const { entries } = await readDirectory(file(3, ...entry(1, 3, 7), ...entry(1, 4, 8), ...entry(2, 99, 9)), 8);
    expect([...entries.keys()]).toEqual([1]);
    expect(entries.get(1)?.type).toBe(3);
  });

  test("that is empty, too long, cut off or inside the head is refused", async () => {
    expect(await codeOf(readDirectory(file(0, 0, 0, 0, 0), 8))).toBe("damaged");
    expect(await codeOf(readDirectory(file(4097), 8))).toBe("damaged");
    expect(await codeOf(readDirectory(file(4096), 8))).toBe("truncated");
    expect(await codeOf(readDirectory(file(2, ...entry(1, 3, 7)), 8))).toBe("truncated");
    expect(await codeOf(readDirectory(streamOf(new Uint8Array(40).fill(1)), 7))).toBe("truncated");
  });
});
