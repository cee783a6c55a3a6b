import type { Raster } from "../pixels/grey.ts";
import type { FocusMap } from "./focus-map.ts";
import { CELL_PX } from "./focus-volume.ts";
import type { Placement } from "./placement.ts";

/**
 * Frame of origin of every pixel of one row of the composite.
 *
 * Read between cells; where neighbouring cells lie more than two frames apart there is an edge in depth, and the
 * nearest cell alone decides, because a frame between the two is sharp on neither side.
 *
 * @param y – row of the composite. @param shrunkBy – px of the composite per px worked on.
 * @param out – one frame number per pixel, overwritten.
 */
export function originOfRow(map: FocusMap, y: number, shrunkBy: number, out: Uint8Array): void {
  const { columns, rows, frame } = map;
  const cell = CELL_PX * shrunkBy;
  const v = Math.min(rows - 1, Math.max(0, (y + 0.5) / cell - 0.5));
  const y0 = Math.min(Math.max(0, rows - 2), Math.floor(v));
  const y1 = Math.min(rows - 1, y0 + 1);
  const b = v - y0;
  for (let x = 0; x < out.length; x++) {
    const u = Math.min(columns - 1, Math.max(0, (x + 0.5) / cell - 0.5));
    const x0 = Math.min(Math.max(0, columns - 2), Math.floor(u));
    const x1 = Math.min(columns - 1, x0 + 1);
    const a = u - x0;
    const f00 = frame[y0 * columns + x0]!;
    const f10 = frame[y0 * columns + x1]!;
    const f01 = frame[y1 * columns + x0]!;
    const f11 = frame[y1 * columns + x1]!;
    const low = Math.min(f00, f10, f01, f11);
    const high = Math.max(f00, f10, f01, f11);
    if (high === low) out[x] = low;
    else if (high - low <= 2) out[x] = Math.round((f00 * (1 - a) + f10 * a) * (1 - b) + (f01 * (1 - a) + f11 * a) * b);
    else out[x] = a < 0.5 ? (b < 0.5 ? f00 : f01) : b < 0.5 ? f10 : f11;
  }
}

/**
 * Puts the pixels of one frame into the composite, where it is the frame of origin.
 *
 * The frame is read where it lies on the reference with cubic weights, which keep it sharp, and at the brightness of
 * the reference, so that no seams show.
 *
 * @param rgba – of the composite, 4 per pixel, written where `index` is the origin.
 * @param frame – as large as the composite.
 * @param placement – of the frame, px of the full size.
 */
export function addFrame(
  rgba: Uint8ClampedArray,
  map: FocusMap,
  index: number,
  frame: Raster,
  placement: Placement,
  shrunkBy: number,
): void {
  const { widthPx: w, heightPx: h } = frame;
  const { scale, dx, dy, gain } = placement;
  const origin = new Uint8Array(w);
  const even = 1 / gain;
  const wx = new Float64Array(4);
  const wy = new Float64Array(4);
  const atHome = scale === 1 && dx === 0 && dy === 0 && gain === 1;
  for (let y = 0; y < h; y++) {
    originOfRow(map, y, shrunkBy, origin);
    const v = scale * (y + 0.5 - h / 2) + h / 2 + dy - 0.5;
    const y0 = Math.floor(v);
    cubic(v - y0, wy);
    for (let x = 0; x < w; x++) {
      if (origin[x] !== index) continue;
      const to = 4 * (y * w + x);
      if (atHome) {
        for (let c = 0; c < 4; c++) rgba[to + c] = frame.rgba[to + c]!;
        continue;
      }
      const u = scale * (x + 0.5 - w / 2) + w / 2 + dx - 0.5;
      const x0 = Math.floor(u);
      cubic(u - x0, wx);
      let [r, g, b] = [0, 0, 0];
      for (let j = 0; j < 4; j++) {
        const row = Math.min(h - 1, Math.max(0, y0 - 1 + j)) * w;
        for (let i = 0; i < 4; i++) {
          const from = 4 * (row + Math.min(w - 1, Math.max(0, x0 - 1 + i)));
          const weight = wx[i]! * wy[j]!;
          r += weight * frame.rgba[from]!;
          g += weight * frame.rgba[from + 1]!;
          b += weight * frame.rgba[from + 2]!;
        }
      }
      rgba[to] = r * even;
      rgba[to + 1] = g * even;
      rgba[to + 2] = b * even;
      rgba[to + 3] = 255;
    }
  }
}

/** @source R. Keys, "Cubic convolution interpolation", IEEE Trans. ASSP 29(6), 1981, a = −1/2; from memory. */
function cubic(t: number, out: Float64Array): void {
  const t2 = t * t;
  const t3 = t2 * t;
  out[0] = (-t3 + 2 * t2 - t) / 2;
  out[1] = (3 * t3 - 5 * t2 + 2) / 2;
  out[2] = (-3 * t3 + 4 * t2 + t) / 2;
  out[3] = (t3 - t2) / 2;
}
