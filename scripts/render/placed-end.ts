import type { Layer } from "./layer.ts";
import { newLayer } from "./layer.ts";
import type { Framing } from "./view.ts";

/** Weights of the four neighbours for a place between the second and the third: sharp enough to keep the grain of the metal. */
function weights(t: number, out: Float64Array): void {
  const t2 = t * t;
  const t3 = t2 * t;
  out[0] = 0.5 * (-t3 + 2 * t2 - t);
  out[1] = 0.5 * (3 * t3 - 5 * t2 + 2);
  out[2] = 0.5 * (-3 * t3 + 4 * t2 + t);
  out[3] = 0.5 * (t3 - t2);
}

/**
 * Lays an end, drawn squared up on its own small layer, into the picture: turned about its axis, shifted, and shown a
 * little smaller where the picture's magnification is below the end's own.
 *
 * @param end – layer with the wire's axis in its middle.
 * @param perRadius – pixels per wire radius of `end`; `frame.perRadius` is that of the picture.
 */
export function placeEnd(end: Layer, perRadius: number, frame: Framing): Layer {
  const layer = newLayer(frame.width, frame.height);
  const ratio = perRadius / frame.perRadius;
  const a = (frame.turnDeg * Math.PI) / 180;
  const cos = Math.cos(a) * ratio;
  const sin = Math.sin(a) * ratio;
  const n = end.width;
  const wx = new Float64Array(4);
  const wy = new Float64Array(4);
  const half = (n / 2 / ratio) * 1.42;
  const y0 = Math.max(0, Math.floor(frame.cy - half));
  const y1 = Math.min(frame.height, Math.ceil(frame.cy + half));
  const x0 = Math.max(0, Math.floor(frame.cx - half));
  const x1 = Math.min(frame.width, Math.ceil(frame.cx + half));
  for (let j = y0; j < y1; j++)
    for (let i = x0; i < x1; i++) {
      const dx = i + 0.5 - frame.cx;
      const dy = j + 0.5 - frame.cy;
      const fx = dx * cos + dy * sin + n / 2 - 0.5;
      const fy = -dx * sin + dy * cos + n / 2 - 0.5;
      const ix = Math.floor(fx);
      const iy = Math.floor(fy);
      if (ix < 1 || iy < 1 || ix > n - 3 || iy > n - 3) continue;
      const from = iy * n + ix;
      if (
        end.rgba[4 * from + 3] === 0 &&
        end.rgba[4 * (from + 1) + 3] === 0 &&
        end.rgba[4 * (from + n) + 3] === 0 &&
        end.rgba[4 * (from + n + 1) + 3] === 0
      )
        continue;
      weights(fx - ix, wx);
      weights(fy - iy, wy);
      const to = j * frame.width + i;
      let r = 0;
      let g = 0;
      let b = 0;
      let cover = 0;
      for (let q = 0; q < 4; q++)
        for (let p = 0; p < 4; p++) {
          const w = wx[p]! * wy[q]!;
          const at = 4 * (from + (q - 1) * n + p - 1);
          r += w * end.rgba[at]!;
          g += w * end.rgba[at + 1]!;
          b += w * end.rgba[at + 2]!;
          cover += w * end.rgba[at + 3]!;
        }
      layer.rgba[4 * to] = r > 0 ? r : 0;
      layer.rgba[4 * to + 1] = g > 0 ? g : 0;
      layer.rgba[4 * to + 2] = b > 0 ? b : 0;
      layer.rgba[4 * to + 3] = cover < 0 ? 0 : cover > 1 ? 1 : cover;
      layer.blur[to] = end.blur[(iy + Math.round(fy - iy)) * n + ix + Math.round(fx - ix)]! / ratio;
    }
  return layer;
}
