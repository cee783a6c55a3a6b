import { AgreementError } from "./agreement-error.ts";

/** Two readers' labels of the same breaks, counted: rows are the first reader, columns the second. */
export interface ReadingTable {
  /** Names of the labels, in their order where they have one. */
  readonly labels: readonly string[];
  /** `counts[i][j]`: breaks that the first reader called `labels[i]` and the second `labels[j]`. */
  readonly counts: readonly (readonly number[])[];
}

/**
 * Counts two readers' labels.
 *
 * @param pairs – label by the first and by the second reader, one pair per break that both read.
 * @param labels – every label there is; left out, the labels used, sorted.
 * @throws AgreementError unknown-label.
 */
export function readingTable(
  pairs: readonly (readonly [string, string])[],
  labels: readonly string[] = [...new Set(pairs.flat())].sort(),
): ReadingTable {
  const place = new Map(labels.map((label, i) => [label, i]));
  const counts = labels.map(() => labels.map(() => 0));
  for (const pair of pairs) {
    const [i, j] = pair.map((label) => place.get(label));
    if (i === undefined || j === undefined)
      throw new AgreementError(
        "unknown-label",
        `A reader gave "${i === undefined ? pair[0] : pair[1]}", which is not among the labels compared.`,
        "Compare readings that use the same list of labels.",
      );
    counts[i]![j]!++;
  }
  return { labels, counts };
}

/** Breaks both readers read. */
export const readBoth = ({ counts }: ReadingTable): number => counts.flat().reduce((sum, n) => sum + n, 0);
