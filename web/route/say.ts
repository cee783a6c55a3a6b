import { ROUTE_SOURCES, type RouteSourceKey } from "../../model/route/route-sources.ts";
import type { RouteValue } from "../../model/route/value.ts";
import type { Transfer } from "../../model/route/route.ts";

/** A number with this many decimals and a true minus. */
export const decimals = (x: number, places: number): string => {
  const text = x.toFixed(places);
  return Number(text) === 0 ? text.replace("-", "") : text.replace("-", "−");
};

/** A computed value without its band; "–" where no number is given. @param factor - 100 for percent */
export const middle = (v: RouteValue, places: number, factor = 1): string =>
  v.value === null ? "–" : decimals(v.value * factor, places);

/** Its band, where it has one. */
export const band = (v: RouteValue, places: number, factor = 1): string | null =>
  v.low === null || v.high === null || decimals(v.low, 6) === decimals(v.high, 6)
    ? null
    : `${decimals(v.low * factor, places)} to ${decimals(v.high * factor, places)}`;

export const percent = (part: number): string => `${Math.round(part * 100)} %`;

/** A source in one line with how far it was read. */
export function sourceLine(key: RouteSourceKey): string {
  const source: { title: string; authors?: string; year?: number; identifier?: string; standing: string } =
    ROUTE_SOURCES[key];
  const { title, authors, year, identifier, standing } = source;
  const parts = [authors, title, identifier, year === undefined ? undefined : String(year)];
  return `${parts.filter((t) => t !== undefined).join(", ")} (${standing})`;
}

export const TRANSFER_WORDS = {
  spool: "spool, paid off last lap first: turns the wire",
  coil: "coil, paid off last lap first: turns the wire",
  coil_flipped: "coil flipped over: does not turn it",
  in_line: "in line: does not turn it",
} as const satisfies Readonly<Record<NonNullable<Transfer["kind"]>, string>>;
