import { BREAK_TYPE_IDS, type Verdict } from "../evidence/break-type-ids.ts";
import { BREAK_TYPE_NAMES } from "../evidence/type-names.ts";
import type { SetBreak, Split } from "./member.ts";
import { SPLITS } from "./member.ts";

/** Upper edges of the classes of wire diameter, mm. @source common practice, no source. */
const DIAMETER_EDGES = [0.1, 0.3, 1, 3, 8] as const;

export const NOT_RECORDED = "not recorded";

/** Class of a wire diameter in words, such as "0.3 to 1 mm". */
export function diameterClass(mm: number | null): string {
  if (mm === null) return NOT_RECORDED;
  const i = DIAMETER_EDGES.findIndex((edge) => mm < edge);
  if (i === 0) return `below ${DIAMETER_EDGES[0]} mm`;
  if (i < 0) return `${DIAMETER_EDGES.at(-1)} mm and above`;
  return `${DIAMETER_EDGES[i - 1]} to ${DIAMETER_EDGES[i]} mm`;
}

export const AXES = ["metal", "diameter", "machine", "light"] as const;
export type Axis = (typeof AXES)[number];

/** Values of a break along an axis; a break photographed under two lights counts under both. */
export function valuesOf(member: SetBreak, axis: Axis): readonly string[] {
  switch (axis) {
    case "metal":
      return [member.metal ?? NOT_RECORDED];
    case "diameter":
      return [diameterClass(member.diameterMm)];
    case "machine":
      return [member.machine ?? NOT_RECORDED];
    case "light":
      return member.lights.length === 0 ? [NOT_RECORDED] : member.lights;
  }
}

export interface CoverageCell {
  readonly type: Verdict;
  readonly metal: string;
  readonly diameter: string;
  readonly machine: string;
  readonly light: string;
  readonly breaks: number;
}

/** How many breaks there are of each combination that occurs, most first. */
export function coverageCells(breaks: readonly SetBreak[]): readonly CoverageCell[] {
  const cells = new Map<string, CoverageCell>();
  for (const member of breaks)
    for (const light of valuesOf(member, "light")) {
      const [metal, diameter, machine] = (["metal", "diameter", "machine"] as const).map(
        (axis) => valuesOf(member, axis)[0]!,
      ) as [string, string, string];
      const key = JSON.stringify([member.type, metal, diameter, machine, light]);
      const before = cells.get(key)?.breaks ?? 0;
      cells.set(key, { type: member.type, metal, diameter, machine, light, breaks: before + 1 });
    }
  return [...cells.entries()].sort(([a, x], [b, y]) => y.breaks - x.breaks || (a < b ? -1 : 1)).map(([, cell]) => cell);
}

/** One table: a row per type that occurs, a column per value of the axis, numbers of breaks. */
export interface CoverageTable {
  readonly axis: Axis;
  readonly values: readonly string[];
  readonly rows: readonly { readonly type: Verdict; readonly counts: readonly number[]; readonly breaks: number }[];
}

export function coverageTable(breaks: readonly SetBreak[], axis: Axis): CoverageTable {
  const found = new Map<Verdict, { readonly of: Map<string, number>; breaks: number }>();
  for (const member of breaks) {
    const row = found.get(member.type) ?? { of: new Map<string, number>(), breaks: 0 };
    found.set(member.type, row);
    row.breaks++;
    for (const value of valuesOf(member, axis)) row.of.set(value, (row.of.get(value) ?? 0) + 1);
  }
  const values = [...new Set([...found.values()].flatMap(({ of }) => [...of.keys()]))].sort(byPlace);
  return {
    axis,
    values,
    rows: ([...BREAK_TYPE_IDS, "undetermined"] as const).flatMap((type) => {
      const row = found.get(type);
      return row ? [{ type, counts: values.map((value) => row.of.get(value) ?? 0), breaks: row.breaks }] : [];
    }),
  };
}

const edgeOf = (value: string): number => (value.startsWith("below") ? 0 : parseFloat(value));
/** Diameters by size, names by the alphabet, what was not recorded last. */
function byPlace(a: string, b: string): number {
  if ((a === NOT_RECORDED) !== (b === NOT_RECORDED)) return a === NOT_RECORDED ? 1 : -1;
  return edgeOf(a) - edgeOf(b) || (a < b ? -1 : 1);
}

/** Fewest breaks of a type for figures about it to mean anything. @source common practice, no source. */
export const FEWEST_OF_A_TYPE = 10;
/** Largest ratio of the most to the least frequent type before the set is called uneven. @source common practice. */
export const MOST_UNEVEN = 10;

/** Something uneven in a set. */
export interface BalanceWarning {
  /** A sentence with what to do. */
  readonly says: string;
  /** Breaks it is about, by identifier; empty = the whole set. */
  readonly breakIds: readonly string[];
}

/** What is uneven in a set; empty = nothing to say. */
export function balanceOf(breaks: readonly SetBreak[], of: ReadonlyMap<string, Split>): readonly BalanceWarning[] {
  const warnings: BalanceWarning[] = [];
  const byType = new Map<Verdict, SetBreak[]>();
  for (const member of breaks) {
    const list = byType.get(member.type);
    if (list) list.push(member);
    else byType.set(member.type, [member]);
  }
  const warn = (says: string, about: readonly SetBreak[] = []): void => {
    warnings.push({ says, breakIds: about.map(({ id }) => id) });
  };
  const name = (type: Verdict) => (type === "undetermined" ? "undecided" : BREAK_TYPE_NAMES[type]);
  const rows = coverageTable(breaks, "metal").rows;
  for (const { type, breaks: n } of rows)
    if (n < FEWEST_OF_A_TYPE)
      warn(
        `Only ${n} of ${name(type)}: figures about it mean little. Confirm more, or leave the type out.`,
        byType.get(type),
      );
  const counts = rows.map((row) => row.breaks);
  const [most, least] = [Math.max(0, ...counts), Math.min(...counts)];
  if (rows.length > 1 && most > MOST_UNEVEN * least)
    warn(`The most frequent type has ${most} breaks, the rarest ${least}. Judge each type by itself.`);
  for (const { type, breaks: n } of rows)
    for (const split of SPLITS)
      if (n >= SPLITS.length && !byType.get(type)!.some((b) => of.get(b.id) === split))
        warn(`The ${split} part holds no ${name(type)}.`, byType.get(type));
  for (const axis of AXES) {
    const table = coverageTable(breaks, axis);
    if (table.values.filter((value) => value !== NOT_RECORDED).length < 2) continue;
    for (const row of table.rows) {
      const seen = table.values.filter((_, i) => row.counts[i]! > 0);
      if (row.breaks >= 3 && seen.length === 1 && seen[0] !== NOT_RECORDED)
        warn(
          `All ${row.breaks} of ${name(row.type)} have one ${axis} (${seen[0]}): the ${axis} could be learnt instead of the type.`,
          byType.get(row.type),
        );
    }
  }
  const invented = breaks.filter((b) => b.invented);
  if (invented.length > 0)
    warn(
      `${invented.length} of ${breaks.length} breaks are rendered or invented: no figure about this set is one about real breaks.`,
      invented,
    );
  return warnings;
}

/** The sentences of `balanceOf` alone. */
export const balanceWarnings = (breaks: readonly SetBreak[], of: ReadonlyMap<string, Split>): readonly string[] =>
  balanceOf(breaks, of).map(({ says }) => says);
