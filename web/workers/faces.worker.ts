/// <reference lib="webworker" />
import { compareFaces } from "../../model/picture/mating/compare-faces.ts";
import type { FacePicture } from "../../model/picture/mating/flat-face.ts";
import { MatingError } from "../../model/picture/mating/mating-error.ts";
import { PictureError } from "../../model/picture/picture-error.ts";
import { COMPARED_PX, SHOWN_FACE_PX, SHOWN_RADIUS_PX, type FaceFile, type FacesRequests } from "./faces-protocol.ts";
import { rasterOf } from "./raster.ts";
import { serve } from "./serve.ts";

async function pictureOf({ blob, shown, outline }: FaceFile): Promise<FacePicture> {
  const { raster, shrunkBy } = await rasterOf(blob, COMPARED_PX, shown);
  const { cx, cy, rx, ry, angle_deg } = outline;
  return {
    raster,
    outline: { cx: cx / shrunkBy, cy: cy / shrunkBy, rx: rx / shrunkBy, ry: ry / shrunkBy, angle_deg },
  };
}

serve<FacesRequests>(self as unknown as DedicatedWorkerGlobalScope, {
  async compare({ machine, takeUp, start }, onPart) {
    const [front, back] = [await pictureOf(machine), await pictureOf(takeUp)];
    onPart(0.2);
    try {
      const options = { ...(start === null ? {} : { start }), onPart: (part: number) => onPart(0.2 + 0.8 * part) };
      return { output: { comparison: compareFaces(front, back, options) } };
    } catch (error) {
      if (!(error instanceof MatingError)) throw error;
      const { code, message, nextStep } = error;
      return { output: { refused: { code, message, nextStep } } };
    }
  },
  async cut({ face, mirrored }) {
    const { raster, outline } = await pictureOf(face);
    const whole = new OffscreenCanvas(raster.widthPx, raster.heightPx);
    const pixels = new ImageData(Uint8ClampedArray.from(raster.rgba), raster.widthPx, raster.heightPx);
    context2d(whole).putImageData(pixels, 0, 0);
    const cut = new OffscreenCanvas(SHOWN_FACE_PX, SHOWN_FACE_PX);
    const context = context2d(cut);
    const zoom = SHOWN_RADIUS_PX / Math.sqrt(outline.rx * outline.ry);
    context.translate(SHOWN_FACE_PX / 2, SHOWN_FACE_PX / 2);
    context.scale(mirrored ? -zoom : zoom, zoom);
    context.translate(-outline.cx, -outline.cy);
    context.imageSmoothingQuality = "high";
    context.drawImage(whole, 0, 0);
    const output = cut.transferToImageBitmap();
    return { output, transfer: [output] };
  },
});

function context2d(canvas: OffscreenCanvas): OffscreenCanvasRenderingContext2D {
  const context = canvas.getContext("2d");
  if (context === null) throw new PictureError("decoder-failed", "No drawing surface could be made.");
  return context;
}
