import { expect, test } from "vitest";
import type { Photograph } from "../../model/break/wire-break.ts";
import { stripped } from "../../model/reference/export/strip/strip.ts";
import { pictureFacts } from "../../web/reference/check/picture-facts.ts";
import { redrawn } from "../../web/workers/set-redraw.ts";

const photograph = { orientation: 6, page: 0, mediaType: "image/jpeg" } as Photograph;

/** 96 × 64, red above and blue below, with a turn of the camera written into it. */
async function turnedJpeg(orientation: number): Promise<Uint8Array<ArrayBuffer>> {
  const canvas = new OffscreenCanvas(96, 64);
  const context = canvas.getContext("2d")!;
  context.fillStyle = "rgb(220 20 20)";
  context.fillRect(0, 0, 96, 32);
  context.fillStyle = "rgb(20 20 220)";
  context.fillRect(0, 32, 96, 32);
  const plain = new Uint8Array(await (await canvas.convertToBlob({ type: "image/jpeg", quality: 0.95 })).arrayBuffer());
  const tiff = [0x49, 0x49, 0x2a, 0, 8, 0, 0, 0, 1, 0, 0x12, 1, 3, 0, 1, 0, 0, 0, orientation, 0, 0, 0, 0, 0, 0, 0];
  const exif = [0x45, 0x78, 0x69, 0x66, 0, 0, ...tiff];
  return Uint8Array.from([0xff, 0xd8, 0xff, 0xe1, 0, exif.length + 2, ...exif, ...plain.subarray(2)]);
}

async function pixel(bytes: Uint8Array<ArrayBuffer>, x: number, y: number): Promise<readonly number[]> {
  const bitmap = await createImageBitmap(new Blob([bytes]), { imageOrientation: "none" });
  const context = new OffscreenCanvas(bitmap.width, bitmap.height).getContext("2d")!;
  context.drawImage(bitmap, 0, 0);
  bitmap.close();
  return [...context.getImageData(x, y, 1, 1).data];
}

test.each(["image/jpeg", "image/png"])(
  "a photograph the camera turned goes out upright as %s, and says nothing more",
  async (type) => {
    const bytes = await turnedJpeg(6);
    expect(await pictureFacts(bytes)).toEqual({ widthPx: 96, heightPx: 64, orientation: 6 });
    const drawn = (await redrawn(bytes, photograph, type))!;
    expect(await pictureFacts(drawn)).toEqual({ widthPx: 64, heightPx: 96, orientation: 1 });
    // Orientation 6: the top of what is stored is the right side of what is seen.
    const [right, left] = [await pixel(drawn, 60, 48), await pixel(drawn, 4, 48)];
    expect(right[0]).toBeGreaterThan(180);
    expect(left[2]).toBeGreaterThan(180);
    // Nothing is left that would have to be taken out.
    expect(stripped(drawn, "all")!.removed).toEqual([]);
  },
);

test("what cannot be decoded is told as such, not written", async () => {
  expect(await redrawn(Uint8Array.from([0xff, 0xd8, 0xff, 0xd9]), photograph, "image/jpeg")).toBeNull();
});
