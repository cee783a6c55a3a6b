/**
 * Confirmed breaks as numbers. One row per break (or per way of marking it: rows of one break share a group, and a
 * group never lies on both sides of a split).
 */
export interface TrainingSet {
  /** Names of the columns. */
  readonly names: readonly string[];
  /** Names of the classes. */
  readonly classes: readonly string[];
  /** rows × columns, row by row; NaN is missing, which is never zero. */
  readonly x: Float32Array;
  /** Class of each row, an index into `classes`. */
  readonly y: Int32Array;
  /** Break of each row. */
  readonly group: Int32Array;
}

export const rowsOf = (set: TrainingSet): number => set.y.length;

/** The chosen rows as a set of their own, in the order given. */
export function pickRows(set: TrainingSet, rows: ArrayLike<number>): TrainingSet {
  const columns = set.names.length;
  const x = new Float32Array(rows.length * columns);
  const y = new Int32Array(rows.length);
  const group = new Int32Array(rows.length);
  for (let i = 0; i < rows.length; i++) {
    const from = rows[i]!;
    x.set(set.x.subarray(from * columns, (from + 1) * columns), i * columns);
    y[i] = set.y[from]!;
    group[i] = set.group[from]!;
  }
  return { ...set, x, y, group };
}

/**
 * Weights that let a rare type count: the root of the inverse share, so that a type with four times fewer breaks weighs
 * twice as much per break. The mean over all rows is 1.
 *
 * @source common practice, no source
 */
export function classWeights({ y, classes }: TrainingSet): Float64Array {
  const count = new Float64Array(classes.length);
  for (const c of y) count[c]!++;
  const raw = count.map((n) => (n === 0 ? 0 : 1 / Math.sqrt(n)));
  let sum = 0;
  for (const c of y) sum += raw[c]!;
  return raw.map((w) => (sum === 0 ? 0 : (w * y.length) / sum));
}
