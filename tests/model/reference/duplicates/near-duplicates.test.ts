import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import sharp, { type Sharp } from "sharp";
import { describe, expect, test } from "vitest";
import { greyOf, type GreyImage } from "../../../../model/picture/pixels/grey.ts";
import { bitsApart, pictureHash } from "../../../../model/reference/duplicates/picture-hash.ts";
import {
  type ComparedPhotograph,
  comparedPhotograph,
  LEAST_ALIKE,
  nearDuplicates,
} from "../../../../model/reference/duplicates/near-duplicates.ts";
import { laid, squareThumbnail } from "../../../../model/reference/duplicates/thumbnail.ts";
import { NO_REAL_DATA, realData } from "../../../real-data.ts";

async function grey(picture: Sharp): Promise<GreyImage> {
  const { data, info } = await picture
    .resize({ width: 320, height: 320, fit: "inside" })
    .toColourspace("srgb")
    .ensureAlpha()
    .raw()
    .toBuffer({ resolveWithObject: true });
  return greyOf({ widthPx: info.width, heightPx: info.height, rgba: data });
}

/** Copies as they come about: by mail, by a viewer that turns, by a phone. */
const COPIES: Readonly<Record<string, (file: Buffer) => Promise<Buffer>>> = {
  "packed at quality 30": (f) => sharp(f).jpeg({ quality: 30 }).toBuffer(),
  "a quarter of the size": async (f) =>
    sharp(f)
      .resize(Math.round((await sharp(f).metadata()).width / 4))
      .jpeg({ quality: 70 })
      .toBuffer(),
  "turned by a quarter": (f) => sharp(f).rotate(90).jpeg({ quality: 80 }).toBuffer(),
  "upside down": (f) => sharp(f).rotate(180).jpeg({ quality: 80 }).toBuffer(),
  mirrored: (f) => sharp(f).flop().jpeg({ quality: 80 }).toBuffer(),
  "brighter and grey": (f) => sharp(f).modulate({ brightness: 1.15 }).greyscale().png().toBuffer(),
};

const samples = fileURLToPath(new URL("../../../../samples/", import.meta.url));
const demo = readdirSync(samples)
  .filter((name) => name.startsWith("D-"))
  .flatMap((name) => readdirSync(join(samples, name)).map((file) => join(samples, name, file)))
  .filter((file) => file.endsWith(".jpg"));

/** Originals are compared with several copies; each is decoded once. */
const looked = new Map<string, Promise<ComparedPhotograph>>();
function lookAt(file: string): Promise<ComparedPhotograph> {
  const known = looked.get(file) ?? grey(sharp(file)).then((picture) => comparedPhotograph(file, file, picture));
  looked.set(file, known);
  return known;
}

async function missed(files: readonly string[], copy: (file: Buffer) => Promise<Buffer>): Promise<readonly string[]> {
  const lost: string[] = [];
  for (const file of files) {
    const bytes = readFileSync(file);
    const found = nearDuplicates([
      await lookAt(file),
      comparedPhotograph("copy", "b", await grey(sharp(await copy(bytes)))),
    ]);
    if (found.length === 0) lost.push(file);
  }
  return lost;
}

describe("copies of rendered demo pictures", () => {
  test.each(Object.entries(COPIES))("%s: all found", async (_name, copy) => {
    expect(
      await missed(
        demo.filter((_, i) => i % 6 === 0),
        copy,
      ),
    ).toEqual([]);
  });

  test("no two of the different demo pictures are called one", async () => {
    const all = [];
    for (const file of demo) all.push(await lookAt(file));
    expect(all.length).toBeGreaterThan(50);
    expect(nearDuplicates(all)).toEqual([]);
  });
});

const real = realData();
describe.skipIf(real === null)(`real pictures (${NO_REAL_DATA})`, () => {
  const from = (folder: string) =>
    readdirSync(join(real!, folder))
      .filter((name) => /\.(jpg|png)$/.test(name))
      .map((name) => join(real!, folder, name));

  test.each(Object.entries(COPIES))("%s: all found", async (_name, copy) => {
    const files = [...from("metal-surface").filter((_, i) => i % 6 === 0), ...from("texture")];
    expect(files.length).toBeGreaterThan(9);
    expect(await missed(files, copy)).toEqual([]);
  });

  test("one fixed camera: frames of the same place, hours apart, are called one; brick and gravel are not", async () => {
    const [first, second] = ["200905161420", "200905201421"].map((time) =>
      from("metal-surface").find((name) => name.includes(time)),
    );
    expect(nearDuplicates([await lookAt(first!), await lookAt(second!)])[0]?.alike).toBeGreaterThan(LEAST_ALIKE);
    const unlike = await Promise.all(from("texture").map(lookAt));
    expect(nearDuplicates(unlike)).toEqual([]);
  });
});

describe("the parts", () => {
  const made = (w: number, h: number): GreyImage => ({
    widthPx: w,
    heightPx: h,
    data: Float32Array.from({ length: w * h }, (_, i) => ((i * 7919) % 251) / 251),
  });
  test("a thumbnail keeps the mean, whatever the size, also of a picture smaller than itself", () => {
    const mean = ({ data }: GreyImage) => data.reduce((s, v) => s + v, 0) / data.length;
    for (const [w, h] of [
      [320, 211],
      [128, 128],
      [50, 33],
      [1, 1],
    ] as const)
      expect(mean(squareThumbnail(made(w, h)))).toBeCloseTo(mean(made(w, h)), 5);
  });
  test("eight ways, all different, each turned back by one of them", () => {
    const square = squareThumbnail(made(61, 40), 16);
    const ways = Array.from({ length: 8 }, (_, way) => laid(square, way).data.join());
    expect(new Set(ways).size).toBe(8);
    for (const way of [0, 1, 2, 3, 4, 7]) expect(laid(laid(square, way), way).data).toEqual(square.data);
    expect(laid(laid(square, 5), 6).data).toEqual(square.data);
  });
  test("bits apart", () => {
    expect(bitsApart([0, 0], [0xffffffff, 0x7fffffff])).toBe(63);
    expect(bitsApart([5, 1], [6, 1])).toBe(2);
    const look = pictureHash(made(64, 64));
    expect(bitsApart(look, look)).toBe(0);
  });
  test("even pictures without any detail are nothing to compare", () => {
    const even = (v: number): GreyImage => ({ widthPx: 20, heightPx: 20, data: new Float32Array(400).fill(v) });
    expect(nearDuplicates([comparedPhotograph("x", "a", even(0.5)), comparedPhotograph("y", "b", even(0.5))])).toEqual(
      [],
    );
  });
});
