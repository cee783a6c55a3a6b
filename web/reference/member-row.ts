import type { WireBreak } from "../../model/break/wire-break.ts";
import { versionMember } from "../../model/reference/export/set-builder.ts";
import { type ConfirmationLevel, levelReached } from "../../model/reference/levels.ts";
import { setBreakOf, type SetBreak, type Split } from "../../model/reference/member.ts";
import type { VersionMember } from "../../model/reference/set-version.ts";

/** A confirmed break as the set screen knows it, without its photographs. */
export interface MemberRow {
  readonly member: SetBreak;
  /** Steps of the ladder that were reached, 0 = none. */
  readonly steps: number;
  readonly revision: number;
  /** What it would be in a version, but for its part. */
  readonly inVersion: Omit<VersionMember, "split">;
}

/** @param levels – the lab's ladder, lowest first. @returns null when the break is not confirmed or lies in the bin. */
export function memberRow(record: WireBreak, levels: readonly ConfirmationLevel[]): MemberRow | null {
  const member = setBreakOf(record);
  if (member === null) return null;
  const { level } = levelReached(record, levels);
  const { breakId, number, type, level: confirmedAs, reason } = versionMember(record, member, "train", levels);
  const inVersion = { breakId, number, type, level: confirmedAs, reason };
  return {
    member,
    revision: record.revision,
    steps: level === null ? 0 : 1 + levels.findIndex(({ id }) => id === level.id),
    inVersion,
  };
}

/**
 * Whether a break stands high enough on the ladder.
 *
 * @param level – lowest one let in; null = all. A level that is no longer on the ladder lets nothing in.
 */
export function isLetIn({ steps }: MemberRow, level: string | null, levels: readonly ConfirmationLevel[]): boolean {
  if (level === null) return true;
  const place = levels.findIndex(({ id }) => id === level);
  return place >= 0 && steps > place;
}

export const asMembers = (rows: readonly MemberRow[], of: ReadonlyMap<string, Split>): readonly VersionMember[] =>
  rows.map(({ member, inVersion }) => ({ ...inVersion, split: of.get(member.id)! }));
