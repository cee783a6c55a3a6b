/** Share of proposals that were right, by how well the finder thought it had found them. */
export interface ConfidenceTable {
  /** [worth from which the row counts, share right], ascending. Below the first row nothing is proposed. */
  readonly rows: readonly (readonly [from: number, share: number])[];
}

/** @returns the share right at this worth; null = too unsure to be proposed. */
export function confidenceAt({ rows }: ConfidenceTable, worth: number): number | null {
  let share: number | null = null;
  for (const row of rows) if (worth >= row[0]) share = row[1];
  return share;
}
