import type { FacePicture } from "../../../../model/picture/mating/flat-face.ts";
import type { Raster } from "../../../../model/picture/pixels/grey.ts";
import { BREAKS } from "../../../../scripts/render/breaks.ts";
import { buildBreak, renderShot } from "../../../../scripts/render/render-break.ts";

const SCALE = 0.18;

/** Both end-on pictures of a demo break, small, with their true outlines. */
export function renderedFaces(number: string): { readonly machine: FacePicture; readonly takeUp: FacePicture } {
  const demo = BREAKS.find((b) => b.look.number === number);
  if (!demo) throw new RangeError(`No demo break is numbered ${number}.`);
  const built = buildBreak(demo.look, SCALE);
  const face = (side: "machine" | "takeUp"): FacePicture => {
    const shot = demo.look.shots.find((s) => s.side === side && s.view === "end_on");
    if (!shot) throw new RangeError(`${number} has no end-on picture of the ${side} end.`);
    const { pixels, frame } = renderShot(demo.look, built, shot, { scale: SCALE, plain: true });
    const rgba = new Uint8ClampedArray(4 * pixels.width * pixels.height).fill(255);
    for (let i = 0; i < pixels.width * pixels.height; i++)
      for (let c = 0; c < 3; c++) rgba[4 * i + c] = pixels.rgb[3 * i + c]!;
    const r = frame.perRadius;
    return {
      raster: { widthPx: pixels.width, heightPx: pixels.height, rgba },
      outline: { cx: frame.cx, cy: frame.cy, rx: r, ry: r, angle_deg: 0 },
    };
  };
  return { machine: face("machine"), takeUp: face("takeUp") };
}

/** The photograph as it would be with the end turned about its axis, degrees clockwise, and every value changed. */
export function turned(
  { raster, outline }: FacePicture,
  deg: number,
  value: (v: number) => number = (v) => v,
): FacePicture {
  const { widthPx, heightPx, rgba } = raster;
  const out: Raster = { widthPx, heightPx, rgba: new Uint8ClampedArray(rgba.length).fill(255) };
  const cos = Math.cos((deg * Math.PI) / 180);
  const sin = Math.sin((deg * Math.PI) / 180);
  const { cx, cy } = outline;
  const at = (x: number, y: number, c: number): number =>
    rgba[4 * (Math.min(heightPx - 1, Math.max(0, y)) * widthPx + Math.min(widthPx - 1, Math.max(0, x))) + c]!;
  for (let y = 0; y < heightPx; y++)
    for (let x = 0; x < widthPx; x++) {
      const u = x + 0.5 - cx;
      const v = y + 0.5 - cy;
      const sx = u * cos + v * sin + cx - 0.5;
      const sy = v * cos - u * sin + cy - 0.5;
      const [x0, y0] = [Math.floor(sx), Math.floor(sy)];
      const [a, b] = [sx - x0, sy - y0];
      for (let c = 0; c < 3; c++) {
        const top = at(x0, y0, c) * (1 - a) + at(x0 + 1, y0, c) * a;
        const low = at(x0, y0 + 1, c) * (1 - a) + at(x0 + 1, y0 + 1, c) * a;
        out.rgba[4 * (y * widthPx + x) + c] = value(top * (1 - b) + low * b);
      }
    }
  return { raster: out, outline };
}
