/// <reference lib="webworker" />
import { PictureError } from "../../model/picture/picture-error.ts";
import type { Raster } from "../../model/picture/pixels/grey.ts";
import { readBlankFrame } from "../../model/picture/seeing/flat-field.ts";
import { neutralGains } from "../../model/picture/seeing/neutral.ts";
import { seeInPlace } from "../../model/picture/seeing/see.ts";
import { SeeingError } from "../../model/picture/seeing/seeing-error.ts";
import { halves, shrink } from "./copies.ts";
import { decodeFile } from "./decode.ts";
import type { SeeingRequests, Told } from "./seeing-protocol.ts";
import { serve } from "./serve.ts";

/** A blank frame is read from a copy of this size: its light varies slowly. */
const BLANK_PX = 2048;

serve<SeeingRequests>(self as unknown as DedicatedWorkerGlobalScope, {
  async blank({ blob, shown }) {
    const full = await decodeFile(blob, "limits", shown);
    const size = { widthPx: full.width, heightPx: full.height };
    const small = await shrink(full, BLANK_PX);
    if (small !== full) full.close();
    const frame = pixelsOf(small).raster;
    return { output: told(() => readBlankFrame(frame, size)) };
  },

  patch({ cut, patch, field, ...place }) {
    const { raster } = pixelsOf(cut);
    return Promise.resolve({ output: told(() => neutralGains({ raster, ...place }, patch, field)) });
  },

  see({ bitmap, settings, aids, levels }) {
    const { raster, image, canvas, context } = pixelsOf(bitmap);
    seeInPlace(raster, settings, aids);
    context.putImageData(image, 0, 0);
    const shown = canvas.transferToImageBitmap();
    const output = levels ? [shown, ...halves(shown)] : [shown];
    return Promise.resolve({ output, transfer: output });
  },
});

/** Reads a bitmap back and closes it. */
function pixelsOf(bitmap: ImageBitmap) {
  const { width, height } = bitmap;
  const canvas = new OffscreenCanvas(width, height);
  const context = canvas.getContext("2d", { willReadFrequently: true });
  if (!context) throw new PictureError("decoder-failed", "The browser has no memory left for a picture of this size.");
  context.drawImage(bitmap, 0, 0);
  bitmap.close();
  const image = context.getImageData(0, 0, width, height);
  const raster: Raster = { widthPx: width, heightPx: height, rgba: image.data };
  return { raster, image, canvas, context };
}

function told<T>(read: () => T): Told<T> {
  try {
    return { found: read(), refused: null };
  } catch (error) {
    if (error instanceof SeeingError) return { found: null, refused: error.plain() };
    throw error;
  }
}
