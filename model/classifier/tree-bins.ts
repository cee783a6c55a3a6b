import type { TrainingSet } from "./training-set.ts";
import { rowsOf } from "./training-set.ts";

/** Bin of a missing value. */
export const MISSING_BIN = 0;
/** Bins of one column, the missing one included. */
export const MOST_BINS = 32;
/** Below this share of known rows a column is kept as a list of them. */
const FEW = 0.3;

/** Every value as the number of its bin: trees ask only "at most this edge?". */
export interface Binned {
  readonly columns: number;
  readonly rows: number;
  /** Column by column: bin of each row; 0 missing, k for a value above edge k − 2 and at most edge k − 1. */
  readonly bins: Uint8Array;
  /** The rows that know a column, where few do; null where many do. */
  readonly knowing: readonly (Int32Array | null)[];
  /** Rising upper edges per column; a value above the last lies in one bin more. */
  readonly edges: readonly Float32Array[];
}

/**
 * Cuts each column at its own quantiles, halfway between neighbouring values.
 */
export function binsOf(set: TrainingSet): Binned {
  const rows = rowsOf(set);
  const columns = set.names.length;
  const bins = new Uint8Array(rows * columns);
  const edges: Float32Array[] = [];
  const knowing: (Int32Array | null)[] = [];
  const values = new Float32Array(rows);
  const at = new Int32Array(rows);
  for (let j = 0; j < columns; j++) {
    let known = 0;
    for (let i = 0; i < rows; i++) {
      const v = set.x[i * columns + j]!;
      if (Number.isNaN(v)) continue;
      values[known] = v;
      at[known++] = i;
    }
    const cuts = cutsOf(values.slice(0, known).sort());
    edges.push(cuts);
    for (let k = 0; k < known; k++) bins[j * rows + at[k]!] = 1 + placeOf(cuts, values[k]!);
    knowing.push(known < FEW * rows ? at.slice(0, known) : null);
  }
  return { columns, rows, bins, edges, knowing };
}

function cutsOf(sorted: Float32Array): Float32Array {
  const cuts: number[] = [];
  for (let k = 1; k < MOST_BINS - 1; k++) {
    const at = Math.floor((k * sorted.length) / (MOST_BINS - 1));
    const low = sorted[at - 1];
    const high = sorted[at];
    if (low === undefined || high === undefined || low === high) continue;
    // As a 32-bit number, because the model file keeps it so; the lower value itself must stay at or below it.
    const middle = Math.fround(low + (high - low) / 2);
    const cut = middle < high ? middle : low;
    if (cut !== cuts.at(-1)) cuts.push(cut);
  }
  return Float32Array.from(cuts);
}

/** How many edges lie below the value. */
function placeOf(cuts: Float32Array, v: number): number {
  let low = 0;
  let high = cuts.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (v <= cuts[middle]!) high = middle;
    else low = middle + 1;
  }
  return low;
}
