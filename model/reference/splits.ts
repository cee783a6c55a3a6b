import { BREAK_TYPE_IDS } from "../evidence/break-type-ids.ts";
import type { SetBreak, Split } from "./member.ts";
import { SPLITS } from "./member.ts";
import { shareOfText } from "./share-of-text.ts";

/** What always stays on one side together. */
export type GroupBy = "break" | "cast" | "coil";

export interface SplitPlan {
  /** Any text; another one gives another split. It is published with the set. */
  readonly salt: string;
  /** Shares of the three parts, summing to 1. */
  readonly shares: Readonly<Record<Split, number>>;
  readonly groupBy: GroupBy;
  /**
   * "by-hash": each group's place follows from its name alone, so it is the same in every lab and at every time, and
   * the types are even only on the average. "balanced": groups new to the set go where their types are short.
   */
  readonly how: "by-hash" | "balanced";
  /** True: no group that is new enters the test part. */
  readonly testFrozen: boolean;
}

export const DEFAULT_PLAN: SplitPlan = {
  salt: "endpair",
  shares: { train: 0.7, val: 0.15, test: 0.15 },
  groupBy: "break",
  how: "balanced",
  testFrozen: false,
};

export interface SplitConflict {
  readonly breakId: string;
  readonly group: string;
  /** What is wrong and what to do, in words. */
  readonly says: string;
}

export interface Splits {
  readonly of: ReadonlyMap<string, Split>;
  /** Groups that an earlier version had already put on two sides. */
  readonly conflicts: readonly SplitConflict[];
}

/** Name of the group a break belongs to. A break without a cast or coil is a group of its own. */
export function groupOf(member: Pick<SetBreak, "id" | "cast" | "coil">, groupBy: GroupBy): string {
  const name = groupBy === "break" ? null : member[groupBy];
  return name === null ? `break:${member.id}` : `${groupBy}:${name.toLowerCase()}`;
}

/**
 * Puts every break into one part of the set, whole groups together.
 *
 * @param kept – parts given by the version before: a break in it never moves, and its group follows it.
 * @throws RangeError when the shares do not sum to 1 or are below 0.
 */
export function assignSplits(
  breaks: readonly SetBreak[],
  plan: SplitPlan = DEFAULT_PLAN,
  kept: ReadonlyMap<string, Split> = new Map(),
): Splits {
  const sum = SPLITS.reduce((s, split) => s + plan.shares[split], 0);
  if (Math.abs(sum - 1) > 1e-9 || SPLITS.some((split) => !(plan.shares[split] >= 0)))
    throw new RangeError(`The shares of the parts must be 0 or more and sum to 1; they sum to ${sum}.`);
  const groups = new Map<string, SetBreak[]>();
  for (const member of breaks) {
    const name = groupOf(member, plan.groupBy);
    const list = groups.get(name);
    if (list) list.push(member);
    else groups.set(name, [member]);
  }
  const of = new Map<string, Split>();
  const conflicts: SplitConflict[] = [];
  const counts = new Map<string, Record<Split, number>>(
    [...BREAK_TYPE_IDS, "undetermined"].map((type) => [type, { train: 0, val: 0, test: 0 }]),
  );
  const all: Record<Split, number> = { train: 0, val: 0, test: 0 };
  const put = (member: SetBreak, split: Split): void => {
    of.set(member.id, split);
    all[split]++;
    counts.get(member.type)![split]++;
  };
  const fresh: { name: string; members: readonly SetBreak[]; at: number }[] = [];
  for (const [name, members] of groups) {
    const before = members.flatMap((member) => kept.get(member.id) ?? []);
    // Where a group was torn apart before, what is new goes with the part that must stay unseen least.
    const home = SPLITS.find((split) => before.includes(split));
    if (home === undefined) {
      fresh.push({ name, members, at: shareOfText(`${plan.salt}\n${name}`) });
      continue;
    }
    for (const member of members) put(member, kept.get(member.id) ?? home);
    if (new Set(before).size > 1)
      for (const member of members)
        conflicts.push({
          breakId: member.id,
          group: name,
          says: `${member.number} belongs to ${name.replace(":", " ")}, which an earlier version put on both sides. It stays where it was; take one side out of the set.`,
        });
  }
  const open = SPLITS.filter((split) => !(split === "test" && plan.testFrozen) && plan.shares[split] > 0);
  if (open.length === 0 && fresh.length > 0)
    throw new RangeError("New breaks have nowhere to go: only the test part has a share, and it is frozen.");
  fresh.sort((a, b) => a.at - b.at || (a.name < b.name ? -1 : 1));
  for (const { members, at } of fresh) {
    const split =
      plan.how === "by-hash"
        ? placeByHash(at, plan.shares, open)
        : placeByNeed(members, plan.shares, open, counts, all);
    for (const member of members) put(member, split);
  }
  return { of, conflicts };
}

function placeByHash(at: number, shares: SplitPlan["shares"], open: readonly Split[]): Split {
  const whole = open.reduce((s, split) => s + shares[split], 0);
  let edge = 0;
  return open.find((split) => at < (edge += shares[split] / whole)) ?? open.at(-1)!;
}

/** How much the shares of the whole count beside the shares of the type, so that rare types do not all land in one part. */
const OF_THE_WHOLE = 0.5;

/** The part that the types of a group, and the whole set, are shortest of; measured with the group in. */
function placeByNeed(
  members: readonly SetBreak[],
  shares: SplitPlan["shares"],
  open: readonly Split[],
  counts: ReadonlyMap<string, Record<Split, number>>,
  all: Readonly<Record<Split, number>>,
): Split {
  const whole = open.reduce((s, split) => s + shares[split], 0);
  const short = (have: Readonly<Record<Split, number>>, split: Split, coming: number): number =>
    (shares[split] / whole) * (open.reduce((s, part) => s + have[part], 0) + coming) - have[split];
  const coming = new Map<string, number>();
  for (const { type } of members) coming.set(type, (coming.get(type) ?? 0) + 1);
  const need = (split: Split): number =>
    members.reduce(
      (sum, { type }) => sum + short(counts.get(type)!, split, coming.get(type)!),
      OF_THE_WHOLE * short(all, split, members.length),
    );
  const needs = open.map(need);
  return open[needs.reduce((best, n, i) => (n > needs[best]! + 1e-9 ? i : best), 0)]!;
}
