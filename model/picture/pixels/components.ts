import type { Mask } from "./mask.ts";
import { newMask } from "./mask.ts";

/** One connected patch of a mask. Lengths in px; places from the outer corner of the first pixel. */
export interface Component {
  /** Its number in `labels`. */
  readonly label: number;
  readonly areaPx: number;
  /** Outer corners of the box around it: from (x0, y0) to (x1, y1). */
  readonly x0: number;
  readonly y0: number;
  readonly x1: number;
  readonly y1: number;
  /** Mean place of its pixels. */
  readonly cx: number;
  readonly cy: number;
  /** True when it reaches the edge of the picture. */
  readonly atEdge: boolean;
}

export interface Components {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Number of the patch of each pixel; 0 = none. */
  readonly labels: Int32Array;
  /** Largest first. */
  readonly list: readonly Component[];
}

/**
 * Connected patches of a mask.
 *
 * @param neighbours – 4 (sides) or 8 (corners too).
 * @source A. Rosenfeld, J. L. Pfaltz, "Sequential operations in digital picture processing", J. ACM 13 (1966) 471–494
 *   (two passes with joined labels); from memory.
 */
export function componentsOf({ widthPx, heightPx, data }: Mask, neighbours: 4 | 8): Components {
  const labels = new Int32Array(data.length);
  const parent: number[] = [0];
  for (let y = 0; y < heightPx; y++)
    for (let x = 0; x < widthPx; x++) {
      const at = y * widthPx + x;
      if (data[at] === 0) continue;
      let label = 0;
      if (x > 0) label = labels[at - 1]!;
      if (y > 0) {
        label = joined(parent, label, labels[at - widthPx]!);
        if (neighbours === 8) {
          if (x > 0) label = joined(parent, label, labels[at - widthPx - 1]!);
          if (x < widthPx - 1) label = joined(parent, label, labels[at - widthPx + 1]!);
        }
      }
      if (label === 0) {
        label = parent.length;
        parent.push(label);
      }
      labels[at] = label;
    }
  const list = measured(labels, parent, widthPx, heightPx);
  return { widthPx, heightPx, labels, list };
}

/** One patch alone. */
export function maskOfComponent({ widthPx, heightPx, labels }: Components, label: number): Mask {
  const mask = newMask(widthPx, heightPx);
  for (let i = 0; i < labels.length; i++) if (labels[i] === label) mask.data[i] = 1;
  return mask;
}

function root(parent: number[], label: number): number {
  let at = label;
  while (parent[at]! !== at) {
    parent[at] = parent[parent[at]!]!;
    at = parent[at]!;
  }
  return at;
}

function joined(parent: number[], a: number, b: number): number {
  if (a === 0 || a === b) return b === 0 ? a : b;
  if (b === 0) return a;
  const [p, q] = [root(parent, a), root(parent, b)];
  const [low, high] = p < q ? [p, q] : [q, p];
  parent[high] = low;
  return low;
}

/** Second pass: final numbers 1, 2, … in reading order, and the sums of each patch. */
function measured(labels: Int32Array, parent: number[], widthPx: number, heightPx: number): Component[] {
  const final = new Int32Array(parent.length);
  let n = 0;
  for (let l = 1; l < parent.length; l++) {
    const r = root(parent, l);
    final[l] = r === l ? ++n : final[r]!;
  }
  const area = new Float64Array(n + 1);
  const [sx, sy] = [new Float64Array(n + 1), new Float64Array(n + 1)];
  const [x0, y0] = [new Int32Array(n + 1).fill(widthPx), new Int32Array(n + 1).fill(heightPx)];
  const [x1, y1] = [new Int32Array(n + 1), new Int32Array(n + 1)];
  for (let y = 0, at = 0; y < heightPx; y++)
    for (let x = 0; x < widthPx; x++, at++) {
      if (labels[at] === 0) continue;
      const l = final[labels[at]!]!;
      labels[at] = l;
      area[l]! += 1;
      sx[l]! += x;
      sy[l]! += y;
      if (x < x0[l]!) x0[l] = x;
      if (y < y0[l]!) y0[l] = y;
      if (x >= x1[l]!) x1[l] = x + 1;
      if (y >= y1[l]!) y1[l] = y + 1;
    }
  const list: Component[] = [];
  for (let l = 1; l <= n; l++)
    list.push({
      label: l,
      areaPx: area[l]!,
      x0: x0[l]!,
      y0: y0[l]!,
      x1: x1[l]!,
      y1: y1[l]!,
      cx: sx[l]! / area[l]! + 0.5,
      cy: sy[l]! / area[l]! + 0.5,
      atEdge: x0[l] === 0 || y0[l] === 0 || x1[l] === widthPx || y1[l] === heightPx,
    });
  return list.sort((a, b) => b.areaPx - a.areaPx);
}
