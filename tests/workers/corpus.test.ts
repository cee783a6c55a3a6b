import { afterAll, describe, expect, test } from "vitest";
import { commands } from "vitest/browser";
import { PictureError } from "../../model/picture/picture-error.ts";
import { createPictureClient } from "../../web/workers/client.ts";
import type { Copies, Inspection } from "../../web/workers/protocol.ts";
import { blobOf, bytesOf } from "./blob-of.ts";
import { close, meanDifference, rgbOf } from "./pixels-of.ts";

const names = await commands.realPictureNames();
const client = createPictureClient();
afterAll(() => {
  client.close();
});

type Outcome =
  | { readonly ok: true; readonly inspection: Inspection; readonly copies: Copies }
  | { readonly ok: false; readonly error: PictureError };

async function takeIn(name: string): Promise<Outcome> {
  const blob = blobOf(await commands.realPicture(name));
  try {
    return { ok: true, inspection: await client.inspect(blob), copies: await client.copies(blob) };
  } catch (error) {
    if (error instanceof PictureError) return { ok: false, error };
    throw error;
  }
}

describe.runIf(names.length > 0)("real pictures", () => {
  test.each(names)("%s opens or is refused in words within 10 s", { timeout: 12_000 }, async (name) => {
    const started = performance.now();
    const outcome = await takeIn(name);
    expect(performance.now() - started).toBeLessThan(10_000);
    if (outcome.ok) {
      const { inspection } = outcome;
      expect(inspection.hash).toMatch(/^[0-9a-f]{64}$/);
      expect(outcome.copies.thumbnail.size).toBeGreaterThan(100);
    } else {
      expect(outcome.error.message).toMatch(/^.{10,}[.]$/);
      expect(outcome.error.next).toMatch(/^.{10,}[.]$/);
    }
  });

  // The same picture lies in the corpus as a TIFF without orientation.
  test("photographs of every orientation come out upright", async () => {
    const reference = bytesOf(await commands.realPixels("resolution-tags/hopper_float_dpi_None.tif"));
    for (const orientation of [2, 3, 4, 5, 6, 7, 8]) {
      const blob = blobOf(await commands.realPicture(`orientation/hopper_orientation_${String(orientation)}.jpg`));
      const picture = await client.bitmap(blob);
      const difference = meanDifference(rgbOf(picture.bitmap), reference);
      expect(difference, `orientation ${String(orientation)}`).toBeLessThan(8);
      close(picture);
    }
  });

  test.each([
    ["bit-depth/hopper_bigtiff.tif", 0],
    ["bit-depth/tiff_strip_planar_lzw.tiff", 0],
    ["bit-depth/child_ifd.tiff", 0],
    ["bit-depth/hopper4.tif", 0],
    ["resolution-tags/hopper_float_dpi_2.tif", 0],
    // Two decoders of JPEG may round each value differently, and smooth thinned colours differently.
    ["bit-depth/tiff_strip_ycbcr_jpeg_2x2_sampling.tif", 3],
    ["metal-surface/KGT2-V-332-A09_crop_3.jpg", 2],
  ])("%s has the pixels that another decoder sees", async (name, most) => {
    const picture = await client.bitmap(blobOf(await commands.realPicture(name)));
    expect(meanDifference(rgbOf(picture.bitmap), bytesOf(await commands.realPixels(name)))).toBeLessThanOrEqual(most);
    close(picture);
  });
});
