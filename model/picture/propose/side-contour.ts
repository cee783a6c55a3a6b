import type { Point } from "../../break/geometry.ts";
import type { Raster } from "../pixels/grey.ts";
import type { SidePlanes } from "./side-planes.ts";

/** Distance between neighbouring points of the outline, px of the raster. */
export const SPACING = 2;
/** The edge is looked for this far to either side of the first outline, px of the smaller copy. */
const REACH_SMALL = 5;
/** A first outline that is right already is held: the edge is looked for nearby, the less so the farther away, px. */
const HELD_SMALL = 3;
const HELD_SPREAD = 1.2;
/** A change this many times that of bare card is an edge for certain, of `FAINT` perhaps. */
const CERTAIN = 5;
const FAINT = 2.2;
/** The same as shares of the strongest change nearby: beside a strong edge its own blur and ringing are no edges. */
const CERTAIN_SHARE = 0.35;
const FAINT_SHARE = 0.15;
/** Within this many px a stronger change makes a weaker one count for less. */
const RIVAL_PX = 4;
/** Price of moving one pixel across the outline from point to point, and of an edge left outside, in edges. */
const STEP_PRICE = 0.2;
const OUTSIDE_PRICE = 1;
/** Changes smaller than this are nothing even on a picture without noise. */
const LEAST_NOISE = 0.0015;

/** The outline drawn onto the outermost edge, to a fraction of a pixel. */
export interface FineContour {
  /** px of the raster, `SPACING` apart, in the order of the first outline. */
  readonly points: readonly Point[];
  /** Change of colour across the outline at each point, in units of what bare card does. */
  readonly strength: Float32Array;
}

/**
 * Draws a first outline onto the outermost edge beside it: across each point the change of colour is
 * read along the normal, and the path through these readings is chosen as a whole.
 *
 * @param rough – px of the smaller copy, the wire to the same side all along.
 */
export function fineContour(
  { raster, by }: Pick<SidePlanes, "raster" | "by">,
  rough: readonly Point[],
  which: "outermost" | "held",
): FineContour {
  const line = smoothed(
    evenly(
      rough.map(([x, y]): Point => [x * by, y * by]),
      SPACING,
    ),
    3,
  );
  const out = signedArea(line) > 0 ? 1 : -1;
  const reach = (which === "held" ? HELD_SMALL : REACH_SMALL) * by;
  const places = 2 * reach + 1;
  const levels = new Float32Array(line.length * places);
  const normals: Point[] = [];
  const colours = new Float32Array(3 * (places + 2));
  for (let i = 0; i < line.length; i++) {
    const a = line[Math.max(0, i - 3)]!;
    const b = line[Math.min(line.length - 1, i + 3)]!;
    const length = Math.hypot(b[0] - a[0], b[1] - a[1]) || 1;
    const [tx, ty] = [(b[0] - a[0]) / length, (b[1] - a[1]) / length];
    const [nx, ny] = [out * ty, -out * tx];
    normals.push([nx, ny]);
    colours.fill(0);
    for (let k = 0; k < places + 2; k++) {
      // From outside inward.
      const t = reach + 1 - k;
      const x = line[i]![0] + nx * t;
      const y = line[i]![1] + ny * t;
      for (let along = -1; along <= 1; along++) addColour(raster, x + along * tx, y + along * ty, colours, 3 * k);
    }
    for (let k = 0; k < places; k++) {
      let sum = 0;
      for (let c = 3 * k; c < 3 * k + 3; c++) sum += (colours[c + 6]! - colours[c]!) ** 2;
      // Three places along the outline, three colours, two steps across.
      levels[i * places + k] = Math.sqrt(sum / 3) / (3 * 2 * 255);
    }
  }
  const unit = cardChange(levels, places);
  for (let i = 0; i < levels.length; i++) levels[i]! /= unit;
  if (which === "held")
    for (let i = 0; i < levels.length; i++)
      levels[i]! *= Math.exp(-(((i % places) - reach) ** 2) / (2 * (HELD_SPREAD * by) ** 2));
  const path = outermostPath(levels, line.length, places, which === "held" ? 0 : OUTSIDE_PRICE);
  const strength = new Float32Array(line.length);
  const points = line.map(([x, y], i): Point => {
    const k = path[i]!;
    const at = i * places + k;
    strength[i] = levels[at]!;
    const t = reach - (k + (k > 0 && k < places - 1 ? peakOffset(levels[at - 1]!, levels[at]!, levels[at + 1]!) : 0));
    return [x + normals[i]![0] * t, y + normals[i]![1] * t];
  });
  return { points: smoothed(points, 1), strength };
}

/** Adds the colour at a place, between the four nearest pixels. */
function addColour({ widthPx, heightPx, rgba }: Raster, x: number, y: number, into: Float32Array, at: number): void {
  const u = Math.min(widthPx - 1.001, Math.max(0, x - 0.5));
  const v = Math.min(heightPx - 1.001, Math.max(0, y - 0.5));
  const [x0, y0] = [Math.floor(u), Math.floor(v)];
  const [a, b] = [u - x0, v - y0];
  const from = 4 * (y0 * widthPx + x0);
  const below = from + (heightPx > 1 ? 4 * widthPx : 0);
  for (let c = 0; c < 3; c++)
    into[at + c]! +=
      (rgba[from + c]! * (1 - a) + rgba[from + 4 + c]! * a) * (1 - b) +
      (rgba[below + c]! * (1 - a) + rgba[below + 4 + c]! * a) * b;
}

/** What bare card does: median change over the outermost fifth of all readings. */
function cardChange(changes: Float32Array, places: number): number {
  const few = Math.max(2, Math.floor(places / 5));
  const seen: number[] = [];
  for (let from = 0; from < changes.length; from += places) for (let k = 0; k < few; k++) seen.push(changes[from + k]!);
  seen.sort((a, b) => a - b);
  return Math.max(LEAST_NOISE, (seen[Math.floor(seen.length / 2)] ?? 0) / 0.67);
}

function outermostPath(levels: Float32Array, count: number, places: number, outsidePrice: number): Int16Array {
  const came = new Int16Array(count * places);
  const reached = new Float32Array(places);
  const origin = new Int16Array(places);
  for (let i = 0; i < count; i++) {
    for (let k = 1; k < places; k++)
      if (reached[k - 1]! + STEP_PRICE < reached[k]!) {
        reached[k] = reached[k - 1]! + STEP_PRICE;
        origin[k] = origin[k - 1]!;
      }
    for (let k = places - 2; k >= 0; k--)
      if (reached[k + 1]! + STEP_PRICE < reached[k]!) {
        reached[k] = reached[k + 1]! + STEP_PRICE;
        origin[k] = origin[k + 1]!;
      }
    let strongest = 0;
    for (let k = 0; k < places; k++) strongest = Math.max(strongest, levels[i * places + k]!);
    const certain = Math.max(CERTAIN, CERTAIN_SHARE * strongest);
    const faint = Math.max(FAINT, FAINT_SHARE * strongest);
    const isTop = (k: number): boolean => {
      const at = i * places + k;
      return (k === 0 || levels[at]! >= levels[at - 1]!) && levels[at]! >= levels[at + 1]!;
    };
    let outside = 0;
    for (let k = 0; k < places; k++) {
      const here = levels[i * places + k]!;
      if (k > 2 && isTop(k - 3))
        outside += Math.min(1, Math.max(0, (levels[i * places + k - 3]! - faint) / (certain - faint)));
      let rival = here;
      for (let n = Math.max(0, k - RIVAL_PX); n <= Math.min(places - 1, k + RIVAL_PX); n++)
        rival = Math.max(rival, levels[i * places + n]!);
      came[i * places + k] = origin[k]!;
      reached[k]! += outsidePrice * outside - Math.min(1, here / CERTAIN) * (rival > 0 ? (here / rival) ** 2 : 0);
    }
    for (let k = 0; k < places; k++) origin[k] = k;
  }
  const path = new Int16Array(count);
  let k = 0;
  for (let n = 1; n < places; n++) if (reached[n]! < reached[k]!) k = n;
  for (let i = count - 1; i >= 0; i--) {
    path[i] = k;
    k = came[i * places + k]!;
  }
  return path;
}

/** Place of the top of a parabola through three readings, from the middle one. */
function peakOffset(before: number, at: number, after: number): number {
  const bend = before - 2 * at + after;
  return bend < 0 ? Math.max(-0.6, Math.min(0.6, (before - after) / (2 * bend))) : 0;
}

/** The same line with points evenly `spacing` apart. */
function evenly(line: readonly Point[], spacing: number): Point[] {
  const out: Point[] = [];
  let carried = 0;
  for (let i = 1; i < line.length; i++) {
    const [ax, ay] = line[i - 1]!;
    const [bx, by] = line[i]!;
    const length = Math.hypot(bx - ax, by - ay);
    for (; carried < length; carried += spacing)
      out.push([ax + ((bx - ax) * carried) / length, ay + ((by - ay) * carried) / length]);
    carried -= length;
  }
  return out;
}

/** Mean over `reach` neighbours to either side; the ends stay. */
function smoothed(line: readonly Point[], reach: number): Point[] {
  return line.map((_, i): Point => {
    const r = Math.min(reach, i, line.length - 1 - i);
    let [x, y] = [0, 0];
    for (let k = i - r; k <= i + r; k++) {
      x += line[k]![0];
      y += line[k]![1];
    }
    return [x / (2 * r + 1), y / (2 * r + 1)];
  });
}

/** Twice the area, positive when it runs clockwise on the screen. */
function signedArea(line: readonly Point[]): number {
  let sum = 0;
  line.forEach(([x, y], i) => {
    const [nx, ny] = line[(i + 1) % line.length]!;
    sum += x * ny - nx * y;
  });
  return sum;
}
