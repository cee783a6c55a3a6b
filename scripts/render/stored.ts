import type { Pixels } from "./develop.ts";

/** Turns an upright picture into the way a camera would have stored it, so that `orientation` puts it upright again. */
export function storedPixels(upright: Pixels, orientation: 1 | 3 | 6 | 8): Pixels {
  if (orientation === 1) return upright;
  const { width, height, rgb } = upright;
  const swap = orientation !== 3;
  const out = { width: swap ? height : width, height: swap ? width : height, rgb: new Uint8Array(rgb.length) };
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      // 6: shown turned a quarter clockwise; 8: a quarter counter-clockwise; 3: half a turn.
      const [sx, sy] =
        orientation === 3
          ? [width - 1 - x, height - 1 - y]
          : orientation === 6
            ? [y, width - 1 - x]
            : [height - 1 - y, x];
      const from = 3 * (y * width + x);
      const to = 3 * (sy * out.width + sx);
      out.rgb[to] = rgb[from]!;
      out.rgb[to + 1] = rgb[from + 1]!;
      out.rgb[to + 2] = rgb[from + 2]!;
    }
  return out;
}
