import type { Geometry, Point } from "../model/break/geometry.ts";
import type { Mark, Photograph, Scale } from "../model/break/wire-break.ts";

/** Two bright dots on even ground, so that a distance known beforehand can be measured in what is made of the picture. */
export interface Dots {
  readonly widthPx: number;
  readonly heightPx: number;
  /** px, a pixel's middle lies at its number + 0.5; the second dot is the brighter one. */
  readonly at: readonly [Point, Point];
}
export const GROUND = 64;

/** Brightness 0–255 of the upright picture at a pixel. */
export function dotsAt({ at }: Dots, column: number, row: number): number {
  const glow = ([x, y]: Point, peak: number): number =>
    peak * Math.exp(-((column + 0.5 - x) ** 2 + (row + 0.5 - y) ** 2) / 18);
  return GROUND + glow(at[0], 110) + glow(at[1], 180);
}

/**
 * Grey TIFF without packing, little end first, a page for each picture.
 * @param bits – 8, or 16 with samples of 1000 + 10 × brightness.
 */
export function dotsTiff(pages: readonly Dots[], bits: 8 | 16): Uint8Array<ArrayBuffer> {
  const bytes: number[] = [0x49, 0x49, 42, 0, 0, 0, 0, 0];
  const le = (v: number, n: number): number[] => Array.from({ length: n }, (_, i) => (v >> (8 * i)) & 255);
  let link = 4;
  for (const dots of pages) {
    const { widthPx, heightPx } = dots;
    const from = bytes.length;
    for (let row = 0; row < heightPx; row++)
      for (let column = 0; column < widthPx; column++) {
        const v = dotsAt(dots, column, row);
        bytes.push(...(bits === 8 ? [Math.round(v)] : le(Math.round(1000 + 10 * v), 2)));
      }
    const long = bytes.length - from;
    if (bytes.length % 2 === 1) bytes.push(0);
    bytes.splice(link, 4, ...le(bytes.length, 4));
    const fields = [
      [256, widthPx],
      [257, heightPx],
      [258, bits],
      [259, 1],
      [262, 1],
      [273, from],
      [277, 1],
      [278, heightPx],
      [279, long],
    ] as const;
    bytes.push(...le(fields.length, 2));
    for (const [tag, value] of fields) bytes.push(...le(tag, 2), ...le(4, 2), ...le(1, 4), ...le(value, 4));
    link = bytes.length;
    bytes.push(0, 0, 0, 0);
  }
  return Uint8Array.from(bytes);
}

/** Middles of the two dots of a crop, px; the dimmer one first. */
export function dotsFound(rgba: ArrayLike<number>, width: number, height: number): readonly [Point, Point] {
  const over = (i: number): number => rgba[4 * i]! - GROUND - 40;
  // What lies outside the photograph is grey too: a dot has a summit above it.
  const seen = new Set<number>();
  const found: { peak: number; at: Point }[] = [];
  for (let start = 0; start < width * height; start++) {
    if (seen.has(start) || over(start) <= 0) continue;
    let [sum, x, y, peak] = [0, 0, 0, 0];
    let grey = 0;
    const open = [start];
    seen.add(start);
    for (let i = open.pop(); i !== undefined; i = open.pop()) {
      const [column, row, weight] = [i % width, Math.floor(i / width), over(i)];
      if (rgba[4 * i] === 128) grey++;
      [sum, x, y] = [sum + weight, x + weight * (column + 0.5), y + weight * (row + 0.5)];
      peak = Math.max(peak, weight);
      for (const [dc, dr] of [
        [1, 0],
        [-1, 0],
        [0, 1],
        [0, -1],
      ] as const) {
        const next = i + dc + dr * width;
        const inside = column + dc >= 0 && column + dc < width && row + dr >= 0 && row + dr < height;
        if (inside && !seen.has(next) && over(next) > 0) {
          seen.add(next);
          open.push(next);
        }
      }
    }
    if (grey < 200) found.push({ peak, at: [x / sum, y / sum] });
  }
  found.sort((a, b) => a.peak - b.peak);
  if (found.length !== 2) throw new Error(`${found.length} dots instead of 2`);
  return [found[0]!.at, found[1]!.at];
}

export const shownDots = ({ widthPx, heightPx }: Dots, over: Partial<Photograph> = {}): Photograph =>
  ({
    id: "p",
    view: "end_on",
    orientation: 1,
    turnDeg: 0,
    scale: null,
    axisDeg: null,
    mediaType: "image/tiff",
    widthPx,
    heightPx,
    ...over,
  }) as Photograph;
export const drawn = (feature: Mark["feature"], geometry: Geometry): Mark =>
  ({ feature, geometry, state: "present", photographId: "p" }) as Mark;
export const outline = ([cx, cy]: Point, rx: number, ry = rx): Mark =>
  drawn("wire_outline", { type: "ellipse", cx, cy, rx, ry, angle_deg: 0 });
export const profile = (x: number, y?: number): Scale => ({
  method: "profile",
  profileId: "m",
  name: "M",
  pxPerMm: { value: x, u: 0 },
  ...(y === undefined ? {} : { pxPerMmY: { value: y, u: 0 } }),
});
