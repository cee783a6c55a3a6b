import { FORMULAS, type FormulaId } from "./formulas.ts";
import type { RouteSourceKey } from "./route-sources.ts";

/** A quantity with the lowest and highest value it may have. */
export interface Band {
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

/** "1" marks a dimensionless ratio. */
export type RouteUnit = "1" | "deg" | "mm";

/**
 * A computed number of a pass with its band, formula and source.
 *
 * `value`, `low` and `high` are null together, and then `outside` says why no number is given.
 */
export interface RouteValue {
  readonly value: number | null;
  readonly low: number | null;
  readonly high: number | null;
  readonly unit: RouteUnit;
  readonly formula: FormulaId;
  readonly source: RouteSourceKey;
  readonly outside?: string;
  /** What to bear in mind beside the number. */
  readonly note?: string;
}

export const exactly = (value: number): Band => ({ value, low: value, high: value });

/** A number with its band and, where needed, a remark. */
export function computed(formula: FormulaId, band: Band, unit: RouteUnit = "1", note?: string): RouteValue {
  return { ...band, unit, formula, source: FORMULAS[formula].source, ...(note === undefined ? {} : { note }) };
}

/** No number, and the reason. */
export const notGiven = (formula: FormulaId, outside: string, unit: RouteUnit = "1"): RouteValue => ({
  value: null,
  low: null,
  high: null,
  unit,
  formula,
  source: FORMULAS[formula].source,
  outside,
});
