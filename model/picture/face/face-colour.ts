import type { Raster } from "../pixels/grey.ts";
import { FACE_SHARE, type OutlineEllipse } from "./disc.ts";
import type { FaceNumber } from "./describe-face.ts";

/** Names of the colours of a face, in the order of `describeColour`. */
export const FACE_COLOURS: readonly FaceNumber[] = [
  { name: "colour.red", says: "redness of the face" },
  { name: "colour.blue", says: "blueness of the face" },
  { name: "colour.red_spread", says: "redness uneven over the face" },
  { name: "colour.blue_spread", says: "blueness uneven over the face" },
  { name: "colour.red_middle", says: "middle of the face redder than its rim" },
  { name: "colour.blue_middle", says: "middle of the face bluer than its rim" },
];

/** Places looked at along the diameter: colour changes slowly. */
const PLACES = 64;
/** Added before the ratio, as a share of the mean: deep shade has no colour that can be told. */
const FLOOR = 0.05;
const linear = (v: number): number => {
  const c = v / 255;
  return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
};

/**
 * Colours of a face as ln(red / green) and ln(blue / green), so that brightness and exposure drop out.
 *
 * @param outline – of the wire, px of the raster. @returns one value per `FACE_COLOURS`.
 * @source common practice, no source
 */
export function describeColour({ widthPx, heightPx, rgba }: Raster, outline: OutlineEllipse): Float32Array {
  const { cx, cy, rx, ry, angle_deg } = outline;
  const [cos, sin] = [Math.cos((angle_deg * Math.PI) / 180), Math.sin((angle_deg * Math.PI) / 180)];
  const box = Math.max(1, Math.round(Math.min(rx, ry) / PLACES));
  const seen: (readonly [number, number, number])[] = [];
  const radius: number[] = [];
  for (let j = 0; j < PLACES; j++)
    for (let i = 0; i < PLACES; i++) {
      const u = (2 * (i + 0.5)) / PLACES - 1;
      const v = (2 * (j + 0.5)) / PLACES - 1;
      const r = Math.hypot(u, v);
      if (r > FACE_SHARE) continue;
      const x = Math.round(cx + u * rx * cos - v * ry * sin);
      const y = Math.round(cy + u * rx * sin + v * ry * cos);
      let [a, b, c, n] = [0, 0, 0, 0];
      for (let dy = 0; dy < box; dy++)
        for (let dx = 0; dx < box; dx++) {
          const [px, py] = [x + dx, y + dy];
          if (px < 0 || py < 0 || px >= widthPx || py >= heightPx) continue;
          const at = 4 * (py * widthPx + px);
          a += linear(rgba[at]!);
          b += linear(rgba[at + 1]!);
          c += linear(rgba[at + 2]!);
          n++;
        }
      if (n === 0) continue;
      seen.push([a / n, b / n, c / n]);
      radius.push(r);
    }
  const floor = Math.max(1e-4, (FLOOR * seen.reduce((s, [, green]) => s + green, 0)) / seen.length);
  const red = seen.map(([r, g]) => Math.log((r + floor) / (g + floor)));
  const blue = seen.map(([, g, b]) => Math.log((b + floor) / (g + floor)));
  const mean = (values: readonly number[], keep: (r: number) => boolean = () => true): number => {
    const kept = values.filter((_, i) => keep(radius[i]!));
    return kept.reduce((s, v) => s + v, 0) / kept.length;
  };
  const spread = (values: readonly number[]): number => {
    const m = mean(values);
    return Math.sqrt(values.reduce((s, v) => s + (v - m) ** 2, 0) / values.length);
  };
  const middle = (values: readonly number[]): number => mean(values, (r) => r < 0.45) - mean(values, (r) => r > 0.75);
  return Float32Array.from([mean(red), mean(blue), spread(red), spread(blue), middle(red), middle(blue)]);
}
