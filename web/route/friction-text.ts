import type { Friction } from "../../model/route/friction.ts";
import { bandedFriction } from "../../model/route/pasted-dies.ts";

const plain = (x: number): string => String(Number(x.toPrecision(6)));

/** Friction as it stands in a field: "µ 0.05 (0.03–0.08)", in a form that `readFriction` reads back. */
export const frictionText = ({ kind, value, low, high }: Friction): string =>
  `${kind === "mu" ? "µ" : "m"} ${plain(value)} (${plain(low)}–${plain(high)})`;

const NUMBER = String.raw`(\d+(?:[.,]\d*)?|[.,]\d+)`;
const FRICTION = new RegExp(
  String.raw`^(mu|µ|μ|m)?\s*=?\s*${NUMBER}(?:\s*\(?\s*${NUMBER}\s*(?:-|–|to|\.\.)\s*${NUMBER}\s*\)?)?$`,
  "i",
);

/**
 * Reads a friction: "m 0.08", "µ 0,05", "mu 0.05 (0.03–0.08)". One number alone gets the usual band.
 *
 * @param before - kind that a bare number has
 * @returns the friction, or a sentence that says what to type
 */
export function readFriction(typed: string, before: Friction["kind"]): Friction | string {
  const match = FRICTION.exec(typed.trim());
  if (match === null)
    return "Type µ or m and a number, such as µ 0.05, with a band where it is known: µ 0.05 (0.03–0.08).";
  const [, word, value = "", low, high] = match;
  const kind = word === undefined ? before : word.toLowerCase() === "m" ? "m" : "mu";
  const number = (text: string) => Number(text.replace(",", "."));
  if (low === undefined || high === undefined) return bandedFriction(kind, number(value));
  return { kind, value: number(value), low: number(low), high: number(high) };
}
