import { seeded, shuffled } from "./seeded.ts";
import type { TrainingSet } from "./training-set.ts";

/**
 * Deals the breaks into folds, type by type, so that every fold has its share of each. All rows of one break lie in
 * one fold.
 *
 * @returns fold of each row.
 */
export function foldsOf({ y, group, classes }: TrainingSet, folds: number, seed: number): Int32Array {
  const typeOf = new Map<number, number>();
  y.forEach((c, i) => {
    if (!typeOf.has(group[i]!)) typeOf.set(group[i]!, c);
  });
  const foldOf = new Map<number, number>();
  const next = seeded(seed);
  let turn = 0;
  for (let c = 0; c < classes.length; c++) {
    const members = [...typeOf].filter(([, type]) => type === c).map(([g]) => g);
    // The deal goes on where the last type stopped, so that small types do not all fill the first folds.
    for (const k of shuffled(members.length, next)) foldOf.set(members[k]!, turn++ % folds);
  }
  return Int32Array.from(group, (g) => foldOf.get(g)!);
}
