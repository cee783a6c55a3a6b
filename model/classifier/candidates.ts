import { trainSoftmax, type SoftmaxModel } from "./softmax.ts";
import type { TrainingSet } from "./training-set.ts";
import { trainTrees, type TreesModel } from "./trees.ts";

/** A way of learning, with everything settled but the breaks. */
export interface Candidate {
  readonly name: string;
  readonly fit: (set: TrainingSet, seed: number, onPart?: (part: number) => void) => SoftmaxModel | TreesModel;
}

const softmax = (l2: number): Candidate => ({
  name: `softmax, penalty ${l2}`,
  fit: (set, _seed, onPart) => trainSoftmax(set, { l2, steps: 80, ...(onPart ? { onPart } : {}) }),
});

const trees = (rounds: number, depth: number): Candidate => ({
  name: `boosted trees, ${rounds} rounds of depth ${depth}`,
  fit: (set, seed, onPart) =>
    trainTrees(set, {
      rounds,
      depth,
      rate: 0.2,
      l2: 2,
      leastWeight: 1,
      columnShare: 0.3,
      rowShare: 0.7,
      seed,
      ...(onPart ? { onPart } : {}),
    }),
});

export const CANDIDATES: readonly Candidate[] = [softmax(0.003), softmax(0.03), trees(25, 3)];
