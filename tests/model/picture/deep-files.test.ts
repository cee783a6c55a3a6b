import { readFileSync } from "node:fs";
import { join } from "node:path";
import { inflateSync } from "node:zlib";
import { decode as decodePng } from "fast-png";
import sharp from "sharp";
import { describe, expect, test } from "vitest";
import { readerOf } from "../../../model/picture/byte-reader.ts";
import { orderedValues } from "../../../model/picture/choose-tone.ts";
import type { DeepRaster } from "../../../model/picture/deep-raster.ts";
import { pngDeep } from "../../../model/picture/png-deep.ts";
import { readPictureHeader } from "../../../model/picture/sniff.ts";
import { tiffDeep } from "../../../model/picture/tiff-deep.ts";
import { unpackDeflate } from "../../../model/picture/unpack-deflate.ts";
import { unpackZstd } from "../../../web/workers/zstd.ts";
import { NO_REAL_DATA, realData } from "../../real-data.ts";

interface Figures {
  readonly dtype: string;
  readonly shape: readonly number[];
  readonly finite: number;
  readonly sum: number;
  readonly weighted: number;
  readonly low: number;
  readonly high: number;
}
interface Outside {
  readonly tolerance: number;
  readonly real: readonly (Figures & { readonly file: string })[];
  readonly made: readonly (Figures & { readonly name: string; readonly tiff: string })[];
}
// Written by tests/outside/deep-files.py with tifffile, libtiff and OpenCV.
const outside = JSON.parse(readFileSync(new URL("../../outside/deep-files.json", import.meta.url), "utf8")) as Outside;

const unpackers = {
  inflate: (packed: Uint8Array, length: number) => Promise.resolve(unpackDeflate(packed, length)),
  zstd: unpackZstd,
};

async function deepOf(file: Uint8Array): Promise<DeepRaster> {
  const reader = readerOf(file);
  const header = await readPictureHeader(reader);
  const { tiff, png, deep } = header;
  if (!deep) throw new Error("not deep");
  if (tiff) return tiffDeep(reader, tiff, deep, unpackers);
  if (!png) throw new Error("of no deep kind");
  const parts = png.parts.map(({ offset, length }) => file.subarray(offset, offset + length));
  return pngDeep(new Uint8Array(inflateSync(Buffer.concat(parts))), png);
}

/** Floats are compared as 32-bit ones, which is how deep samples are held. */
function compare(raster: DeepRaster, figures: Figures): void {
  const { data, widthPx, heightPx, channels, sample } = raster;
  expect(sample).toBe(figures.dtype);
  expect([heightPx, widthPx, channels]).toEqual([...figures.shape, 1].slice(0, 3));
  let [finite, sum, weighted, scale] = [0, 0, 0, 0];
  for (let i = 0; i < data.length; i++) {
    const value = data[i] ?? NaN;
    if (!Number.isFinite(value)) continue;
    finite++;
    sum += value;
    weighted += value * ((i % 997) + 1);
    scale += Math.abs(value) * ((i % 997) + 1);
  }
  expect(finite).toBe(figures.finite);
  // 16 bits and 32-bit floats are held exactly; the rest rounds each value to 24 bits.
  const exact = ["uint16", "int16", "float32"].includes(sample);
  const most = (exact ? outside.tolerance : 2 ** -25) * scale;
  expect(Math.abs(sum - figures.sum)).toBeLessThanOrEqual(most);
  expect(Math.abs(weighted - figures.weighted)).toBeLessThanOrEqual(most);
  const ordered = orderedValues(raster);
  const last = ordered.length - 1;
  const near = exact ? 0 : 2 ** -23;
  const [low, high] = [ordered[Math.floor(0.001 * last)] ?? NaN, ordered[Math.ceil(0.999 * last)] ?? NaN];
  if (data.length > 1 << 18) return;
  expect(Math.abs(low - figures.low)).toBeLessThanOrEqual(near * Math.abs(figures.low));
  expect(Math.abs(high - figures.high)).toBeLessThanOrEqual(near * Math.abs(figures.high));
}

describe("deep TIFFs written by other programs", () => {
  test.each(outside.made.map((row) => [row.name, row] as const))("%s", async (_, row) => {
    compare(await deepOf(new Uint8Array(Buffer.from(row.tiff, "base64"))), row);
  });
});

const root = realData();
if (root === null) console.log(NO_REAL_DATA);
describe.runIf(root !== null)("real deep files as other readers have them", () => {
  test.each(outside.real.map((row) => [row.file, row] as const))("%s", async (file, row) => {
    compare(await deepOf(new Uint8Array(readFileSync(join(root ?? "", file)))), row);
  });
});

describe("16-bit PNG, against fast-png", () => {
  const [width, height] = [53, 37];
  const value = (i: number) => (i * i * 7 + (i >> 4) * 131) % 65_536;
  test.each([
    ["grey", 1, false],
    ["grey and cover", 2, false],
    ["colours", 3, false],
    ["colours and cover", 4, false],
  ] as const)("%s", async (_, channels, progressive) => {
    const raw = Uint16Array.from({ length: width * height * channels }, (_v, i) => value(i));
    const space = channels < 3 ? "grey16" : "rgb16";
    const file = await sharp(raw, { raw: { width, height, channels } })
      .toColourspace(space)
      .png({ progressive, adaptiveFiltering: true })
      .toBuffer();
    const theirs = decodePng(file);
    expect([theirs.depth, theirs.channels]).toEqual([16, channels]);
    const ours = await deepOf(new Uint8Array(file));
    const shown = channels > 2 ? 3 : 1;
    expect(ours.channels).toBe(shown);
    const without = (cover: boolean) => [...theirs.data].filter((_v, i) => i % channels < shown !== cover);
    expect([...ours.data]).toEqual(without(false));
    const cover = channels === shown ? null : without(true).map((value16) => value16 >> 8);
    expect(ours.alpha && [...ours.alpha]).toEqual(cover);
  });

  test("interlaced", async () => {
    const raw = Uint16Array.from({ length: width * height }, (_v, i) => value(i));
    const image = () => sharp(raw, { raw: { width, height, channels: 1 } }).toColourspace("grey16");
    const [plain, passes] = await Promise.all([
      deepOf(new Uint8Array(await image().png().toBuffer())),
      deepOf(new Uint8Array(await image().png({ progressive: true }).toBuffer())),
    ]);
    expect([...passes.data]).toEqual([...plain.data]);
    expect([...plain.data]).toEqual([...raw]);
  });
});
