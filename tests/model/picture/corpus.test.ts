import { readFileSync, readdirSync } from "node:fs";
import { join } from "node:path";
import exifr from "exifr";
import { describe, expect, test } from "vitest";
import { readerOf } from "../../../model/picture/byte-reader.ts";
import { readCameraData } from "../../../model/picture/camera-data.ts";
import { PictureError } from "../../../model/picture/picture-error.ts";
import { readPictureHeader } from "../../../model/picture/sniff.ts";
import { NO_REAL_DATA, realData } from "../../real-data.ts";

const root = realData();
if (root === null) console.log(NO_REAL_DATA);
const list = (folder: string, pattern: RegExp) =>
  root === null ? [] : readdirSync(join(root, folder)).filter((name) => pattern.test(name));
const load = (folder: string, name: string) => new Uint8Array(readFileSync(join(root ?? "", folder, name)));

async function code(folder: string, name: string): Promise<string> {
  try {
    await readPictureHeader(readerOf(load(folder, name)));
    return "taken";
  } catch (error) {
    if (!(error instanceof PictureError)) throw error;
    return error.code;
  }
}

describe.runIf(root !== null)("real pictures", () => {
  test.each(list("png-suite", /png$/))("png-suite/%s is taken with the size in its name", async (name) => {
    const header = await readPictureHeader(readerOf(load("png-suite", name)));
    // PngSuite names end in the bit depth; "p" marks a palette.
    expect(header.bitsPerSample).toBe(Number(/\d\d(?=\D*(-|\.))/.exec(name)?.[0]));
    expect(header.png?.paletteSize !== null).toBe(/3p/.test(name));
    expect(header.widthPx).toBe(Number(/-(\d\d)/.exec(name)?.[1] ?? 32));
  });

  test.each([
    ["sharp_65536-uint32-limit.png", "too-large"],
    ["decompression_bomb.gif", "unsupported-kind"],
    ["multipage_single_frame_loop.tiff", "directory-loop"],
    ["multipage_multiple_frame_loop.tiff", "directory-loop"],
    ["libtiff_segfault.tif", "too-large"],
    ["invalid-crc32.png", "damaged"],
    ["invalid-noend.png", "truncated"],
    ["sharp_truncated.jpg", "truncated"],
    ["sharp_truncated.png", "truncated"],
    ["skimage_truncated.jpg", "truncated"],
    ["truncated_jpeg.jpg", "truncated"],
    ["truncated_image.png", "truncated"],
  ])("corrupt/%s: %s", async (name, expected) => {
    expect(await code("corrupt", name)).toBe(expected);
  });

  test.each([
    ["16bit.r.tif", "taken"],
    ["16bit.cropped.tif", "taken"],
    ["16bit.MM.deflate.tif", "taken"],
    ["10ct_32bit_128.tiff", "taken"],
    ["12in16bit.tif", "taken"],
    ["tiff_tiled_planar_16bit_RGB.tiff", "taken"],
    ["hopper_bigtiff.tif", "taken"],
    ["tiff_strip_planar_lzw.tiff", "taken"],
    ["tiff_strip_cmyk_jpeg.tif", "taken"],
  ])("bit-depth/%s: %s", async (name, expected) => {
    expect(await code("bit-depth", name)).toBe(expected);
  });

  test("every corrupt and odd file is taken or refused, and none throws anything else", async () => {
    for (const folder of ["corrupt", "bit-depth", "orientation", "resolution-tags"]) {
      for (const name of list(folder, /\.(jpe?g|png|gif|tiff?)$/i)) {
        expect(await code(folder, name), name).toMatch(/^[a-z-]+$/);
      }
    }
  });

  test.each([2, 3, 4, 5, 6, 7, 8])("orientation %i is read", async (orientation) => {
    const reader = readerOf(load("orientation", `hopper_orientation_${String(orientation)}.jpg`));
    expect((await readCameraData(reader, await readPictureHeader(reader))).orientation).toBe(orientation);
  });

  // An independent reader of camera data (exifr) must agree wherever both say something.
  // In invalid-exif.jpg the mark of the byte order is destroyed: the other reader guesses it, we take nothing from it.
  test.each(list("resolution-tags", /\.jpe?g$/).filter((name) => name !== "invalid-exif.jpg"))(
    "resolution-tags/%s: time as another reader has it",
    async (name) => {
      const file = load("resolution-tags", name);
      const reader = readerOf(file);
      const header = await readPictureHeader(reader).catch((error: unknown) => {
        expect(error).toBeInstanceOf(PictureError);
        return null;
      });
      if (!header) return;
      const ours = await readCameraData(reader, header);
      const options = { reviveValues: false, translateValues: false } as const;
      const theirs = (await exifr.parse(file, options).catch(() => undefined)) as Record<string, unknown> | undefined;
      const time = theirs?.["DateTimeOriginal"] ?? theirs?.["CreateDate"] ?? theirs?.["ModifyDate"];
      if (typeof time === "string") {
        expect(ours.capturedAt?.slice(0, 19)).toBe(time.replace(":", "-").replace(":", "-").replace(" ", "T"));
      }
      if (typeof theirs?.["Model"] === "string") expect(ours.model).toBe(theirs["Model"].trim());
    },
  );
});
