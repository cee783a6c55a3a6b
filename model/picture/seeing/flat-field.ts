import { blurGrey } from "../pixels/gaussian.ts";
import type { GreyImage, Raster } from "../pixels/grey.ts";
import { newGrey } from "../pixels/grey.ts";
import { SeeingError } from "./seeing-error.ts";
import { LIGHT_OF_BYTE } from "./srgb.ts";

/** How unevenly a photograph was lit, read from a blank frame: what its linear light is multiplied by. */
export interface FlatField {
  /** Size of the photographs that it fits. */
  readonly widthPx: number;
  readonly heightPx: number;
  readonly columns: number;
  readonly rows: number;
  /** rows × columns × RGB; 1 on average over the frame. Cell (0, 0) stands for the upper left part of the picture. */
  readonly gains: Float32Array;
}

/** Cells along the longest side. Light varies slowly; dust, grain and noise are averaged away. */
const CELLS = 128;
/** Standard deviation of the smoothing, cells. */
const SMOOTHING_CELLS = 2;

/**
 * When a frame counts as blank. Common practice, no source: a lamp that leaves a corner with a quarter of the middle's
 * light cannot be corrected well, and ground that still shows shapes after averaging would print them on the wire.
 */
export const BLANK_LIMITS = {
  /** Stored value from which a channel counts as clipped. */
  clippedFrom: 254,
  /** Share of clipped pixels. */
  clippedShare: 0.005,
  /** Mean linear light of the weakest channel. */
  leastLight: 0.01,
  /** Darkest and brightest place over the mean. */
  darkest: 0.25,
  brightest: 4,
  /** Difference between a cell and its smoothed surroundings over the latter, root mean square. */
  structure: 0.025,
} as const;

type Size = Pick<Raster, "widthPx" | "heightPx">;

/**
 * Flat field of a blank frame: its linear light is averaged over cells, smoothed, and each channel divided by its own
 * mean, so that a photograph keeps its brightness and its colour on the whole.
 *
 * @param frame – upright; a smaller copy does.
 * @param size – of the blank frame itself.
 * @throws SeeingError blank-clipped, blank-dark, blank-uneven, blank-structured.
 */
export function readBlankFrame(frame: Raster, size: Size = frame): FlatField {
  if (clippedShare(frame) > BLANK_LIMITS.clippedShare)
    throw new SeeingError("blank-clipped", "The blank frame is overexposed: parts of it are pure white.");
  const cells = meanLight(frame);
  const smooth = cells.map(smoothed);
  const { widthPx: columns, heightPx: rows } = cells[0];
  const gains = new Float32Array(columns * rows * 3);
  for (const [c, { data }] of smooth.entries()) {
    const mean = data.reduce((sum, v) => sum + v, 0) / data.length;
    if (mean < BLANK_LIMITS.leastLight)
      throw new SeeingError("blank-dark", "The blank frame is too dark to tell how the light falls.");
    for (let i = 0; i < data.length; i++) {
      const share = data[i]! / mean;
      if (!(share >= BLANK_LIMITS.darkest && share <= BLANK_LIMITS.brightest))
        throw new SeeingError(
          "blank-uneven",
          "The blank frame is too uneven: one place gets more than four times the light of another, or less.",
        );
      gains[i * 3 + c] = 1 / share;
    }
    if (structure(cells[c]!, smooth[c]!) > BLANK_LIMITS.structure)
      throw new SeeingError("blank-structured", "The blank frame is not blank: something can be seen on it.");
  }
  return { widthPx: size.widthPx, heightPx: size.heightPx, columns, rows, gains };
}

/** @throws SeeingError blank-size-differs when a flat field belongs to pictures of another size. */
export function checkFits(field: FlatField, { widthPx, heightPx }: Size): void {
  if (field.widthPx !== widthPx || field.heightPx !== heightPx)
    throw new SeeingError(
      "blank-size-differs",
      `The blank frame has ${field.widthPx} × ${field.heightPx} pixels, the photograph ${widthPx} × ${heightPx}.`,
    );
}

/** Where each of so many pixels lies between the cells of one axis, and up to where these stay the same. */
export function cellPlaces(pixels: number, cells: number) {
  const first = new Uint16Array(pixels);
  const next = new Uint16Array(pixels);
  const share = new Float32Array(pixels);
  const end = new Uint32Array(pixels);
  for (let i = pixels - 1; i >= 0; i--) {
    const at = Math.min(cells - 1, Math.max(0, ((i + 0.5) * cells) / pixels - 0.5));
    first[i] = Math.floor(at);
    next[i] = Math.min(cells - 1, first[i]! + 1);
    share[i] = at - first[i]!;
    end[i] = i + 1 < pixels && first[i + 1] === first[i] ? end[i + 1]! : i + 1;
  }
  return { first, next, share, end };
}

/** Gains of one row of pixels at every column of cells. @param into – columns × RGB, overwritten. */
export function rowGains(
  field: FlatField,
  y: { first: number; next: number; share: number },
  into: Float32Array,
): void {
  const { columns, gains } = field;
  const a = y.first * columns * 3;
  const b = y.next * columns * 3;
  for (let i = 0; i < columns * 3; i++) into[i] = gains[a + i]! * (1 - y.share) + gains[b + i]! * y.share;
}

function clippedShare({ rgba }: Raster): number {
  let clipped = 0;
  const { clippedFrom } = BLANK_LIMITS;
  for (let at = 0; at < rgba.length; at += 4)
    if (rgba[at]! >= clippedFrom || rgba[at + 1]! >= clippedFrom || rgba[at + 2]! >= clippedFrom) clipped++;
  return clipped / (rgba.length / 4);
}

/** Mean linear light per cell: red, green, blue. */
function meanLight({ widthPx, heightPx, rgba }: Raster): readonly [GreyImage, GreyImage, GreyImage] {
  const longest = Math.max(widthPx, heightPx);
  const along = (px: number): number => Math.max(1, Math.min(px, Math.round((px * CELLS) / longest)));
  const columns = along(widthPx);
  const rows = along(heightPx);
  const [red, green, blue] = [newGrey(columns, rows), newGrey(columns, rows), newGrey(columns, rows)];
  const counts = new Float64Array(columns * rows);
  const sums = [0, 1, 2].map(() => new Float64Array(columns * rows)) as [Float64Array, Float64Array, Float64Array];
  const columnOf = Uint16Array.from({ length: widthPx }, (_, x) => Math.floor((x * columns) / widthPx));
  for (let y = 0, at = 0; y < heightPx; y++) {
    const from = Math.floor((y * rows) / heightPx) * columns;
    for (let x = 0; x < widthPx; x++, at += 4) {
      const cell = from + columnOf[x]!;
      counts[cell]!++;
      for (let c = 0; c < 3; c++) sums[c]![cell]! += LIGHT_OF_BYTE[rgba[at + c]!]!;
    }
  }
  for (const [c, grey] of [red, green, blue].entries())
    for (let i = 0; i < counts.length; i++) grey.data[i] = sums[c]![i]! / counts[i]!;
  return [red, green, blue];
}

/**
 * Gaussian blur that lets a slope run on beyond the edge (the picture turned about its edge value), because light
 * that falls off toward a corner would else be pulled toward the middle there.
 */
function smoothed(cells: GreyImage): GreyImage {
  const { widthPx, heightPx, data } = cells;
  const rim = Math.min(4 * SMOOTHING_CELLS, widthPx - 1, heightPx - 1);
  const wide = newGrey(widthPx + 2 * rim, heightPx + 2 * rim);
  const turned = (v: (i: number) => number, i: number, length: number): number =>
    i < 0 ? 2 * v(0) - v(-i) : i >= length ? 2 * v(length - 1) - v(2 * length - 2 - i) : v(i);
  for (let y = 0; y < wide.heightPx; y++)
    for (let x = 0; x < wide.widthPx; x++)
      wide.data[y * wide.widthPx + x] = turned(
        (j) => turned((i) => data[j * widthPx + i]!, x - rim, widthPx),
        y - rim,
        heightPx,
      );
  const blurred = blurGrey(wide, SMOOTHING_CELLS);
  const out = newGrey(widthPx, heightPx);
  for (let y = 0; y < heightPx; y++) {
    const from = (y + rim) * wide.widthPx + rim;
    out.data.set(blurred.data.subarray(from, from + widthPx), y * widthPx);
  }
  return out;
}

function structure(cells: GreyImage, smooth: GreyImage): number {
  let sum = 0;
  for (let i = 0; i < cells.data.length; i++) sum += (cells.data[i]! / smooth.data[i]! - 1) ** 2;
  return Math.sqrt(sum / cells.data.length);
}
