import type { GreyImage } from "../pixels/grey.ts";
import { sampleGrey } from "../pixels/grey.ts";

/** Points of the circle. */
const POINTS = 8;
export const PATTERN_COUNT = POINTS + 2;

/**
 * Uniform, rotation-invariant local binary pattern of every pixel: how many of eight points on a circle are at least as
 * bright as the middle, when the circle changes from dark to bright at most once; 9 otherwise.
 *
 * @param radiusPx – of the circle.
 * @returns one number 0–9 per pixel; places beyond the edge count as 0.
 * @source T. Ojala, M. Pietikäinen, T. Mäenpää, "Multiresolution gray-scale and rotation invariant texture
 *   classification with local binary patterns", IEEE PAMI 24 (2002) 971–987
 */
export function localPatterns(image: GreyImage, radiusPx: number): Uint8Array {
  const { widthPx, heightPx, data } = image;
  // Points that fall on whole pixels must not pick up a hundred-thousandth of a neighbour.
  const places = Array.from({ length: POINTS }, (_, k) => {
    const angle = (2 * Math.PI * k) / POINTS;
    return [round5(radiusPx * Math.cos(angle)), round5(-radiusPx * Math.sin(angle))] as const;
  });
  const out = new Uint8Array(widthPx * heightPx);
  for (let y = 0; y < heightPx; y++)
    for (let x = 0; x < widthPx; x++) {
      const middle = data[y * widthPx + x]!;
      let bright = 0;
      let changes = 0;
      let first = 0;
      let before = 0;
      for (let k = 0; k < POINTS; k++) {
        const px = x + places[k]![0];
        const py = y + places[k]![1];
        const beyond = px < 0 || py < 0 || px > widthPx - 1 || py > heightPx - 1;
        const value = beyond ? 0 : sampleGrey(image, px + 0.5, py + 0.5);
        const bit = value >= middle ? 1 : 0;
        bright += bit;
        if (k === 0) first = bit;
        else if (bit !== before) changes++;
        before = bit;
      }
      if (before !== first) changes++;
      out[y * widthPx + x] = changes <= 2 ? bright : POINTS + 1;
    }
  return out;
}

const round5 = (v: number) => Math.round(v * 1e5) / 1e5;
