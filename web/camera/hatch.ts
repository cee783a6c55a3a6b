import type { Clipped } from "../../model/picture/live/clipped.ts";

/** Width of a stripe, px of the small copy. */
const STRIPE = 2;

/** Paints a hatch over clipped highlights: black and white stripes aslant, which no metal shows. */
export function paintHatch(canvas: HTMLCanvasElement, { widthPx, heightPx, mask }: Clipped): void {
  if (canvas.width !== widthPx || canvas.height !== heightPx) {
    canvas.width = widthPx;
    canvas.height = heightPx;
  }
  const context = canvas.getContext("2d");
  if (context === null) return;
  const image = context.createImageData(widthPx, heightPx);
  for (let y = 0, i = 0; y < heightPx; y++)
    for (let x = 0; x < widthPx; x++, i++) {
      if (mask[i] !== 1) continue;
      const light = Math.floor((x + y) / STRIPE) % 2 === 0 ? 255 : 0;
      image.data.set([light, light, light, 255], 4 * i);
    }
  context.putImageData(image, 0, 0);
}
