/** @returns whether this camera orientation (1–8) swaps width and height. */
export const swapsSides = (orientation: number): boolean => orientation >= 5 && orientation <= 8;

/** @returns the size of the upright picture, px. */
export function uprightSize(
  widthPx: number,
  heightPx: number,
  orientation: number,
): { readonly widthPx: number; readonly heightPx: number } {
  return swapsSides(orientation) ? { widthPx: heightPx, heightPx: widthPx } : { widthPx, heightPx };
}

/**
 * The transform from stored to upright pixels, for a canvas: x' = a·x + c·y + e, y' = b·x + d·y + f.
 * @param widthPx, heightPx – of the picture as stored.
 * @source CIPA DC-008-2019 (Exif 2.32), Orientation: where row 0 and column 0 of the stored picture lie.
 */
export function uprightTransform(
  widthPx: number,
  heightPx: number,
  orientation: number,
): readonly [a: number, b: number, c: number, d: number, e: number, f: number] {
  switch (orientation) {
    case 2:
      return [-1, 0, 0, 1, widthPx, 0];
    case 3:
      return [-1, 0, 0, -1, widthPx, heightPx];
    case 4:
      return [1, 0, 0, -1, 0, heightPx];
    case 5:
      return [0, 1, 1, 0, 0, 0];
    case 6:
      return [0, 1, -1, 0, heightPx, 0];
    case 7:
      return [0, -1, -1, 0, heightPx, widthPx];
    case 8:
      return [0, -1, 1, 0, 0, widthPx];
    default:
      return [1, 0, 0, 1, 0, 0];
  }
}
