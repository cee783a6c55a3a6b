import type { Verdict } from "../evidence/break-type-ids.ts";
import { BREAK_TYPE_NAMES } from "../evidence/type-names.ts";
import type { Split } from "./member.ts";

/** What one break was in one version of the set. */
export interface VersionMember {
  readonly breakId: string;
  readonly number: string;
  readonly type: Verdict;
  readonly split: Split;
  /** Identifier of the confirmation level; null = no ladder in use. */
  readonly level: string | null;
  /** Reason given with the confirmation that made the label. */
  readonly reason: string;
}

/** A version of the reference set. It is never changed once it is there. */
export interface SetVersion {
  readonly name: string;
  /** MAJOR.MINOR.PATCH. */
  readonly version: string;
  /** ISO 8601 day. */
  readonly date: string;
  readonly members: readonly VersionMember[];
}

export interface Relabelled {
  readonly number: string;
  readonly from: Verdict;
  readonly to: Verdict;
  readonly reason: string;
}

export interface SetDifference {
  readonly added: readonly VersionMember[];
  readonly left: readonly VersionMember[];
  readonly relabelled: readonly Relabelled[];
  /** Breaks on another level than before, same type. */
  readonly levels: readonly { readonly number: string; readonly from: string | null; readonly to: string | null }[];
  /** Breaks in another part than before; of an honest set there are none. */
  readonly moved: readonly { readonly number: string; readonly from: Split; readonly to: Split }[];
  /** One line, such as "6 added, 2 relabelled: B-0412 casting void → central burst (section cut)". */
  readonly says: string;
  /** What the version number must at least become by the kind of the changes. */
  readonly atLeast: string;
}

/**
 * What changed between two versions, in plain words.
 *
 * A label that changed, a break that left or moved makes a new MAJOR version, since figures before and after cannot be
 * compared; breaks added make a new MINOR one, levels a PATCH.
 */
export function differenceOf(before: SetVersion, after: SetVersion): SetDifference {
  const old = new Map(before.members.map((m) => [m.breakId, m]));
  const now = new Set(after.members.map((m) => m.breakId));
  const pairs = after.members.flatMap((to) => {
    const from = old.get(to.breakId);
    return from ? [{ from, to }] : [];
  });
  const added = after.members.filter((m) => !old.has(m.breakId));
  const left = before.members.filter((m) => !now.has(m.breakId));
  const relabelled = pairs
    .filter(({ from, to }) => from.type !== to.type)
    .map(({ from, to }) => ({ number: to.number, from: from.type, to: to.type, reason: to.reason }));
  const levels = pairs
    .filter(({ from, to }) => from.type === to.type && from.level !== to.level)
    .map(({ from, to }) => ({ number: to.number, from: from.level, to: to.level }));
  const moved = pairs
    .filter(({ from, to }) => from.split !== to.split)
    .map(({ from, to }) => ({ number: to.number, from: from.split, to: to.split }));
  return {
    added,
    left,
    relabelled,
    levels,
    moved,
    says: inWords(added, left, relabelled, levels, moved),
    atLeast: nextVersion(
      before.version,
      relabelled.length + left.length + moved.length > 0
        ? "major"
        : added.length > 0
          ? "minor"
          : levels.length > 0
            ? "patch"
            : "none",
    ),
  };
}

const nameOf = (type: Verdict): string => (type === "undetermined" ? "undecided" : BREAK_TYPE_NAMES[type]);

function inWords(
  added: SetDifference["added"],
  left: SetDifference["left"],
  relabelled: SetDifference["relabelled"],
  levels: SetDifference["levels"],
  moved: SetDifference["moved"],
): string {
  const parts: string[] = [];
  if (added.length > 0) parts.push(`${added.length} added`);
  if (left.length > 0) parts.push(`${left.length} left out: ${left.map((m) => m.number).join(", ")}`);
  if (relabelled.length > 0)
    parts.push(
      `${relabelled.length} relabelled: ${relabelled
        .map((r) => `${r.number} ${nameOf(r.from)} → ${nameOf(r.to)}${r.reason === "" ? "" : ` (${r.reason})`}`)
        .join("; ")}`,
    );
  if (levels.length > 0) parts.push(`${levels.length} on another level`);
  if (moved.length > 0)
    parts.push(
      `${moved.length} moved between parts: ${moved.map((m) => `${m.number} ${m.from} → ${m.to}`).join("; ")}`,
    );
  return parts.length === 0 ? "Nothing changed" : parts.join(", ");
}

/** Whether a text is a version such as 1.4.0. */
export const isVersion = (text: string): boolean => /^(0|[1-9]\d*)\.(0|[1-9]\d*)\.(0|[1-9]\d*)$/.test(text);

/** The next version by the size of the change. @throws RangeError when the version is none. */
export function nextVersion(version: string, change: "major" | "minor" | "patch" | "none"): string {
  if (!isVersion(version)) throw new RangeError(`"${version}" is no version; write three numbers such as 1.0.0.`);
  const [major, minor, patch] = version.split(".").map(Number) as [number, number, number];
  if (change === "major") return `${major + 1}.0.0`;
  if (change === "minor") return `${major}.${minor + 1}.0`;
  return change === "patch" ? `${major}.${minor}.${patch + 1}` : version;
}

/** Below 0 when `a` is the older one. @throws RangeError when one is no version. */
export function compareVersions(a: string, b: string): number {
  const wrong = [a, b].find((v) => !isVersion(v));
  if (wrong !== undefined) throw new RangeError(`"${wrong}" is no version; write three numbers such as 1.0.0.`);
  const [x, y] = [a, b].map((v) => v.split(".").map(Number)) as [number[], number[]];
  return x[0]! - y[0]! || x[1]! - y[1]! || x[2]! - y[2]!;
}
