/** Numbers of a bench that has none yet start here. */
const FIRST_NUMBER = "B-0001";

/**
 * The next free number after the lab's own pattern: the last run of digits of the latest number counts on,
 * with its leading zeros.
 *
 * @param latest – number of the break recorded last; null on an empty bench.
 * @param inUse – all numbers in use.
 */
export function nextNumber(latest: string | null, inUse: Iterable<string>): string {
  const taken = new Set(inUse);
  let next = latest === null ? FIRST_NUMBER : countOn(latest);
  while (taken.has(next)) next = countOn(next);
  return next;
}

function countOn(number: string): string {
  const match = /^(.*?)(\d+)(\D*)$/s.exec(number);
  if (!match) return `${number}-2`;
  const [, before = "", digits = "0", after = ""] = match;
  return before + (BigInt(digits) + 1n).toString().padStart(digits.length, "0") + after;
}
