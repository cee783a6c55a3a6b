import type { SetBreak, Split } from "./member.ts";
import { type GroupBy, groupOf } from "./splits.ts";

export interface Leak {
  readonly kind: "no-part" | "same-group" | "same-photograph" | "near-duplicate";
  /** The breaks concerned, by identifier. */
  readonly breakIds: readonly string[];
  /** Group, hash of the photograph, or both hashes. */
  readonly what: string;
  readonly says: string;
}

/** Two photographs that look like one and the same, of different breaks. */
export interface LookAlike {
  readonly hashes: readonly [string, string];
}

/**
 * Everything by which a part of the set would know what lies in another. A set with leaks is not exported.
 *
 * @param of – part of each break.
 * @param lookAlikes – near-duplicates found among the photographs.
 */
export function findLeaks(
  breaks: readonly SetBreak[],
  of: ReadonlyMap<string, Split>,
  groupBy: GroupBy,
  lookAlikes: readonly LookAlike[] = [],
): readonly Leak[] {
  const leaks: Leak[] = [];
  const numbers = (list: readonly SetBreak[]) =>
    list.map((b) => `${b.number} (${of.get(b.id) ?? "no part"})`).join(", ");
  const across = (list: readonly SetBreak[]) => list.length > 1 && new Set(list.map((b) => of.get(b.id))).size > 1;
  const add = (kind: Leak["kind"], what: string, list: readonly SetBreak[], says: string): void => {
    leaks.push({ kind, what, breakIds: list.map((b) => b.id), says });
  };
  for (const member of breaks)
    if (!of.has(member.id)) add("no-part", member.id, [member], `${member.number} is in no part of the set.`);
  for (const [group, list] of gathered(breaks, (b) => [groupOf(b, groupBy)]))
    if (across(list))
      add("same-group", group, list, `One ${group.replace(":", " ")} lies in several parts: ${numbers(list)}.`);
  const byHash = gathered(breaks, (b) => b.hashes);
  for (const [hash, list] of byHash)
    if (across(list))
      add("same-photograph", hash, list, `One photograph belongs to breaks in several parts: ${numbers(list)}.`);
  for (const { hashes } of lookAlikes) {
    const list = [...new Set(hashes.flatMap((hash) => byHash.get(hash) ?? []))];
    if (hashes[0] !== hashes[1] && across(list))
      add(
        "near-duplicate",
        hashes.join(" "),
        list,
        `Two photographs look like one, in several parts: ${numbers(list)}.`,
      );
  }
  return leaks;
}

/** Photographs filed under more than one break, byte for byte the same. */
export function exactDuplicates(
  breaks: readonly SetBreak[],
): readonly { readonly hash: string; readonly breakIds: readonly string[] }[] {
  return [...gathered(breaks, (b) => b.hashes)]
    .filter(([, list]) => list.length > 1)
    .map(([hash, list]) => ({ hash, breakIds: list.map((b) => b.id) }));
}

function gathered(
  breaks: readonly SetBreak[],
  keys: (member: SetBreak) => readonly string[],
): ReadonlyMap<string, readonly SetBreak[]> {
  const found = new Map<string, SetBreak[]>();
  for (const member of breaks)
    for (const key of keys(member)) {
      const list = found.get(key);
      if (list) list.push(member);
      else found.set(key, [member]);
    }
  return found;
}
