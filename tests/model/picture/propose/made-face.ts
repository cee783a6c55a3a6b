import type { Raster } from "../../../../model/picture/pixels/grey.ts";

/** A drawn picture of a face: no render, just enough to be found. Deterministic. */
export interface MadeFace {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly cx: number;
  readonly cy: number;
  readonly rx: number;
  readonly ry: number;
  /** Radius of a black hole / wire radius; left out = none. */
  readonly hole?: number;
  /** Factor on all greys. */
  readonly light?: number;
}

/** Even but patternless, −0.5 to 0.5. */
export function speckle(x: number, y: number): number {
  const v = Math.sin(x * 12.9898 + y * 78.233) * 43758.5453;
  return v - Math.floor(v) - 0.5;
}

export function rasterFrom(
  widthPx: number,
  heightPx: number,
  at: (x: number, y: number) => readonly [number, number, number],
): Raster {
  const rgba = new Uint8ClampedArray(4 * widthPx * heightPx);
  for (let y = 0, i = 0; y < heightPx; y++)
    for (let x = 0; x < widthPx; x++, i += 4) {
      const [r, g, b] = at(x + 0.5, y + 0.5);
      rgba[i] = r;
      rgba[i + 1] = g;
      rgba[i + 2] = b;
      rgba[i + 3] = 255;
    }
  return { widthPx, heightPx, rgba };
}

const step = (d: number, soft: number): number => 1 / (1 + Math.exp(-d / soft));

/** A light, speckled face before a dim flank of the wire, on a grey card that is darker to the right. */
export function madeFace(f: MadeFace): Raster {
  const light = f.light ?? 1;
  return rasterFrom(f.widthPx, f.heightPx, (x, y) => {
    const rho = Math.hypot((x - f.cx) / f.rx, (y - f.cy) / f.ry);
    const size = Math.min(f.rx, f.ry);
    const card = 95 - (25 * x) / f.widthPx + 3 * speckle(x, y);
    const flank = 55 + 4 * speckle(x, y);
    const face = 165 + 40 * speckle(Math.floor(x / 3), Math.floor(y / 3));
    let v = card + (flank - card) * step((1 - rho) * size, 1);
    v += (face - v) * step((0.93 - rho) * size, 1);
    if (f.hole) v += (8 - v) * step((f.hole - rho) * size, 1.5);
    v *= light;
    return [v, 0.93 * v, 0.86 * v];
  });
}

/** A quarter turn clockwise. */
export function quarterTurn({ widthPx, heightPx, rgba }: Raster): Raster {
  const out = new Uint8ClampedArray(rgba.length);
  for (let y = 0; y < heightPx; y++)
    for (let x = 0; x < widthPx; x++)
      out.set(rgba.subarray(4 * (y * widthPx + x), 4 * (y * widthPx + x) + 4), 4 * (x * heightPx + heightPx - 1 - y));
  return { widthPx: heightPx, heightPx: widthPx, rgba: out };
}

/** Left and right exchanged. */
export function mirrored({ widthPx, heightPx, rgba }: Raster): Raster {
  const out = new Uint8ClampedArray(rgba.length);
  for (let y = 0; y < heightPx; y++)
    for (let x = 0; x < widthPx; x++)
      out.set(rgba.subarray(4 * (y * widthPx + x), 4 * (y * widthPx + x) + 4), 4 * (y * widthPx + widthPx - 1 - x));
  return { widthPx, heightPx, rgba: out };
}
