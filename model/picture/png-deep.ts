import type { DeepRaster } from "./deep-raster.ts";
import type { PngPixels } from "./header.ts";
import { PictureError } from "./picture-error.ts";
import { PNG_PASSES, pngRows } from "./png-header.ts";

/**
 * The 16-bit samples of a PNG, as stored.
 * @param raw – all unpacked bytes, of the length that the header asks for; changed in place.
 * @throws PictureError damaged.
 * @source ISO/IEC 15948:2004, clauses 7, 8 (interlace) and 9 (filters).
 */
export function pngDeep(raw: Uint8Array, png: PngPixels): DeepRaster {
  const { widthPx, heightPx, samples, interlaced } = png;
  const channels = samples > 2 ? 3 : 1;
  const data = new Uint16Array(widthPx * heightPx * channels);
  const covered = samples > channels;
  const alpha = covered || png.seeThrough ? new Uint8Array(widthPx * heightPx) : null;
  const pixelBytes = 2 * samples;
  const passes = pngRows(widthPx, heightPx, 8 * pixelBytes, interlaced);
  const places = interlaced ? PNG_PASSES.filter(([x, y]) => x < widthPx && y < heightPx) : ([[0, 0, 1, 1]] as const);
  let at = 0;
  for (const [pass, { rows, rowBytes, columns }] of passes.entries()) {
    const [x0, y0, dx, dy] = places[pass] ?? [0, 0, 1, 1];
    let above: Uint8Array = new Uint8Array(rowBytes);
    for (let row = 0; row < rows; row++) {
      const line = raw.subarray(at + 1, at + 1 + rowBytes);
      unfilter(raw[at] ?? 0, line, above, pixelBytes);
      for (let column = 0, i = 0; column < columns; column++, i += pixelBytes) {
        const pixel = (y0 + row * dy) * widthPx + x0 + column * dx;
        for (let s = 0; s < channels; s++) data[pixel * channels + s] = (line[i + 2 * s]! << 8) | line[i + 2 * s + 1]!;
        // The high byte of the cover is all that 8 bits can show of it.
        if (alpha) alpha[pixel] = covered ? line[i + 2 * channels]! : 255;
      }
      above = line;
      at += 1 + rowBytes;
    }
  }
  const key = png.seeThrough;
  if (alpha && key && !covered) {
    for (let pixel = 0; pixel < alpha.length; pixel++)
      if (key.every((value, s) => data[pixel * channels + s] === value)) alpha[pixel] = 0;
  }
  return { widthPx, heightPx, channels, data, sample: "uint16", fullScale: 65_535, alpha, statedRange: null };
}

/** Undoes the filter of one row, in place. @source ISO/IEC 15948:2004, 9.2 and 9.4. */
function unfilter(filter: number, line: Uint8Array, above: Uint8Array, back: number): void {
  const length = line.length;
  switch (filter) {
    case 0:
      return;
    case 1:
      for (let i = back; i < length; i++) line[i] = line[i]! + line[i - back]!;
      return;
    case 2:
      for (let i = 0; i < length; i++) line[i] = line[i]! + above[i]!;
      return;
    case 3:
      for (let i = 0; i < length; i++) line[i] = line[i]! + (((i < back ? 0 : line[i - back]!) + above[i]!) >> 1);
      return;
    case 4:
      for (let i = 0; i < length; i++) {
        const left = i < back ? 0 : line[i - back]!;
        const up = above[i]!;
        const corner = i < back ? 0 : above[i - back]!;
        const guess = left + up - corner;
        const dLeft = Math.abs(guess - left);
        const dUp = Math.abs(guess - up);
        const dCorner = Math.abs(guess - corner);
        line[i] = line[i]! + (dLeft <= dUp && dLeft <= dCorner ? left : dUp <= dCorner ? up : corner);
      }
      return;
    default:
      throw new PictureError("damaged", "The PNG is damaged: a row is stored in an unknown way.");
  }
}
