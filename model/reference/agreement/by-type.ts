import { cohenKappa, type Kappa } from "./kappa.ts";
import type { ReadingTable } from "./reading-table.ts";
import { readBoth } from "./reading-table.ts";

/** How two readers agree about one type, all other types taken together. */
export interface TypeAgreement {
  readonly label: string;
  /** Breaks both called so; only the first did; only the second did. */
  readonly both: number;
  readonly firstOnly: number;
  readonly secondOnly: number;
  /** 2·both / (2·both + firstOnly + secondOnly): the chance that one reader gives it when the other does; null = never given. */
  readonly share: number | null;
  /** Kappa of this type against the rest; null where one of the two gave it never or always. */
  readonly kappa: Kappa | null;
}

/**
 * Agreement type by type, in the order of the labels.
 *
 * @source share: Dice 1945 (Ecology 26, 297), used as positive agreement by Fleiss 1975 (Biometrics 31, 651); from memory.
 */
export function agreementByType(table: ReadingTable): readonly TypeAgreement[] {
  const all = readBoth(table);
  return table.labels.map((label, i) => {
    const both = table.counts[i]![i]!;
    const first = table.counts[i]!.reduce((sum, n) => sum + n, 0);
    const second = table.counts.reduce((sum, row) => sum + row[i]!, 0);
    const [firstOnly, secondOnly] = [first - both, second - both];
    const neither = all - both - firstOnly - secondOnly;
    const varied = [first, second].every((n) => n > 0 && n < all);
    const alone: ReadingTable = {
      labels: [label, "other"],
      counts: [
        [both, firstOnly],
        [secondOnly, neither],
      ],
    };
    return {
      label,
      both,
      firstOnly,
      secondOnly,
      share: first + second === 0 ? null : (2 * both) / (first + second),
      kappa: varied && all >= 2 ? cohenKappa(alone) : null,
    };
  });
}
