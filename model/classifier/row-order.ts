import { pickRows, rowsOf, type TrainingSet } from "./training-set.ts";

/**
 * The set with its rows in an order that follows from what they say: by type, then number by number, missing first. So
 * the order in which breaks were confirmed or read changes nothing about what is learnt.
 */
export function inOwnOrder(set: TrainingSet): TrainingSet {
  const columns = set.names.length;
  const { x, y } = set;
  const compare = (a: number, b: number): number => {
    if (y[a] !== y[b]) return y[a]! - y[b]!;
    for (let j = 0, p = a * columns, q = b * columns; j < columns; j++, p++, q++) {
      const [v, w] = [x[p]!, x[q]!];
      if (v === w) continue;
      if (Number.isNaN(v)) {
        if (Number.isNaN(w)) continue;
        return -1;
      }
      return Number.isNaN(w) ? 1 : v - w;
    }
    return 0;
  };
  return pickRows(set, Int32Array.from({ length: rowsOf(set) }, (_, i) => i).sort(compare));
}
