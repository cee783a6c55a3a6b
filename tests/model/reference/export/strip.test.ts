import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import exifr from "exifr";
import sharp from "sharp";
import { describe, expect, test } from "vitest";
import { saysPosition, stripped } from "../../../../model/reference/export/strip/strip.ts";
import { NO_REAL_DATA, realData } from "../../../real-data.ts";

type Bytes = Uint8Array<ArrayBuffer>;
const own = (bytes: Uint8Array): Bytes => Uint8Array.from(bytes);
const picture = () =>
  sharp({
    create: {
      width: 60,
      height: 40,
      channels: 3,
      background: "#864",
      noise: { type: "gaussian", mean: 120, sigma: 30 },
    },
  });
const exif = {
  IFD0: { Make: "Maker", Artist: "A. Brandt" },
  IFD3: { GPSLatitudeRef: "N", GPSLatitude: "51/1 30/1 12/1", GPSLongitudeRef: "E", GPSLongitude: "7/1 27/1 3/1" },
};
const kinds = {
  jpeg: async () => own(await picture().withExif(exif).jpeg().toBuffer()),
  png: async () => own(await picture().withExif(exif).png().toBuffer()),
  webp: async () => own(await picture().withExif(exif).webp().toBuffer()),
} as const;
const pixels = async (bytes: Uint8Array) => (await sharp(bytes).raw().toBuffer()).toString("base64");

describe("the position goes, the picture and the rest stay", () => {
  test.each(Object.entries(kinds))("%s", async (kind, make) => {
    const before = await make();
    // exifr reads no WebP.
    if (kind !== "webp") expect((await exifr.gps(before)).latitude).toBeCloseTo(51.503, 3);
    expect(saysPosition(before)).toBe(true);
    const clean = stripped(before, "position")!;
    expect(clean.removed.length).toBeGreaterThan(0);
    expect(saysPosition(clean.bytes)).toBe(false);
    expect(await pixels(clean.bytes)).toBe(await pixels(before));
    if (kind === "webp") return;
    const after = (await exifr.parse(clean.bytes, { gps: true, tiff: true })) as Record<string, unknown> | undefined;
    expect(Object.keys(after ?? {}).filter((key) => /gps|latitude|longitude/i.test(key))).toEqual([]);
    if (kind === "jpeg") expect(after?.["Make"]).toBe("Maker");
  });
});

describe("everything goes", () => {
  test.each(Object.entries(kinds))("%s", async (_kind, make) => {
    const before = await make();
    const clean = stripped(before, "all")!;
    expect(await pixels(clean.bytes)).toBe(await pixels(before));
    const { exif: left, xmp, iptc } = await sharp(clean.bytes).metadata();
    expect([left, xmp, iptc]).toEqual([undefined, undefined, undefined]);
    expect(Buffer.from(clean.bytes).includes("Brandt")).toBe(false);
    expect(stripped(clean.bytes, "all")!.bytes).toBe(clean.bytes);
  });
  test("a TIFF keeps its other tags without the position; for everything it must be drawn anew", async () => {
    // The camera data of a JPEG are a TIFF of their own.
    const tiff = own((await sharp(await kinds.jpeg()).metadata()).exif!.subarray(6));
    const clean = stripped(tiff, "position")!;
    expect(clean.removed).toEqual(["position"]);
    expect(clean.bytes).toHaveLength(tiff.length);
    const before = (await exifr.parse(tiff, { gps: true, tiff: true })) as Record<string, unknown>;
    const after = (await exifr.parse(clean.bytes, { gps: true, tiff: true })) as Record<string, unknown>;
    expect(before["latitude"]).toBeCloseTo(51.503, 3);
    expect(after["latitude"]).toBeUndefined();
    expect(after["Artist"]).toBe("A. Brandt");
    expect(stripped(tiff, "all")).toBeNull();
  });
  test("data hung on behind a JPEG goes as well", async () => {
    const plain = own(await picture().jpeg({ progressive: true }).toBuffer());
    const hung = own(Buffer.concat([plain, Buffer.from("hidden \xff\xd8\xff\xd9 more", "latin1")]));
    expect(stripped(hung, "all")!.bytes).toEqual(stripped(plain, "all")!.bytes);
    expect(stripped(hung, "position")!.bytes).toBe(hung);
  });
});

test("a file that says nothing of a place is handed back as the same bytes", async () => {
  const plain = own(
    await picture()
      .withExif({ IFD0: { Make: "Maker" } })
      .jpeg()
      .toBuffer(),
  );
  expect(stripped(plain, "position")).toEqual({ bytes: plain, removed: [] });
  expect(stripped(plain, "position")!.bytes).toBe(plain);
});

test("a damaged directory of the position takes all camera data with it, rather than staying", async () => {
  const before = await kinds.jpeg();
  const tag = Buffer.from(before).indexOf(Buffer.from([0x25, 0x88]));
  const at = tag < 0 ? Buffer.from(before).indexOf(Buffer.from([0x88, 0x25])) : tag;
  const broken = before.slice();
  broken.set([0xff, 0xff, 0xff, 0x7f], at + 8);
  const clean = stripped(broken, "position")!;
  expect(clean.removed).toEqual(["camera data"]);
  expect(saysPosition(clean.bytes)).toBe(false);
});

const real = realData();
describe.skipIf(real === null)(`real and hostile files (${NO_REAL_DATA})`, () => {
  test("no file makes it throw or hang, and what it cleans is clean", () => {
    let looked = 0;
    for (const folder of ["resolution-tags", "orientation", "corrupt", "png-suite", "bit-depth"])
      for (const name of readdirSync(join(real!, folder))) {
        const bytes = own(readFileSync(join(real!, folder, name)));
        for (const what of ["position", "all"] as const) {
          const clean = stripped(bytes, what);
          if (clean !== null) expect(saysPosition(clean.bytes)).not.toBe(true);
          looked++;
        }
      }
    expect(looked).toBeGreaterThan(100);
  });
});
