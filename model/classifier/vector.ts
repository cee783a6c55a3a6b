import type { Observations } from "../evidence/observations.ts";
import { MARK_COLUMNS } from "./mark-columns.ts";
import { VIEW_COLUMNS, viewColumnValues, type ViewNumbers } from "./view-columns.ts";

/** Names of all numbers of a break, in the order of `vectorOf`. */
export const COLUMN_NAMES: readonly string[] = [...MARK_COLUMNS, ...VIEW_COLUMNS].map((c) => c.name);

const SAYS = new Map([...MARK_COLUMNS, ...VIEW_COLUMNS].map((c) => [c.name, c.says]));

/** A column in trade words. */
export const columnSays = (name: string): string => SAYS.get(name) ?? name;

/**
 * The numbers of a break. Swapping the ends changes nothing.
 *
 * @param views – numbers of the end-on and side views, as far as they are known; in any order.
 * @returns one value per `COLUMN_NAMES`; NaN is missing.
 */
export function vectorOf(observations: Observations, views: readonly ViewNumbers[]): Float32Array {
  return Float32Array.from([...MARK_COLUMNS.map((c) => c.of(observations)), ...viewColumnValues(views)]);
}
