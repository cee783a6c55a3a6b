import { seeded } from "../../model/classifier/seeded.ts";
import { COLUMN_NAMES } from "../../model/classifier/vector.ts";
import { comparedColumns } from "../../model/reference/nearest-columns.ts";
import { nearest } from "../../model/reference/nearest.ts";
import { nearestIndex } from "../../model/reference/nearest-pack.ts";
import type { Row } from "./model.ts";

const BREAKS = 50_000;

/** The ten most similar of 50,000 made breaks with every fifth number missing, beside a bare sum of the same numbers. */
export function benchNearest(): readonly Row[] {
  const next = seeded(50);
  const columns = comparedColumns(COLUMN_NAMES);
  const made = () =>
    Float32Array.from(columns, ({ kind }) =>
      next() < 0.2 ? NaN : kind === "number" ? next() + next() + next() : next() < 0.3 ? 1 : 0,
    );
  const vectors = Array.from({ length: BREAKS }, () => made());
  const building = performance.now();
  const index = nearestIndex(vectors, columns);
  const built = performance.now() - building;
  const open = Array.from({ length: 45 }, () => made());
  const searches = open.map((vector) => timed(() => nearest(index, vector, 10).length));
  const bytes = Uint8Array.from({ length: BREAKS * columns.length }, (_, i) => i % 251);
  const sums = Array.from({ length: 9 }, () => timed(() => sumOf(bytes)));
  const time = median(searches.slice(5));
  return [
    {
      what: `nearest of ${BREAKS} confirmed breaks, ${COLUMN_NAMES.length} columns`,
      figure: `${time.toFixed(0)} ms`,
      aim: "≤ 50 ms",
      met: time <= 50,
      beside: `${median(sums).toFixed(0)} ms to add as many numbers of a byte each up; packed once in ${built.toFixed(0)} ms`,
    },
  ];
}

function sumOf(levels: Uint8Array): number {
  let sum = 0;
  for (let i = 0; i < levels.length; i++) sum += levels[i]!;
  return sum;
}

function timed(work: () => number): number {
  const start = performance.now();
  // The answer is used, so that no optimiser leaves the work out.
  if (work() < 0) throw new Error("A sum of levels cannot be negative.");
  return performance.now() - start;
}

const median = (times: readonly number[]): number => [...times].sort((a, b) => a - b)[times.length >> 1] ?? NaN;
