import type { Raster } from "../pixels/grey.ts";
import type { SoundWire } from "./wire-strip.ts";

/** Wire diameter in the laid picture, px. */
export const LAID_D = 80;
/** How far the laid picture reaches from the end of the drawn edges, wire diameters. */
const BACK = 3.2;
const AHEAD = 2.4;
const ASIDE = 1.6;
/** Subsamples along one side of a laid pixel at most; more would cost much and change little. */
const MOST = 6;

/** A wire end laid straight: the axis along a row, the break to the right, the wire of one size. */
export interface LaidWire {
  readonly raster: Raster;
  readonly wire: SoundWire;
}

/**
 * Lays a wire end straight and to one size, so that whatever is read from it no longer depends on how it lay in the
 * picture or how large it was. Beyond the rim of the picture its last pixels go on.
 */
export function laidStraight(raster: Raster, { origin, along, diameter }: SoundWire): LaidWire {
  const step = diameter / LAID_D;
  const widthPx = Math.round((BACK + AHEAD) * LAID_D);
  const heightPx = Math.round(2 * ASIDE * LAID_D);
  const n = Math.max(1, Math.min(MOST, Math.ceil(step)));
  const rgba = new Uint8Array(widthPx * heightPx * 4);
  const [ax, ay] = along;
  const sum = new Float64Array(3);
  for (let y = 0; y < heightPx; y++)
    for (let x = 0; x < widthPx; x++) {
      sum.fill(0);
      for (let j = 0; j < n; j++)
        for (let i = 0; i < n; i++) {
          const u = (x + (i + 0.5) / n - BACK * LAID_D) * step;
          const w = (y + (j + 0.5) / n - ASIDE * LAID_D) * step;
          add(raster, origin[0] + ax * u - ay * w - 0.5, origin[1] + ay * u + ax * w - 0.5, sum);
        }
      const at = 4 * (y * widthPx + x);
      for (let c = 0; c < 3; c++) rgba[at + c] = Math.round(sum[c]! / (n * n));
      rgba[at + 3] = 255;
    }
  return {
    raster: { widthPx, heightPx, rgba },
    wire: { origin: [BACK * LAID_D, ASIDE * LAID_D], along: [1, 0], diameter: LAID_D },
  };
}

/** Adds the colour between four pixels. */
function add({ widthPx, heightPx, rgba }: Raster, x: number, y: number, sum: Float64Array): void {
  const px = Math.max(0, Math.min(widthPx - 1.001, x));
  const py = Math.max(0, Math.min(heightPx - 1.001, y));
  const x0 = Math.floor(px);
  const y0 = Math.floor(py);
  const [fx, fy] = [px - x0, py - y0];
  const at = 4 * (y0 * widthPx + x0);
  const low = at + 4 * widthPx;
  for (let c = 0; c < 3; c++)
    sum[c]! +=
      (rgba[at + c]! * (1 - fx) + rgba[at + 4 + c]! * fx) * (1 - fy) +
      (rgba[low + c]! * (1 - fx) + rgba[low + 4 + c]! * fx) * fy;
}
