import { onSpread, type ScaledColumn } from "./nearest-likeness.ts";

export const TOP_LEVEL = 254;
const MISSING = 255;

/** Flags in one byte: yes, no and missing are three states, and 3^5 = 243. */
export const FLAGS_PER_BYTE = 5;

/** @returns 0–254 on the spread of a column, 255 when missing. */
export function levelOf({ kind, spread }: ScaledColumn, value: number): number {
  if (Number.isNaN(value)) return MISSING;
  return kind === "number" ? Math.round(TOP_LEVEL * onSpread(spread, value)) : value > 0 ? TOP_LEVEL : 0;
}

/** The level of one number, or the states of several flags as digits to the base of three. */
export const byteOf = (columns: readonly ScaledColumn[], ks: readonly number[], vector: ArrayLike<number>): number =>
  columns[ks[0]!]!.kind === "number"
    ? levelOf(columns[ks[0]!]!, vector[ks[0]!]!)
    : ks.reduceRight((byte, k) => 3 * byte + stateOf(vector[k]!), 0);

const stateOf = (value: number): number => (Number.isNaN(value) ? 2 : value > 0 ? 1 : 0);
/** Level that a flag has in each state. */
export const LEVEL_OF_STATE = [0, TOP_LEVEL, MISSING] as const;
