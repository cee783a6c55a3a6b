/** rows × classes scores, row by row, with the true class of each row. */
export interface Scored {
  readonly classes: number;
  readonly scores: Float64Array;
  readonly truth: Int32Array;
  /** Of each row: how many of the counted columns are known. */
  readonly known: Int32Array;
}

/** Some rows of the scores, in the order given. */
export function rowsOfScored({ classes, scores, truth, known }: Scored, rows: ArrayLike<number>): Scored {
  const picked = new Float64Array(rows.length * classes);
  for (let k = 0; k < rows.length; k++)
    picked.set(scores.subarray(rows[k]! * classes, (rows[k]! + 1) * classes), k * classes);
  return {
    classes,
    scores: picked,
    truth: Int32Array.from(rows, (i) => truth[i]!),
    known: Int32Array.from(rows, (i) => known[i]!),
  };
}
