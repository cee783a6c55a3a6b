import type { HeightMap } from "./height-map.ts";

/** Heights lightly smoothed for showing, gaps left open; never measured from. */
function shown(map: HeightMap): Float32Array {
  const out = new Float32Array(map.um.length).fill(Number.NaN);
  for (let j = 0; j < map.rows; j++)
    for (let i = 0; i < map.columns; i++) {
      const c = j * map.columns + i;
      if (map.um[c]! !== map.um[c]!) continue;
      let [sum, weight] = [0, 0];
      for (let y = Math.max(0, j - 1); y <= Math.min(map.rows - 1, j + 1); y++)
        for (let x = Math.max(0, i - 1); x <= Math.min(map.columns - 1, i + 1); x++) {
          const v = map.um[y * map.columns + x]!;
          if (v !== v) continue;
          const w = (2 - Math.abs(x - i)) * (2 - Math.abs(y - j));
          sum += w * v;
          weight += w;
        }
      out[c] = sum / weight;
    }
  return out;
}

export interface HeightRange {
  readonly lowUm: number;
  readonly highUm: number;
}

/** The heights between which 98 % of the map lie; null when there are none. */
export function heightRange(map: HeightMap): HeightRange | null {
  const known = map.um.filter((v) => v === v).sort();
  if (known.length === 0) return null;
  return { lowUm: known[Math.floor(0.01 * (known.length - 1))]!, highUm: known[Math.ceil(0.99 * (known.length - 1))]! };
}

/** What shows where there is no height: a coarse diagonal hatch, dark and less dark. */
const hatch = (i: number, j: number): number => ((i + j) % 6 < 3 ? 58 : 84);

/**
 * The face as a plaster cast would look in light from one side.
 *
 * @param azimuthDeg – direction the light comes from, 0 = right, 90 = from above in the picture.
 * @param umPerPx – px of the photograph in µm, so that slopes are true; null = unknown: slopes are drawn so that the
 * highest and lowest place lie a quarter of the picture apart.
 * @returns rgba, one pixel per cell.
 */
export function reliefOf(map: HeightMap, azimuthDeg: number, umPerPx: number | null): Uint8ClampedArray<ArrayBuffer> {
  const heights = shown(map);
  const { columns, rows } = map;
  const range = heightRange(map);
  const rise = range === null ? 1 : Math.max(1e-9, range.highUm - range.lowUm);
  const cellUm = umPerPx === null ? (4 * rise) / Math.max(columns, rows) : umPerPx * map.cellPx;
  const turn = (azimuthDeg * Math.PI) / 180;
  const up = Math.PI / 4;
  const [lx, ly, lz] = [Math.cos(turn) * Math.cos(up), Math.sin(turn) * Math.cos(up), Math.sin(up)];
  const rgba = new Uint8ClampedArray(4 * columns * rows);
  for (let j = 0; j < rows; j++)
    for (let i = 0; i < columns; i++) {
      const c = j * columns + i;
      const z = heights[c]!;
      const near = (x: number, y: number): number => {
        if (x < 0 || y < 0 || x >= columns || y >= rows) return z;
        const v = heights[y * columns + x]!;
        return v === v ? v : z;
      };
      let v = hatch(i, j);
      if (z === z) {
        const gx = (near(i + 1, j) - near(i - 1, j)) / (2 * cellUm);
        const gy = (near(i, j - 1) - near(i, j + 1)) / (2 * cellUm);
        const facing = (-gx * lx - gy * ly + lz) / Math.hypot(gx, gy, 1);
        v = 30 + 215 * Math.max(0, facing);
      }
      rgba.set([v, v, v, 255], 4 * c);
    }
  return rgba;
}

/**
 * Heights as colours from deep blue (low) over grey to light yellow (high): lightness rises evenly, so that the order
 * also reads without colour.
 *
 * @returns rgba, one pixel per cell.
 */
export function heightColours(map: HeightMap, range: HeightRange): Uint8ClampedArray<ArrayBuffer> {
  const rgba = new Uint8ClampedArray(4 * map.um.length);
  for (let c = 0; c < map.um.length; c++) {
    const v = map.um[c]!;
    if (v === v) rgba.set([...colourOf((v - range.lowUm) / Math.max(1e-9, range.highUm - range.lowUm)), 255], 4 * c);
    else {
      const grey = hatch(c % map.columns, Math.floor(c / map.columns));
      rgba.set([grey, grey, grey, 255], 4 * c);
    }
  }
  return rgba;
}

const LOW = [18, 36, 92] as const;
const MIDDLE = [124, 124, 122] as const;
const HIGH = [252, 236, 130] as const;

/** @param share – 0 lowest … 1 highest. */
export function colourOf(share: number): readonly [number, number, number] {
  const t = Math.min(1, Math.max(0, share));
  const [from, to, s] = t < 0.5 ? [LOW, MIDDLE, 2 * t] : [MIDDLE, HIGH, 2 * t - 1];
  return [0, 1, 2].map((c) => Math.round(from[c]! + (to[c]! - from[c]!) * s)) as unknown as [number, number, number];
}

export interface Contour {
  readonly um: number;
  /** Pairs of points, px of the photograph: x1, y1, x2, y2. */
  readonly pieces: readonly (readonly [number, number, number, number])[];
}

/** A round spacing that gives about `count` contour lines over a range, µm. */
export function contourSpacing(range: HeightRange, count = 8): number {
  const raw = Math.max(1e-9, (range.highUm - range.lowUm) / count);
  const ten = 10 ** Math.floor(Math.log10(raw));
  return ten * ([1, 2, 5, 10].find((m) => m * ten >= raw) ?? 10);
}

/** Lines of equal height at every multiple of the spacing; cells without a height cut them. */
export function contoursOf(map: HeightMap, range: HeightRange, spacingUm: number): readonly Contour[] {
  const heights = shown(map);
  const { columns, rows, cellPx } = map;
  const found: Contour[] = [];
  for (let n = Math.ceil(range.lowUm / spacingUm); n * spacingUm <= range.highUm; n++) {
    const level = n * spacingUm;
    const pieces: [number, number, number, number][] = [];
    for (let j = 0; j + 1 < rows; j++)
      for (let i = 0; i + 1 < columns; i++) {
        const at = j * columns + i;
        const corner = [heights[at]!, heights[at + 1]!, heights[at + columns + 1]!, heights[at + columns]!];
        if (corner.some((v) => v !== v)) continue;
        const cuts: [number, number][] = [];
        for (let e = 0; e < 4; e++) {
          const [p, q] = [corner[e]!, corner[(e + 1) % 4]!];
          if (p < level === q < level) continue;
          const t = (level - p) / (q - p);
          const [x1, y1] = CORNERS[e]!;
          const [x2, y2] = CORNERS[(e + 1) % 4]!;
          cuts.push([(i + 0.5 + x1 + t * (x2 - x1)) * cellPx, (j + 0.5 + y1 + t * (y2 - y1)) * cellPx]);
        }
        for (let k = 0; k + 1 < cuts.length; k += 2) pieces.push([...cuts[k]!, ...cuts[k + 1]!]);
      }
    if (pieces.length > 0) found.push({ um: level, pieces });
  }
  return found;
}

const CORNERS = [
  [0, 0],
  [1, 0],
  [1, 1],
  [0, 1],
] as const;
