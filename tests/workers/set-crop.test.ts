import { expect, test } from "vitest";
import { cropped } from "../../web/workers/set-crop.ts";
import { cropPicture } from "../crop-picture.ts";

test("the browser cuts the crop that the command line cuts, sample for sample", async () => {
  const { photograph, stored, widthPx, heightPx, frame, expected } = cropPicture();
  const canvas = new OffscreenCanvas(widthPx, heightPx);
  canvas.getContext("2d")!.putImageData(new ImageData(stored, widthPx, heightPx), 0, 0);
  const png = new Uint8Array(await (await canvas.convertToBlob({ type: "image/png" })).arrayBuffer());
  const crop = (await cropped(png, photograph, frame))!;
  const bitmap = await createImageBitmap(new Blob([crop]));
  expect([bitmap.width, bitmap.height]).toEqual([frame.outWidth, frame.outHeight]);
  const context = new OffscreenCanvas(bitmap.width, bitmap.height).getContext("2d")!;
  context.drawImage(bitmap, 0, 0);
  expect([...context.getImageData(0, 0, bitmap.width, bitmap.height).data]).toEqual([...expected]);
  expect(await cropped(png.slice(0, 60), photograph, frame)).toBeNull();
});
