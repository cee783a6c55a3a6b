import { PictureError } from "../../model/picture/picture-error.ts";
import { shownAs } from "../../model/picture/shown-as.ts";
import { cropPixels, windowOf } from "../../model/reference/export/crop-pixels.ts";
import type { SetSource } from "../../model/reference/export/write-set.ts";
import { blank, decodeFile } from "./decode.ts";

/** A crop as PNG, from the pixels the bench shows. Only the part of the photograph that it needs is read out. */
export const cropped: NonNullable<SetSource["crop"]> = async (bytes, photograph, frame) => {
  try {
    const bitmap = await decodeFile(new Blob([bytes]), "limits", shownAs(photograph));
    try {
      if (bitmap.width !== photograph.widthPx || bitmap.height !== photograph.heightPx) return null;
      const window = windowOf(frame, photograph);
      const { context: part } = blank(window.width, window.height);
      part.drawImage(bitmap, -window.x, -window.y);
      const { data } = part.getImageData(0, 0, window.width, window.height);
      const raster = { widthPx: window.width, heightPx: window.height, rgba: data };
      const pixels = cropPixels(raster, window, photograph, frame);
      const { canvas, context } = blank(frame.outWidth, frame.outHeight);
      context.putImageData(new ImageData(pixels, frame.outWidth, frame.outHeight), 0, 0);
      return new Uint8Array(await (await canvas.convertToBlob({ type: "image/png" })).arrayBuffer());
    } finally {
      bitmap.close();
    }
  } catch (error) {
    if (error instanceof PictureError) return null; // Damaged or of a kind not decoded here; the data sheet counts it.
    throw error;
  }
};
