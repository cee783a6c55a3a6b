import type { PngPixels } from "./header.ts";
import { PictureError } from "./picture-error.ts";
import { pngRows } from "./png-header.ts";

/**
 * Finds pixels of a palette PNG that name a colour which isn't in the palette: browsers show black there.
 * Fed with the unpacked bytes in any pieces.
 * @source ISO/IEC 15948:2004, clause 9 (filters) and 11.2.3.
 */
export class PaletteCheck {
  readonly #passes: ReturnType<typeof pngRows>;
  #pass = 0;
  #row = 0;
  #filled = 0;
  #line: Uint8Array;
  #above: Uint8Array;

  constructor(
    readonly png: Pick<PngPixels, "widthPx" | "heightPx" | "bitDepth" | "interlaced">,
    readonly paletteSize: number,
  ) {
    this.#passes = pngRows(png.widthPx, png.heightPx, png.bitDepth, png.interlaced);
    const longest = Math.max(0, ...this.#passes.map((pass) => pass.rowBytes));
    this.#line = new Uint8Array(longest + 1);
    this.#above = new Uint8Array(longest + 1);
  }

  /** @throws PictureError damaged. */
  feed(piece: Uint8Array): void {
    let at = 0;
    while (at < piece.length) {
      const pass = this.#passes[this.#pass];
      if (!pass) return;
      const take = Math.min(pass.rowBytes + 1 - this.#filled, piece.length - at);
      this.#line.set(piece.subarray(at, at + take), this.#filled);
      this.#filled += take;
      at += take;
      if (this.#filled < pass.rowBytes + 1) return;
      this.#checkRow(pass.rowBytes, pass.columns);
      [this.#line, this.#above] = [this.#above, this.#line];
      this.#filled = 0;
      if (++this.#row === pass.rows) {
        this.#row = 0;
        this.#pass++;
        this.#above.fill(0);
      }
    }
  }

  /** The first byte of a row names its filter; a pixel takes at most one byte, so the left neighbour is one byte back. */
  #checkRow(rowBytes: number, columns: number): void {
    const line = this.#line;
    const above = this.#above;
    const filter = line[0] ?? 0;
    if (filter > 4) throw new PictureError("damaged", "The PNG is damaged: a row is stored in an unknown way.");
    for (let i = 1; i <= rowBytes; i++) {
      const left = i > 1 ? (line[i - 1] ?? 0) : 0;
      const up = above[i] ?? 0;
      const corner = i > 1 ? (above[i - 1] ?? 0) : 0;
      line[i] = (line[i] ?? 0) + foretold(filter, left, up, corner);
    }
    const { bitDepth } = this.png;
    const mask = (1 << bitDepth) - 1;
    for (let x = 0; x < columns; x++) {
      const bit = x * bitDepth;
      const index = ((line[1 + (bit >> 3)] ?? 0) >> (8 - bitDepth - (bit & 7))) & mask;
      if (index >= this.paletteSize) {
        throw new PictureError("damaged", "The PNG is damaged: a pixel has a colour that its palette lacks.");
      }
    }
  }
}

/** @source ISO/IEC 15948:2004, 9.2. */
function foretold(filter: number, left: number, up: number, corner: number): number {
  if (filter === 1) return left;
  if (filter === 2) return up;
  if (filter === 3) return (left + up) >> 1;
  return filter === 4 ? nearest(left, up, corner) : 0;
}

/** @source ISO/IEC 15948:2004, 9.4. */
function nearest(left: number, up: number, corner: number): number {
  const guess = left + up - corner;
  const dLeft = Math.abs(guess - left);
  const dUp = Math.abs(guess - up);
  const dCorner = Math.abs(guess - corner);
  if (dLeft <= dUp && dLeft <= dCorner) return left;
  return dUp <= dCorner ? up : corner;
}
