import { afterAll, describe, expect, test } from "vitest";
import { commands } from "vitest/browser";
import type { DeepTone } from "../../model/picture/deep-tone.ts";
import { createPictureClient } from "../../web/workers/client.ts";
import { createIntake } from "../../web/intake/intake-service.ts";
import { blobOf, bytesOf } from "./blob-of.ts";
import { close, rgbOf } from "./pixels-of.ts";

const client = createPictureClient();
afterAll(() => {
  client.close();
});
const made = async (shape: string) => blobOf(await commands.madePicture(shape));
const wide: DeepTone = { sample: "uint16", black: 0, white: 65_535, chosen: "by-a-person" };

describe("deep files", () => {
  test.each(["tiff-16-lzw", "tiff-16-deflate", "png-16-dark"])("%s: what it is and what is chosen", async (shape) => {
    const blob = await made(shape);
    expect(await client.inspect(blob)).toMatchObject({ deep: "uint16", pages: 1 });
    const { deepTone, working, thumbnail } = await client.copies(blob);
    expect(deepTone).toEqual({ sample: "uint16", black: 302, white: 2_697, chosen: "from-the-pixels" });
    expect(working).toBeNull();
    expect(thumbnail.type).toBe("image/jpeg");
  });

  // Orientation 6: row 0 of the stored picture is the right edge, so its first value lies at the top right.
  test("the picture goes upright from black to white, or as a person says", async () => {
    const blob = await made("tiff-16-lzw");
    const corners = async (deepTone?: DeepTone) => {
      const picture = await client.bitmap(blob, { shown: { deepTone } });
      expect([picture.bitmap.width, picture.bitmap.height]).toEqual([40, 60]);
      const rgb = rgbOf(picture.bitmap);
      close(picture);
      return [rgb[39 * 3], rgb[59 * 40 * 3]];
    };
    expect(await corners()).toEqual([0, 255]);
    expect(await corners(wide)).toEqual([1, 11]);
  });

  test("values for measuring are the file's own, upright", async () => {
    const all = await client.deepValues(await made("tiff-16-deflate"));
    expect(all).toMatchObject({ x: 0, y: 0, widthPx: 40, heightPx: 60, sample: "uint16" });
    expect([all?.values[39], all?.values[38], all?.values[59 * 40]]).toEqual([300, 360, 2_699]);
    const region = { x: 38, y: 1, widthPx: 5, heightPx: 1 };
    const part = await client.deepValues(await made("tiff-16-deflate"), { region });
    expect([...(part?.values ?? [])]).toEqual([361, 301]);
    const png = await client.deepValues(await made("png-16-dark"));
    expect([png?.values[0], png?.values[2_399]]).toEqual([300, 2_699]);
  });

  test("a survey counts all samples; 8-bit files have neither values nor survey nor tone", async () => {
    const survey = await client.survey(await made("tiff-16-lzw"));
    expect(survey?.counts.reduce((a, b) => a + b)).toBe(3 * 2_400);
    expect(survey).toMatchObject({ lowest: 300, highest: 2_699, automatic: { black: 302 } });
    const shallow = await made("tiff-lzw");
    expect(await client.survey(shallow)).toBeNull();
    expect(await client.deepValues(shallow)).toBeNull();
    expect((await client.copies(shallow)).deepTone).toBeNull();
  });

  test("a page that is not there is refused in words", async () => {
    const refused = client.bitmap(await made("tiff-16-lzw"), { shown: { page: 3 } });
    await expect(refused).rejects.toMatchObject({ code: "page-missing", message: "The file has 1 pages, not 4." });
  });

  test("intake puts the tone into the record, and again when the original is stored already", async () => {
    const file = new File([bytesOf(await commands.madePicture("tiff-16-lzw"))], "deep.tif");
    for (const known of [false, true]) {
      const store = { known: (hashes: readonly string[]) => Promise.resolve(new Set(known ? hashes : [])) };
      for await (const result of createIntake({ store, pictures: client }).take([{ file, relativePath: "deep.tif" }])) {
        expect(result.status).toBe(known ? "again" : "ready");
        expect(result).toMatchObject({ pages: 1, photograph: { deepTone: { black: 302, white: 2_697 } } });
      }
    }
  });
});

test("print colours (CMYK) in a JPEG are shown as colours, not as their negative", async () => {
  const picture = await client.bitmap(await made("jpeg-cmyk"));
  const rgb = rgbOf(picture.bitmap);
  close(picture);
  const at = (x: number, y: number) => [...rgb.slice((y * 60 + x) * 3, (y * 60 + x) * 3 + 3)];
  const [red = 0, green = 0, blue = 0] = at(10, 10);
  expect(red).toBeGreaterThan(green + 60);
  expect(red).toBeGreaterThan(blue + 60);
  const [r = 0, g = 0, b = 0] = at(10, 30);
  expect(b).toBeGreaterThan(r + 60);
  expect(b).toBeGreaterThan(g + 30);
});
