import type { ColumnGroup, ColumnKind } from "./nearest-columns.ts";
import type { MeasureUnit } from "../evidence/features.ts";
import { apart, type ScaledColumn } from "./nearest-likeness.ts";
import { levelOf } from "./nearest-levels.ts";
import type { NearestIndex } from "./nearest-pack.ts";

/** One column in which two breaks are alike or differ. */
export interface Reason {
  readonly name: string;
  readonly kind: ColumnKind;
  readonly group: ColumnGroup;
  readonly unit: MeasureUnit | null;
  /** Value of the open break and of the other one. */
  readonly here: number;
  readonly there: number;
  /** 0 = the same, 1 = as far apart as values of this column are. */
  readonly apart: number;
}

/** Why a confirmed break is in the list. */
export interface Why {
  /** What both have, the most telling first: how the ends answer each other, then what fewest confirmed breaks share. */
  readonly shared: readonly Reason[];
  /** What tells them apart, the heaviest first. */
  readonly differing: readonly Reason[];
  /** How far apart what the pixels show is, by kind of view; the single numbers of a face have no trade words. */
  readonly shown: readonly { readonly group: "face" | "side" | "colour"; readonly apart: number }[];
}

/** Up to here two numbers are called alike, from there on different. @source common practice, no source */
const ALIKE = 0.15;
const DIFFERENT = 0.4;

/** @param vector – of the open break. @param at – place of the other one in the list of the index. */
export function whyNear(index: NearestIndex, vector: ArrayLike<number>, at: number): Why {
  const other = index.vectors[at]!;
  const reasons: (Reason & { readonly weight: number; readonly rare: number })[] = [];
  const shown = new Map<"face" | "side" | "colour", { sum: number; weight: number }>();
  index.columns.forEach((column, k) => {
    const { name, kind, group, unit, weight } = column;
    const [here, there] = [vector[k]!, other[k]!];
    const d = apart(column, here, there);
    if (d === null) return;
    if (group === "face" || group === "side" || group === "colour") {
      const { sum, weight: before } = shown.get(group) ?? { sum: 0, weight: 0 };
      shown.set(group, { sum: sum + weight * d, weight: before + weight });
      return;
    }
    const rare = -Math.log(shareWithin(index, column, k, here, there));
    reasons.push({ name, kind, group, unit, here, there, apart: d, weight, rare });
  });
  const bare = ({ weight: _w, rare: _r, ...reason }: (typeof reasons)[number]): Reason => reason;
  const alike = reasons
    .filter((r) => r.apart <= ALIKE)
    .sort((a, b) => Number(isPair(b)) - Number(isPair(a)) || b.weight * b.rare - a.weight * a.rare);
  const apartFirst = reasons
    .filter((r) => r.apart >= DIFFERENT)
    .sort((a, b) => b.weight * b.apart - a.weight * a.apart);
  return {
    shared: withoutEchoes(alike, "any", "both").map(bare),
    differing: withoutEchoes(apartFirst, "both", "any").map(bare),
    shown: [...shown].map(([group, { sum, weight }]) => ({ group, apart: sum / weight })),
  };
}

const isPair = ({ name }: Reason): boolean => name.startsWith("pair.");

/** "Seen" and "on both ends" of one feature say one thing: `dropped` goes where `kept` is there as well. */
function withoutEchoes<R extends Reason>(reasons: readonly R[], dropped: string, kept: string): readonly R[] {
  const names = new Set(reasons.map((r) => r.name));
  return reasons.filter(({ name }) => {
    const at = name.lastIndexOf(".");
    return name.slice(at + 1) !== dropped || !names.has(`${name.slice(0, at)}.${kept}`);
  });
}

/** Share of all confirmed breaks that lie at least as near to the open one; those where it is not known do not. */
function shareWithin(
  { counts, vectors }: NearestIndex,
  column: ScaledColumn,
  k: number,
  here: number,
  there: number,
): number {
  const [a, b] = [levelOf(column, here), levelOf(column, there)];
  const reach = Math.abs(a - b);
  let near = 0;
  for (let level = Math.max(0, a - reach); level <= Math.min(254, a + reach); level++) near += counts[256 * k + level]!;
  return near / vectors.length;
}
