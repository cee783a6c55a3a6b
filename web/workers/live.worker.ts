/// <reference lib="webworker" />
import { clippedHighlights } from "../../model/picture/live/clipped.ts";
import { focusNumber } from "../../model/picture/live/focus-number.ts";
import { greyOf, type Raster } from "../../model/picture/pixels/grey.ts";
import type { LiveRequests } from "./live-protocol.ts";
import { serve } from "./serve.ts";

let canvas: OffscreenCanvas | null = null;

function pixelsOf(bitmap: ImageBitmap): Raster {
  const { width, height } = bitmap;
  canvas ??= new OffscreenCanvas(width, height);
  if (canvas.width < width || canvas.height < height) canvas = new OffscreenCanvas(width, height);
  const context = canvas.getContext("2d", { willReadFrequently: true });
  if (context === null) throw new Error("This browser has no canvas to read pixels with.");
  context.drawImage(bitmap, 0, 0);
  bitmap.close();
  return { widthPx: width, heightPx: height, rgba: context.getImageData(0, 0, width, height).data };
}

serve<LiveRequests>(self as unknown as DedicatedWorkerGlobalScope, {
  read: ({ centre, small }) => {
    const focus = focusNumber(greyOf(pixelsOf(centre)));
    const clipped = clippedHighlights(pixelsOf(small));
    return Promise.resolve({ output: { focus, clipped }, transfer: [clipped.mask.buffer] });
  },
});
