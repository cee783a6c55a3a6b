import type { GreyImage } from "./grey.ts";
import { newGrey } from "./grey.ts";

/** One byte per pixel, row by row from the top left. */
export interface BytePlane {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly data: Uint8Array | Uint8ClampedArray;
}

export interface LocalContrastOptions {
  /** A value may be this many times as frequent in a tile as if all were equally frequent; bounds the amplified noise. */
  readonly clipLimit: number;
  readonly columns: number;
  readonly rows: number;
}

/** Common practice, no source: large enough tiles to keep a whole lip in one, noise at most tripled. */
export const LOCAL_CONTRAST: LocalContrastOptions = { clipLimit: 3, columns: 8, rows: 8 };

const VALUES = 256;

/**
 * Contrast-limited adaptive histogram equalisation: every tile gets the curve that makes its values equally frequent,
 * as far as the clip limit lets it; a pixel takes the mean of the curves of the four nearest tiles, by distance.
 * A picture that the tiles do not divide is continued by its mirror image at the right and lower edge.
 *
 * @returns a plane of the same size.
 * @source K. Zuiderveld, "Contrast limited adaptive histogram equalization", Graphics Gems IV (1994), VIII.5
 */
export function evenContrast(plane: BytePlane, options: LocalContrastOptions = LOCAL_CONTRAST): Uint8Array {
  const { widthPx, heightPx, data } = plane;
  const { columns, rows } = options;
  const tile = tileSize(plane, options);
  const curves = tileCurves(plane, options);
  const out = new Uint8Array(data.length);
  const across = places(widthPx, tile.widthPx, columns);
  const down = places(heightPx, tile.heightPx, rows);
  // The two rows of curves around a row of pixels are mixed once, so that each pixel mixes two curves instead of four.
  const mixed = new Float32Array(columns * VALUES);
  for (let y = 0; y < heightPx; y++) {
    const upper = down.first[y]! * columns * VALUES;
    const lower = down.next[y]! * columns * VALUES;
    const share = down.share[y]!;
    for (let i = 0; i < mixed.length; i++)
      mixed[i] = curves[upper + i]! * (1 - share) + curves[lower + i]! * share + 0.5;
    const from = y * widthPx;
    // From the middle of one tile to that of the next the same two curves count.
    for (let x = 0; x < widthPx;) {
      const a = across.first[x]! * VALUES;
      const b = across.next[x]! * VALUES;
      for (const end = across.end[x]!; x < end; x++) {
        const value = data[from + x]!;
        const near = mixed[a + value]!;
        out[from + x] = (near + (mixed[b + value]! - near) * across.share[x]!) | 0;
      }
    }
  }
  return out;
}

/** The same on a grey picture, in 256 steps. @returns 0–1, same size. */
export function evenGrey(image: GreyImage, options: LocalContrastOptions = LOCAL_CONTRAST): GreyImage {
  const { widthPx, heightPx } = image;
  const data = Uint8ClampedArray.from(image.data, (v) => v * 255);
  const out = newGrey(widthPx, heightPx);
  out.data.set(evenContrast({ widthPx, heightPx, data }, options));
  for (let i = 0; i < out.data.length; i++) out.data[i]! /= 255;
  return out;
}

/** Curves of all tiles: rows × columns × 256 new values. */
export function tileCurves(plane: BytePlane, options: LocalContrastOptions): Uint8Array {
  const { columns, rows, clipLimit } = options;
  const tile = tileSize(plane, options);
  const area = tile.widthPx * tile.heightPx;
  const most = Math.max(1, Math.floor((clipLimit * area) / VALUES));
  const curves = new Uint8Array(rows * columns * VALUES);
  for (let row = 0; row < rows; row++)
    for (let column = 0; column < columns; column++) {
      const histogram = histogramOf(plane, column * tile.widthPx, row * tile.heightPx, tile);
      clip(histogram, most);
      let below = 0;
      for (let value = 0; value < VALUES; value++) {
        below += histogram[value]!;
        curves[(row * columns + column) * VALUES + value] = Math.min(255, Math.round((below * (VALUES - 1)) / area));
      }
    }
  return curves;
}

type TileSize = Pick<BytePlane, "widthPx" | "heightPx">;

/** When one side is not divided by the tiles, both are continued to the next multiple above their size. */
function tileSize({ widthPx, heightPx }: BytePlane, { columns, rows }: LocalContrastOptions): TileSize {
  if (widthPx % columns === 0 && heightPx % rows === 0)
    return { widthPx: widthPx / columns, heightPx: heightPx / rows };
  return { widthPx: Math.floor(widthPx / columns) + 1, heightPx: Math.floor(heightPx / rows) + 1 };
}

function histogramOf({ widthPx, heightPx, data }: BytePlane, left: number, top: number, tile: TileSize): Uint32Array {
  const histogram = new Uint32Array(VALUES);
  for (let y = top; y < top + tile.heightPx; y++) {
    const from = mirrored(y, heightPx) * widthPx;
    const inside = Math.min(widthPx, left + tile.widthPx);
    for (let x = left; x < inside; x++) histogram[data[from + x]!]!++;
    for (let x = Math.max(left, widthPx); x < left + tile.widthPx; x++)
      histogram[data[from + mirrored(x, widthPx)]!]!++;
  }
  return histogram;
}

/** Place of the mirror image about the last pixel, again and again in pictures smaller than what they are continued by. */
function mirrored(at: number, length: number): number {
  if (length === 1) return 0;
  const turn = at % (2 * length - 2);
  return turn < length ? turn : 2 * length - 2 - turn;
}

/** Cuts what is above the limit and gives it to all values alike; what then remains goes to values at even steps. */
function clip(histogram: Uint32Array, most: number): void {
  let cut = 0;
  for (let value = 0; value < VALUES; value++)
    if (histogram[value]! > most) {
      cut += histogram[value]! - most;
      histogram[value] = most;
    }
  const each = Math.floor(cut / VALUES);
  let rest = cut - each * VALUES;
  if (each > 0) for (let value = 0; value < VALUES; value++) histogram[value]! += each;
  if (rest === 0) return;
  const step = Math.max(1, Math.floor(VALUES / rest));
  for (let value = 0; value < VALUES && rest > 0; value += step, rest--) histogram[value]!++;
}

/** The two tiles whose middles a pixel lies between, the share of the second, and up to where they stay the same. */
function places(pixels: number, tilePx: number, tiles: number) {
  const first = new Uint16Array(pixels);
  const next = new Uint16Array(pixels);
  const share = new Float32Array(pixels);
  const end = new Uint32Array(pixels);
  for (let i = pixels - 1; i >= 0; i--) {
    // A pixel counts by its upper left corner here, as the usual programs do.
    const at = i / tilePx - 0.5;
    const floor = Math.floor(at);
    first[i] = Math.max(0, floor);
    next[i] = Math.min(tiles - 1, floor + 1);
    share[i] = at - floor;
    const goesOn = i + 1 < pixels && first[i + 1] === first[i] && next[i + 1] === next[i];
    end[i] = goesOn ? end[i + 1]! : i + 1;
  }
  return { first, next, share, end };
}
