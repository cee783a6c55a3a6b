import type { GreyImage } from "./grey.ts";

/** Yes or no per pixel: 1 or 0, row by row from the top left. */
export interface Mask {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly data: Uint8Array;
}

export const newMask = (widthPx: number, heightPx: number): Mask => ({
  widthPx,
  heightPx,
  data: new Uint8Array(widthPx * heightPx),
});

/** Pixels brighter than a level. @param level – 0–1, as the picture's own values. */
export function maskOver({ widthPx, heightPx, data }: GreyImage, level: number): Mask {
  const mask = newMask(widthPx, heightPx);
  for (let i = 0; i < data.length; i++) mask.data[i] = data[i]! > level ? 1 : 0;
  return mask;
}

/** The other pixels. */
export function notMask({ widthPx, heightPx, data }: Mask): Mask {
  return { widthPx, heightPx, data: data.map((v) => 1 - v) };
}

/**
 * The mask with every pixel set that the outside cannot reach (4-neighbours): holes closed.
 *
 * @returns a new mask.
 */
export function fillHoles({ widthPx, heightPx, data }: Mask): Mask {
  const reached = new Uint8Array(data.length);
  const stack = new Int32Array(data.length);
  let top = 0;
  const visit = (at: number): void => {
    if (data[at] === 0 && reached[at] === 0) {
      reached[at] = 1;
      stack[top++] = at;
    }
  };
  for (let x = 0; x < widthPx; x++) {
    visit(x);
    visit((heightPx - 1) * widthPx + x);
  }
  for (let y = 0; y < heightPx; y++) {
    visit(y * widthPx);
    visit(y * widthPx + widthPx - 1);
  }
  while (top > 0) {
    const at = stack[--top]!;
    const x = at % widthPx;
    if (x > 0) visit(at - 1);
    if (x < widthPx - 1) visit(at + 1);
    if (at >= widthPx) visit(at - widthPx);
    if (at < data.length - widthPx) visit(at + widthPx);
  }
  return { widthPx, heightPx, data: reached.map((v) => 1 - v) };
}
