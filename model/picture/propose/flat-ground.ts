import { inverse } from "../../measure/linear-solve.ts";
import type { GreyImage } from "../pixels/grey.ts";
import { newGrey } from "../pixels/grey.ts";
import type { ColourPlanes } from "./colour-planes.ts";

/** Share of the shorter side that counts as margin, where the ground is looked at. */
const MARGIN = 0.1;
const TERMS = 6;

/**
 * The picture without the slow change of light over the ground, so that an edge is all that changes.
 *
 * A surface of second degree is laid through the margin of each colour, by weights that leave out what does not belong
 * to it (a wire at the margin, lettering), and subtracted.
 *
 * @returns colours around 0; for edges only.
 * @source weights: J. W. Tukey's biweight, P. J. Huber, "Robust Statistics", Wiley 1981; from memory
 */
export function flatGround(copy: ColourPlanes): ColourPlanes {
  const [red, green, blue] = copy.planes.map((plane) => flattened(plane)) as [GreyImage, GreyImage, GreyImage];
  return { ...copy, planes: [red, green, blue] };
}

interface Block {
  readonly terms: readonly number[];
  readonly value: number;
}

function flattened(plane: GreyImage): GreyImage {
  const { widthPx, heightPx, data } = plane;
  const surface = surfaceThrough(marginBlocks(plane));
  const out = newGrey(widthPx, heightPx);
  const [a = 0, b = 0, c = 0, d = 0, e = 0, f = 0] = surface;
  for (let y = 0, at = 0; y < heightPx; y++) {
    const v = y / heightPx - 0.5;
    for (let x = 0; x < widthPx; x++, at++) {
      const u = x / widthPx - 0.5;
      out.data[at] = data[at]! - (a + b * u + c * v + d * u * u + e * u * v + f * v * v);
    }
  }
  return out;
}

/** Mean colour of small squares along the margin. */
function marginBlocks({ widthPx, heightPx, data }: GreyImage): Block[] {
  const margin = Math.max(4, Math.round(MARGIN * Math.min(widthPx, heightPx)));
  const side = Math.max(2, Math.floor(margin / 3));
  const blocks: Block[] = [];
  for (let y = 0; y + side <= heightPx; y += side)
    for (let x = 0; x + side <= widthPx; x += side) {
      if (x >= margin && y >= margin && x + side <= widthPx - margin && y + side <= heightPx - margin) continue;
      let sum = 0;
      for (let j = 0; j < side; j++) for (let i = 0; i < side; i++) sum += data[(y + j) * widthPx + x + i]!;
      const [u, v] = [(x + side / 2) / widthPx - 0.5, (y + side / 2) / heightPx - 0.5];
      blocks.push({ terms: [1, u, v, u * u, u * v, v * v], value: sum / (side * side) });
    }
  return blocks;
}

function surfaceThrough(blocks: readonly Block[]): number[] {
  let weights = blocks.map(() => 1);
  let surface = new Array<number>(TERMS).fill(0);
  for (let round = 0; round < 8; round++) {
    const normal = Array.from({ length: TERMS }, () => new Array<number>(TERMS).fill(0));
    const right = new Array<number>(TERMS).fill(0);
    blocks.forEach(({ terms, value }, i) => {
      for (let j = 0; j < TERMS; j++) {
        right[j]! += weights[i]! * terms[j]! * value;
        for (let k = 0; k < TERMS; k++) normal[j]![k]! += weights[i]! * terms[j]! * terms[k]!;
      }
    });
    for (let j = 0; j < TERMS; j++) normal[j]![j]! += 1e-6 * blocks.length;
    const solve = inverse(normal);
    if (solve === null) break;
    surface = solve.map((row) => row.reduce((sum, v, k) => sum + v * right[k]!, 0));
    const found = surface;
    const off = blocks.map(({ terms, value }) => Math.abs(value - terms.reduce((s, t, k) => s + t * found[k]!, 0)));
    const usual = [...off].sort((a, b) => a - b)[off.length >> 1] ?? 0;
    const reach = Math.max(0.01, 5 * usual);
    weights = off.map((o) => (o < reach ? (1 - (o / reach) ** 2) ** 2 : 0));
  }
  return surface;
}
