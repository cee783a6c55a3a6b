import { describe, expect, test } from "vitest";
import { seeded } from "../../../model/classifier/seeded.ts";
import { binsOf } from "../../../model/classifier/tree-bins.ts";
import { TreeGrower } from "../../../model/classifier/tree-grower.ts";
import type { TreeNode } from "../../../model/classifier/trees.ts";
import { pickRows } from "../../../model/classifier/training-set.ts";
import { madeBreaks } from "../../../scripts/bench/made-breaks.ts";

const made = madeBreaks(300, 8, 4);
const set = pickRows(made, [...made.y.keys()]);
const columns = set.names.length;
const binned = binsOf(set);
const options = { depth: 3, rate: 0.3, l2: 1.5, leastWeight: 2 };
const next = seeded(2);
const pull = Float64Array.from({ length: 600 }, (_, k) => (k % 2 === 0 ? 2 * next() - 1 : 0.1 + next()));
const used = Int32Array.from([...made.y.keys()].filter((i) => i % 5 !== 0));
const asked = Int32Array.from([...new Array(columns).keys()].filter((j) => j % 3 === 0));
const grower = new TreeGrower(binned, options);
const tree = grower.grow(used, asked, pull);

const goesLow = (node: TreeNode, i: number): boolean => {
  const v = set.x[i * columns + node.column]!;
  return Number.isNaN(v) ? node.missingLow : v <= node.edge;
};
/** Rows that come to each node, found from the numbers themselves. */
function rowsAt(place: number, rows: readonly number[], out = new Map<number, readonly number[]>()) {
  out.set(place, rows);
  const node = tree[place]!;
  if (node.column >= 0) {
    rowsAt(node.low, rows.filter((i) => goesLow(node, i)), out); // prettier-ignore
    rowsAt(node.high, rows.filter((i) => !goesLow(node, i)), out); // prettier-ignore
  }
  return out;
}
const sums = (rows: readonly number[]): readonly [g: number, h: number] =>
  rows.reduce<readonly [number, number]>(([g, h], i) => [g + pull[2 * i]!, h + pull[2 * i + 1]!], [0, 0]);
const worth = (rows: readonly number[]) => {
  const [g, h] = sums(rows);
  return (g * g) / (h + options.l2);
};

describe("a tree grown on bins", () => {
  const reached = rowsAt(0, [...used]);

  test("both kinds of column were there to ask about, and every level was reached", () => {
    expect(asked.some((j) => binned.knowing[j] === null)).toBe(true);
    expect(asked.some((j) => binned.knowing[j] !== null)).toBe(true);
    expect(tree.length).toBeGreaterThan(9);
  });

  test("each node says what suits its rows: −rate · slope / (curvature + l2)", () => {
    tree.forEach((node, place) => {
      const [g, h] = sums(reached.get(place)!);
      expect(node.mean).toBeCloseTo((-options.rate * g) / (h + options.l2), 5);
      expect(node.value).toBe(node.column < 0 ? node.mean : 0);
    });
  });

  test("each question is the best that any column and edge allow", () => {
    tree.forEach((node, place) => {
      if (node.column < 0) return;
      const rows = reached.get(place)!;
      const gainOf = (column: number, edge: number, missingLow: boolean): number => {
        const question = { ...node, column, edge, missingLow };
        const [low, high] = [rows.filter((i) => goesLow(question, i)), rows.filter((i) => !goesLow(question, i))];
        const [, lowH] = sums(low);
        const [, highH] = sums(high);
        if (lowH < options.leastWeight || highH < options.leastWeight) return -Infinity;
        return worth(low) + worth(high);
      };
      let best = -Infinity;
      for (const column of asked)
        for (const edge of binned.edges[column]!)
          best = Math.max(best, gainOf(column, edge, true), gainOf(column, edge, false));
      expect(gainOf(node.column, node.edge, node.missingLow)).toBeCloseTo(best, 8);
    });
  });

  test("what it adds to every row, learnt from or not, is the value of the leaf that the row comes to", () => {
    const scores = new Float64Array(300 * 2).fill(1);
    grower.addTo(scores, 1, 2);
    for (let i = 0; i < 300; i++) {
      let node = tree[0]!;
      while (node.column >= 0) node = tree[goesLow(node, i) ? node.low : node.high]!;
      expect(scores[2 * i]).toBe(1);
      expect(scores[2 * i + 1]).toBe(1 + node.value);
    }
  });
});
