import { describe, expect, it } from "vitest";
import type { FrameSource } from "../../web/storage/safe/frame.ts";
import { crc32, frameOf, scanFrames } from "../../web/storage/safe/frame.ts";
import type { SyncFile } from "../../web/storage/safe/safe-files.ts";
import { SafeFiles } from "../../web/storage/safe/safe-files.ts";

const utf8 = (text: string): Uint8Array => new TextEncoder().encode(text);
const joined = (...parts: readonly Uint8Array[]): Uint8Array => Uint8Array.from(parts.flatMap((part) => [...part]));
const framed = (text: string): Uint8Array => frameOf(utf8(text)).bytes;
const source = (bytes: Uint8Array): FrameSource => ({
  size: bytes.length,
  read: (start, end) => bytes.slice(start, end),
});
const read = (bytes: Uint8Array, from = 0, budget = 1e9) => {
  const { frames, ...rest } = scanFrames(source(bytes), from, budget);
  return { texts: frames.map(({ content }) => new TextDecoder().decode(content)), ...rest };
};
const flipped = (bytes: Uint8Array, at: number): Uint8Array => bytes.map((byte, i) => (i === at ? byte ^ 0x10 : byte));

describe("the checksum", () => {
  it("is that of zip and PNG", () => {
    // The end chunk of every PNG file: type IEND, no data, CRC AE 42 60 82 (PNG specification; value from memory).
    expect(crc32(utf8("IEND"))).toBe(0xae426082);
    expect(crc32(utf8("END"), crc32(utf8("I")))).toBe(0xae426082);
    // Every bit counts.
    for (let bit = 0; bit < 8; bit++)
      expect(crc32(Uint8Array.of(0x49 ^ (1 << bit), 0x45, 0x4e, 0x44))).not.toBe(0xae426082);
  });
});

describe("frames", () => {
  const [a, b, c] = [framed("one"), framed("two, longer"), framed("three")];
  const all = joined(a, b, c);

  it("are read in their order, a part at a time", () => {
    expect(read(all)).toEqual({ texts: ["one", "two, longer", "three"], damaged: 0, next: all.length, tornAt: null });
    expect(read(all, 0, 1)).toEqual({ texts: ["one"], damaged: 0, next: a.length, tornAt: null });
    expect(read(all, a.length).texts).toEqual(["two, longer", "three"]);
    expect(read(new Uint8Array()).texts).toEqual([]);
  });

  it("cut off anywhere leave the whole ones before and name the place", () => {
    for (let length = a.length + b.length + 1; length < all.length; length++)
      expect(read(all.slice(0, length))).toEqual({
        texts: ["one", "two, longer"],
        damaged: 0,
        next: length,
        tornAt: a.length + b.length,
      });
  });

  it("with any one byte flipped lose that frame alone", () => {
    for (let at = a.length; at < a.length + b.length; at++)
      expect(read(flipped(all, at))).toEqual({ texts: ["one", "three"], damaged: 1, next: all.length, tornAt: null });
  });

  it("after a half-written one are still found", () => {
    for (let length = 1; length < b.length; length++)
      expect(read(joined(a, b.slice(0, length), c)).texts).toEqual(["one", "three"]);
  });

  it("may hold what looks like a frame", () => {
    const nested = new Uint8Array([...utf8("x"), ...a, ...utf8("y")]);
    const outer = frameOf(nested).bytes;
    expect(scanFrames(source(joined(outer, c)), 0, 1e9).frames.map(({ content }) => content)).toEqual([
      nested,
      utf8("three"),
    ]);
  });
});

/** A file in memory that takes only so many bytes. */
function memoryFile(room = Infinity): SyncFile & { readonly bytes: () => number[] } {
  let bytes: number[] = [];
  return {
    bytes: () => bytes,
    read(into, { at }) {
      const part = bytes.slice(at, at + into.length);
      into.set(part);
      return part.length;
    },
    write(more, { at }) {
      const fits = [...more].slice(0, Math.max(0, room - at));
      bytes = [...bytes.slice(0, at), ...fits];
      return fits.length;
    },
    flush: () => undefined,
    truncate: (size) => void (bytes = bytes.slice(0, size)),
    getSize: () => bytes.length,
    close: () => undefined,
  };
}
const blob = (length: number, byte: number): Blob => new Blob([new Uint8Array(length).fill(byte)]);

describe("the volumes", () => {
  it("are begun anew when one is full, and give every original back", async () => {
    const made: number[] = [];
    const files = new SafeFiles(
      memoryFile(),
      [memoryFile()],
      (number) => {
        made.push(number);
        return Promise.resolve(memoryFile());
      },
      10,
    );
    const places = await files.keep([blob(4, 1), blob(5, 2), blob(3, 3), blob(25, 4), blob(1, 5)]);
    expect(places.map(({ volume, offset, length }) => [volume, offset, length])).toEqual([
      [0, 0, 4],
      [0, 4, 5],
      [1, 0, 3],
      [2, 0, 25],
      [3, 0, 1],
    ]);
    expect(made).toEqual([1, 2, 3]);
    expect(places.map((place) => [...new Set(files.read(place))])).toEqual([[1], [2], [3], [4], [5]]);
    expect(files.read({ volume: 0, offset: 4, length: 6 })).toBeNull();
    expect(files.read({ volume: 9, offset: 0, length: 1 })).toBeNull();
  });

  it("and the journal that take only a part say that the disk is full, and can be cut back", async () => {
    const [journal, volume] = [memoryFile(40), memoryFile(10)];
    const files = new SafeFiles(journal, [volume], () => Promise.reject(new Error("not asked")));
    await files.keep([blob(4, 1)]);
    const first = files.append("one");
    const before = files.sizes();
    await expect(files.keep([blob(20, 2)])).rejects.toMatchObject({ name: "QuotaExceededError" });
    expect(() => files.append("x".repeat(50))).toThrow(DOMException);
    expect(volume.bytes()).toHaveLength(10);
    files.cut(before);
    expect(files.sizes()).toEqual(before);
    expect(files.holds(first)).toBe(true);
    expect(files.holds({ ...first, crc: first.crc ^ 1 })).toBe(false);
    expect(files.scan(0, 1e9).tornAt).toBeNull();
  });
});
