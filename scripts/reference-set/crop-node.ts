import sharp from "sharp";
import { cropPixels, windowOf } from "../../model/reference/export/crop-pixels.ts";
import type { SetSource } from "../../model/reference/export/write-set.ts";
import { PictureError } from "../../model/picture/picture-error.ts";
import { shownAs } from "../../model/picture/shown-as.ts";
import { readPictureBytes } from "../propose/read-picture.ts";

/** A crop as PNG, from the pixels the bench shows. */
export const cropNode: NonNullable<SetSource["crop"]> = async (bytes, photograph, frame) => {
  const { widthPx, heightPx } = photograph;
  try {
    const { raster } = await readPictureBytes(bytes, Math.max(widthPx, heightPx), shownAs(photograph));
    if (raster.widthPx !== widthPx || raster.heightPx !== heightPx) return null;
    const { x, y, width, height } = windowOf(frame, photograph);
    const part = new Uint8Array(4 * width * height);
    for (let row = 0; row < height; row++) {
      const from = 4 * ((y + row) * widthPx + x);
      for (let k = 0; k < 4 * width; k++) part[4 * width * row + k] = raster.rgba[from + k]!;
    }
    const window = { x, y, width, height };
    const pixels = cropPixels({ widthPx: width, heightPx: height, rgba: part }, window, photograph, frame);
    const raw = { width: frame.outWidth, height: frame.outHeight, channels: 4 } as const;
    return Uint8Array.from(await sharp(pixels, { raw }).removeAlpha().png().toBuffer());
  } catch (error) {
    if (error instanceof PictureError) return null; // Damaged or of a kind not decoded here; the data sheet counts it.
    throw error;
  }
};
