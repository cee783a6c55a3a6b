import { train } from "../../../model/classifier/train.ts";
import { trainSoftmax } from "../../../model/classifier/softmax.ts";
import { trainTrees } from "../../../model/classifier/trees.ts";
import { countedOf } from "../../../model/classifier/temperature-by-known.ts";
import type { BreakModel } from "../../../model/classifier/break-model.ts";
import { writeModelFile } from "../../../model/classifier/model-file.ts";
import { madeSet, rowAt } from "./made-set.ts";

export const KINDS = ["softmax", "trees", "by-known"] as const;
export type Kind = (typeof KINDS)[number];

/** One model of each kind, as files: small, and the same each time, so that other programs can check them once. */
export function checkedModels(): Readonly<Record<Kind, { readonly bytes: Uint8Array; readonly model: BreakModel }>> {
  const set = madeSet(150, 11);
  const trained = train(set, {
    seed: 3,
    name: "for checking",
    trainedAt: "2026-03-02T08:00:00Z",
    trainedOn: "made numbers",
    limits: ["Made numbers, no breaks."],
    dataDigest: "cd".repeat(32),
  });
  const trees = {
    rounds: 6,
    depth: 3,
    rate: 0.3,
    l2: 1,
    leastWeight: 1,
    columnShare: 0.75,
    rowShare: 0.8,
    seed: 5,
  };
  const linear = trainSoftmax(set, { l2: 0.01, steps: 60 });
  // Whichever temperature suits the made numbers best, both forms of it are checked.
  const counted = countedOf(set.names);
  const byKnown = { counted, few: 2, many: 4, boldAtFew: 0.6, boldAtMany: 2.3 };
  return {
    softmax: writeModelFile({ ...trained, core: linear, temperature: 0.85 }),
    trees: writeModelFile({ ...trained, core: trainTrees(set, trees), temperature: 1.2 }),
    "by-known": writeModelFile({ ...trained, core: linear, temperature: byKnown }),
  };
}

/** Numbers to ask with: usual ones, missing ones, far ones, and some that lie on the edge of a question. */
export function goldenRows(models: ReturnType<typeof checkedModels>): readonly Float32Array[] {
  const fresh = madeSet(40, 12);
  const usual = Array.from({ length: 40 }, (_, i) => rowAt(fresh, i).slice());
  const { core } = models.trees.model;
  const edges =
    core.kind === "trees"
      ? core.trees
          .flatMap((tree) => tree.filter((n) => n.column >= 0))
          .slice(0, 12)
          .map(({ column, edge }, k) => usual[k]!.map((v, j) => (j === column ? edge : v)))
      : [];
  return [
    ...usual,
    ...edges,
    Float32Array.of(NaN, NaN, NaN, NaN),
    Float32Array.of(1, NaN, NaN, NaN),
    Float32Array.of(NaN, NaN, NaN, -0.5),
    Float32Array.of(1e6, -1e6, 1e30, -1e30),
    Float32Array.of(0, 0, 0, 0),
  ];
}
