import { caseIdOf } from "./export/set-names.ts";
import type { SetBreak, Split } from "./member.ts";
import {
  compareVersions,
  differenceOf,
  isVersion,
  nextVersion,
  type SetDifference,
  type SetVersion,
} from "./set-version.ts";
import { groupOf, type SplitPlan } from "./splits.ts";

/** A version as the bench keeps it: what it held, and how and by whom it was made. Never changed afterwards. */
export interface FrozenVersion extends SetVersion {
  readonly by: string;
  /** ISO 8601 moment. */
  readonly at: string;
  readonly note: string;
  /** `testFrozen`: its test part is kept from all learning, and no new group enters it later. */
  readonly plan: SplitPlan;
  /** Lowest confirmation level that was let in; null = every confirmed break. */
  readonly level: string | null;
  /** Groups that lie in the test part. */
  readonly testGroups: readonly string[];
  /** Revision of each member's record, in their order: edits of marks or photographs are told by it. */
  readonly revisions: readonly number[];
  /** Confirmed breaks that somebody took out of the set, with the reason. */
  readonly leftOut: readonly { readonly number: string; readonly reason: string }[];
}

/** Parts that the version before gave, by identifier of the break: nothing in it moves. */
export function keptParts(before: SetVersion | null, breaks: readonly SetBreak[]): ReadonlyMap<string, Split> {
  const byCase = new Map(before?.members.map((m) => [m.breakId, m.split]));
  return new Map(
    breaks.flatMap(({ id }): [string, Split][] => {
      const split = byCase.get(caseIdOf(id));
      return split === undefined ? [] : [[id, split]];
    }),
  );
}

/**
 * The plan that new breaks are put into parts by. A test part can be frozen only once there is one: the first version
 * fills it, whatever the plan says.
 */
export function planOfParts(plan: SplitPlan, before: SetVersion | null): SplitPlan {
  const filled = before?.members.some(({ split }) => split === "test") ?? false;
  return { ...plan, testFrozen: plan.testFrozen && filled };
}

/** What is known of a break when it is about to be learnt from. */
export type LearntBreak = Pick<SetBreak, "id" | "cast" | "coil">;

/**
 * Breaks that must not be learnt from: those of a frozen test part, and those of the same group that came later.
 *
 * @param latest – the latest version of the set; null = there is none.
 */
export function heldBack(latest: FrozenVersion | null, breaks: readonly LearntBreak[]): ReadonlySet<string> {
  if (latest === null || !latest.plan.testFrozen) return new Set();
  const cases = new Set(latest.members.filter(({ split }) => split === "test").map(({ breakId }) => breakId));
  const groups = new Set(latest.testGroups);
  const held = breaks.filter(
    (b) =>
      cases.has(caseIdOf(b.id)) ||
      groups.has(groupOf({ ...b, cast: said(b.cast), coil: said(b.coil) }, latest.plan.groupBy)),
  );
  return new Set(held.map(({ id }) => id));
}
const said = (text: string | null): string | null => (text === null || text.trim() === "" ? null : text.trim());

/** Groups of the test part, in order. */
export const testGroupsOf = (
  breaks: readonly SetBreak[],
  of: ReadonlyMap<string, Split>,
  { groupBy }: SplitPlan,
): readonly string[] =>
  [...new Set(breaks.filter(({ id }) => of.get(id) === "test").map((member) => groupOf(member, groupBy)))].sort();

/** The latest of some versions, by number; null when there is none. */
export const latestOf = <V extends SetVersion>(versions: readonly V[]): V | null =>
  versions.reduce<V | null>(
    (last, v) => (last === null || compareVersions(last.version, v.version) < 0 ? v : last),
    null,
  );

/** Why a version cannot be frozen under this number, as a sentence; null = it can. */
export function whyNotNumber(wanted: string, versions: readonly SetVersion[], atLeast: string): string | null {
  if (!isVersion(wanted)) return "A version number is three numbers such as 1.0.0.";
  if (versions.some(({ version }) => version === wanted))
    return `There is a version ${wanted} already; versions are never written over.`;
  const last = latestOf(versions);
  if (last !== null && compareVersions(wanted, last.version) < 0)
    return `It must come after ${last.version}, the latest version.`;
  return compareVersions(wanted, atLeast) < 0
    ? `By what changed it must be ${atLeast} or higher, so that nobody takes figures of the two for comparable.`
    : null;
}

/** The set as it is now, ready to be frozen. */
export type Draft = Pick<FrozenVersion, "name" | "members" | "revisions" | "plan" | "level">;

export interface SinceFrozen {
  /** null before the first version. */
  readonly difference: SetDifference | null;
  /** Numbers of breaks with the same label whose records were edited. */
  readonly edited: readonly string[];
  /** Whether the plan of the parts or the level let in is another. */
  readonly planChanged: boolean;
  /** Lowest number that the next version may have; that of the last one when nothing changed. */
  readonly proposed: string;
  readonly changed: boolean;
  /** One line in plain words. */
  readonly says: string;
}

const MOST_NAMED = 12;

/** What changed since a version was frozen, with what its tables cannot tell: edited marks, another plan. */
export function sinceFrozen(last: FrozenVersion | null, now: Draft): SinceFrozen {
  if (last === null)
    return {
      difference: null,
      edited: [],
      planChanged: false,
      proposed: "1.0.0",
      changed: true,
      says: "No version yet.",
    };
  const difference = differenceOf(last, { ...now, version: last.version, date: "" });
  const before = new Map(last.members.map((m, i) => [m.breakId, last.revisions[i]]));
  const edited = now.members.flatMap((m, i) =>
    before.has(m.breakId) && before.get(m.breakId) !== now.revisions[i] ? [m.number] : [],
  );
  const planChanged =
    last.level !== now.level || JSON.stringify(sorted(last.plan)) !== JSON.stringify(sorted(now.plan));
  const moved = difference.atLeast !== last.version;
  const named = edited.slice(0, MOST_NAMED).join(", ") + (edited.length > MOST_NAMED ? ", …" : "");
  const parts = [
    ...(moved ? [difference.says] : []),
    ...(edited.length > 0 ? [`${edited.length} edited: ${named}`] : []),
    ...(planChanged ? ["another plan of the parts"] : []),
  ];
  return {
    difference,
    edited,
    planChanged,
    proposed: moved || parts.length === 0 ? difference.atLeast : nextVersion(last.version, "patch"),
    changed: parts.length > 0,
    says: parts.length === 0 ? "Nothing changed" : parts.join("; "),
  };
}

const sorted = ({ shares, ...plan }: SplitPlan) =>
  Object.entries({ ...plan, ...shares }).sort(([a], [b]) => (a < b ? -1 : 1));
