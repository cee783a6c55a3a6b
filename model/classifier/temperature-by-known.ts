import type { TrainingSet } from "./training-set.ts";
import { VIEW_COLUMNS } from "./view-columns.ts";

/**
 * A temperature that follows how much is known of a break: at and below `few` known columns one boldness, at and above
 * `many` another, evenly between. A break of which little is marked is harder than its scores say, one that is marked in
 * full is easier; one temperature for both makes the first too bold and the second too humble.
 *
 * @source C. Tomani, D. Cremers, F. Buettner, "Parameterized temperature scaling for boosting the expressive power in
 *   post-hoc uncertainty calibration", ECCV 2022 (arXiv 2102.12182): a temperature for each case; the straight line
 *   between two of them in place of their network is our own.
 */
export interface TemperatureByKnown {
  /** Of each column: 1 if it counts. */
  readonly counted: Uint8Array;
  /** Known columns of those counted. */
  readonly few: number;
  readonly many: number;
  /** 1 / temperature; ⅛ to 4. */
  readonly boldAtFew: number;
  readonly boldAtMany: number;
}

const VIEWS: ReadonlySet<string> = new Set(VIEW_COLUMNS.map((c) => c.name));

/** Columns that count: marks, measures and facts. What pixels say is known whenever there is a photograph. */
export const countedOf = (names: readonly string[]): Uint8Array =>
  Uint8Array.from(names, (name) => (VIEWS.has(name) ? 0 : 1));

/** How many of the counted columns of a row are known. */
export function knownCount(counted: Uint8Array, row: ArrayLike<number>): number {
  let count = 0;
  for (let j = 0; j < counted.length; j++) if (counted[j] === 1 && !Number.isNaN(row[j]!)) count++;
  return count;
}

/** How many of the counted columns each row knows. */
export function knownCounts({ names, x, y }: TrainingSet, counted: Uint8Array): Int32Array {
  const columns = names.length;
  return Int32Array.from(y, (_, i) => knownCount(counted, x.subarray(i * columns, (i + 1) * columns)));
}

/** 1 / temperature where so many of the counted columns are known. */
export function boldnessAt({ few, many, boldAtFew, boldAtMany }: TemperatureByKnown, known: number): number {
  const part = Math.min(1, Math.max(0, (known - few) / (many - few)));
  return boldAtFew + part * (boldAtMany - boldAtFew);
}
