import { afterAll, describe, expect, test } from "vitest";
import { commands } from "vitest/browser";
import { createPictureClient } from "../../web/workers/client.ts";
import { blobOf } from "./blob-of.ts";
import { close, meanDifference, rgbOf } from "./pixels-of.ts";

const client = createPictureClient();
afterAll(() => {
  client.close();
});
const made = async (shape: string) => blobOf(await commands.madePicture(shape));

const expected = await (async () => {
  const picture = await client.bitmap(await made("png"));
  const pixels = rgbOf(picture.bitmap);
  close(picture);
  return pixels;
})();

const EXACT = [
  ..."bmp png png-palette png-interlaced webp-lossless".split(" "),
  ..."tiff-plain tiff-lzw tiff-lzw-differences tiff-deflate tiff-packbits tiff-tiles tiff-tiles-lzw".split(" "),
  ..."tiff-tiles-deflate tiff-big".split(" "),
];
const turned = (kind: string) => [2, 3, 4, 5, 6, 7, 8].map((o) => `${kind}-o${String(o)}`);

describe("pixels", () => {
  test("the made picture itself is as made: its corners tell its quarters", () => {
    const at = (x: number, y: number) => [...expected.slice((y * 60 + x) * 3, (y * 60 + x) * 3 + 3)];
    expect([at(0, 0), at(59, 0), at(0, 39), at(59, 39)]).toEqual([
      [200, 40, 40],
      [40, 180, 40],
      [40, 99, 200],
      [220, 200, 99],
    ]);
  });

  test.each([...EXACT, ...turned("png"), ...turned("webp"), ...turned("tiff")])(
    "%s decodes upright to the very pixels",
    async (shape) => {
      const picture = await client.bitmap(await made(shape));
      expect([picture.fullWidthPx, picture.fullHeightPx]).toEqual([60, 40]);
      expect(meanDifference(rgbOf(picture.bitmap), expected)).toBe(0);
      close(picture);
    },
  );

  test.each(["jpeg", "jpeg-progressive", "png-16", "webp-lossy", "tiff-jpeg", ...turned("jpeg")])(
    "%s decodes upright to nearly the same pixels",
    async (shape) => {
      const picture = await client.bitmap(await made(shape));
      expect([picture.fullWidthPx, picture.fullHeightPx]).toEqual([60, 40]);
      expect(meanDifference(rgbOf(picture.bitmap), expected)).toBeLessThan(4);
      close(picture);
    },
  );
});

describe("inspect", () => {
  test("hash, size, time and camera", async () => {
    const blob = await made("jpeg-timed");
    const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", await blob.arrayBuffer()));
    const inspection = await client.inspect(blob);
    expect(inspection).toMatchObject({
      hash: [...digest].map((b) => b.toString(16).padStart(2, "0")).join(""),
      byteLength: blob.size,
      mediaType: "image/jpeg",
      widthPx: 60,
      heightPx: 40,
      orientation: 1,
      capturedAt: "2026-11-03T14:05:09.25+01:00",
      camera: "Maker Model 1",
      pages: 1,
    });
  });

  test.each([...turned("jpeg"), ...turned("png"), ...turned("webp"), ...turned("tiff")])(
    "%s: the size is that of the upright picture",
    async (shape) => {
      const inspection = await client.inspect(await made(shape));
      expect([inspection.widthPx, inspection.heightPx]).toEqual([60, 40]);
      expect(inspection.orientation).toBe(Number(shape.slice(-1)));
    },
  );
});

describe("copies", () => {
  test("browsers show a JPEG themselves: thumbnail only", async () => {
    const copies = await client.copies(await made("jpeg-large"));
    expect(copies.working).toBeNull();
    expect(copies.thumbnail.type).toBe("image/jpeg");
    const little = await createImageBitmap(copies.thumbnail);
    expect([little.width, little.height]).toEqual([320, 213]);
    little.close();
  });

  test.each(["tiff-lzw", "tiff-o6", "tiff-o3", "png-o6", "webp-o8", "webp-o2"])(
    "%s gets a working copy with the very pixels, upright in any browser",
    async (shape) => {
      const blob = await made(shape);
      const { working, thumbnail } = await client.copies(blob);
      expect(working?.type).toBe("image/png");
      for (const copy of [working, await client.working(blob)]) {
        const bitmap = await createImageBitmap(copy ?? new Blob());
        expect(meanDifference(rgbOf(bitmap), expected)).toBe(0);
        bitmap.close();
      }
      const little = await createImageBitmap(thumbnail);
      expect(meanDifference(rgbOf(little), expected)).toBeLessThan(12);
      little.close();
    },
  );

  test("a JPEG needs none", async () => {
    expect(await client.working(await made("jpeg-o6"))).toBeNull();
  });

  test("small is the thumbnail alone", async () => {
    const little = await createImageBitmap(await client.small(await made("tiff-o5")));
    expect([little.width, little.height]).toEqual([60, 40]);
    little.close();
  });

  test("a PNG with half its rows is refused although all its check sums hold", async () => {
    await expect(client.copies(await made("png-half"))).rejects.toMatchObject({ code: "truncated" });
  });

  test("a PNG that unpacks without end is refused at the first byte too many", async () => {
    const started = performance.now();
    await expect(client.copies(await made("png-bomb"))).rejects.toMatchObject({ code: "damaged" });
    expect(performance.now() - started).toBeLessThan(2_000);
  });
});

describe("bitmap", () => {
  test("comes with its halves, and as small as asked", async () => {
    const blob = await made("jpeg-large");
    const full = await client.bitmap(blob);
    expect([full.bitmap.width, full.bitmap.height]).toEqual([3000, 2000]);
    expect(full.levels.map(({ width, height }) => [width, height])).toEqual([
      [1500, 1000],
      [750, 500],
      [375, 250],
    ]);
    close(full);
    const less = await client.bitmap(blob, { maxPx: 600 });
    expect([less.bitmap.width, less.bitmap.height, less.fullWidthPx, less.fullHeightPx]).toEqual([
      600, 400, 3000, 2000,
    ]);
    expect(less.levels.map(({ width }) => width)).toEqual([300]);
    close(less);
  });
});
