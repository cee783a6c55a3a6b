import type { Pixels } from "./develop.ts";

/** Five columns, seven rows; each string is a row. Only the letters that are burned in. */
const LETTERS: Readonly<Record<string, readonly string[]>> = {
  R: ["####.", "#...#", "#...#", "####.", "#.#..", "#..#.", "#...#"],
  E: ["#####", "#....", "#....", "####.", "#....", "#....", "#####"],
  N: ["#...#", "##..#", "#.#.#", "#..##", "#...#", "#...#", "#...#"],
  D: ["####.", "#...#", "#...#", "#...#", "#...#", "#...#", "####."],
  m: [".....", ".....", "##.#.", "#.#.#", "#.#.#", "#.#.#", "#.#.#"],
  "0": [".###.", "#...#", "#..##", "#.#.#", "##..#", "#...#", ".###."],
  "1": ["..#..", ".##..", "..#..", "..#..", "..#..", "..#..", ".###."],
  "2": [".###.", "#...#", "....#", "..##.", ".#...", "#....", "#####"],
  "3": ["####.", "....#", "....#", ".###.", "....#", "....#", "####."],
  "4": ["...#.", "..##.", ".#.#.", "#..#.", "#####", "...#.", "...#."],
  "5": ["#####", "#....", "####.", "....#", "....#", "#...#", ".###."],
  "6": [".###.", "#....", "####.", "#...#", "#...#", "#...#", ".###."],
  "7": ["#####", "....#", "...#.", "..#..", "..#..", "..#..", "..#.."],
  "8": [".###.", "#...#", "#...#", ".###.", "#...#", "#...#", ".###."],
  "9": [".###.", "#...#", "#...#", ".####", "....#", "....#", ".###."],
  ".": [".....", ".....", ".....", ".....", ".....", ".##..", ".##.."],
  " ": [".....", ".....", ".....", ".....", ".....", ".....", "....."],
};

const ADVANCE = 6;

export const textWidth = (text: string, dot: number): number => (text.length * ADVANCE - 1) * dot;

/** Blends a filled rectangle into the picture. */
export function fill(p: Pixels, x: number, y: number, w: number, h: number, grey: number, opacity: number): void {
  for (let j = Math.max(0, y); j < Math.min(p.height, y + h); j++)
    for (let i = Math.max(0, x); i < Math.min(p.width, x + w); i++)
      for (let c = 0; c < 3; c++) {
        const at = 3 * (j * p.width + i) + c;
        p.rgb[at] = Math.round(p.rgb[at]! * (1 - opacity) + grey * opacity);
      }
}

/** Mean brightness of a rectangle, 0–255. */
function brightness(p: Pixels, x: number, y: number, w: number, h: number): number {
  let sum = 0;
  let n = 0;
  for (let j = Math.max(0, y); j < Math.min(p.height, y + h); j++)
    for (let i = Math.max(0, x); i < Math.min(p.width, x + w); i++) {
      sum += p.rgb[3 * (j * p.width + i) + 1]!;
      n++;
    }
  return n > 0 ? sum / n : 0;
}

/** Burns text into the picture: light on a dark ground and dark on a light one, with an edge of the other. */
export function burnText(p: Pixels, text: string, x: number, y: number, dot: number, opacity: number): void {
  const dark = brightness(p, x, y, textWidth(text, dot), 7 * dot) > 150;
  for (const [grey, grow, part] of [
    [dark ? 235 : 20, Math.max(1, Math.round(dot / 3)), dark ? 0.2 : 0.45],
    [dark ? 20 : 240, 0, opacity],
  ] as const)
    [...text].forEach((letter, n) => {
      const rows = LETTERS[letter];
      if (!rows) throw new RangeError(`The lettering has no "${letter}".`);
      rows.forEach((row, j) =>
        [...row].forEach((mark, i) => {
          if (mark === "#")
            fill(p, x + (n * ADVANCE + i) * dot - grow, y + j * dot - grow, dot + 2 * grow, dot + 2 * grow, grey, part);
        }),
      );
    });
}

/** A scale bar with its length above it, lower right. @returns its ends, px. */
export function burnScaleBar(p: Pixels, lengthPx: number, text: string, dot: number): [number, number, number, number] {
  const x1 = p.width - 12 * dot;
  const x0 = Math.round(x1 - lengthPx);
  const y = p.height - 14 * dot;
  fill(p, x0 - 3, y - 3, x1 - x0 + 6, 2 * dot + 6, 15, 0.85);
  fill(p, x0, y, x1 - x0, 2 * dot, 245, 1);
  burnText(p, text, Math.round((x0 + x1 - textWidth(text, dot)) / 2), y - 11 * dot, dot, 0.95);
  return [x0, y + dot, x1, y + dot];
}
