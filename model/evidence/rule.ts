import type { BreakTypeId } from "./break-type-ids.ts";
import type { FeatureId } from "./features.ts";
import type { Seen, Sight } from "./sight.ts";
import type { FiredRule, RuleId, Strength } from "./suggestion.ts";
import type { Standing } from "./thresholds.ts";
import type { Metal } from "./wire-class.ts";

export type RuleGroup =
  | "two ends"
  | "cone direction and origin"
  | "ductile or central burst"
  | "voids and particles"
  | "skin starts"
  | "joint, twist, bend, cyclic"
  | "slant, split, grains, hydrogen, heat, corrosion"
  | "confirming tests";

export type Weighing = Exclude<Strength, "gate" | "note">;

/** What made a rule fire in one break. */
export interface Found {
  /** Plain sentence with the numbers of this break. */
  readonly says: string;
  readonly markIds: readonly string[];
  readonly ends: readonly number[];
  /** Where a row speaks about several types: those it speaks about here. */
  readonly only?: readonly BreakTypeId[];
  /** Steps of strength this firing is weaker than its row, because part of the condition was not looked at. */
  readonly weaker?: number;
}

/** A rule that fired, together with the strength of its row before any reduction. */
export interface Firing extends FiredRule {
  readonly base: Strength;
  /** True when its row may carry a type with the other end lost. */
  readonly sufficesAlone: boolean;
}

/** One row of the rule tables: what it needs, what it says, how far it is to be believed. */
export interface RuleRow {
  readonly id: RuleId;
  readonly group: RuleGroup;
  readonly bears: FiredRule["bears"];
  /** Types it speaks about; for gates, the types it holds back where `stops` names none. */
  readonly types: readonly BreakTypeId[];
  readonly strength: Strength;
  /** Further effects of the same observation. */
  readonly also?: readonly {
    readonly bears: "for" | "against";
    readonly type: BreakTypeId;
    readonly strength: Weighing;
  }[];
  /** Gates: what may not be concluded. Left out = it only takes marks or facts out of the count. */
  readonly stops?: "every type" | "origin" | "types";
  /** Metals it applies to; left out = all. */
  readonly metals?: readonly Metal[];
  /** True: cannot fire from one end. */
  readonly needsBothEnds?: boolean;
  /** True: with the other end lost, this row may carry a type by itself, at reduced weight (R14). */
  readonly oneEndSuffices?: boolean;
  /** True: it is read after the rows it rests on. */
  readonly restsOnOthers?: boolean;
  /** Features its condition looks at: what to look for when they are missing. */
  readonly reads: readonly FeatureId[];
  /** @returns what made it fire, or null. `fired` holds what fired before, for rows that rest on other rows. */
  readonly condition: (s: Sight, fired: readonly Firing[]) => Found | null;
  /** The row as a general sentence. */
  readonly says: string;
  readonly reason: string;
  /** Keys of the source table; empty = common practice or derived. */
  readonly sources: readonly string[];
  readonly standing: Standing;
}

/** Builds the evidence of a firing from a sentence and the marks it rests on. */
export function found(says: string, marks: readonly Seen[] = [], more: Pick<Found, "only" | "weaker"> = {}): Found {
  return {
    says,
    markIds: [...new Set(marks.flatMap((m) => m.f.markIds))],
    ends: [...new Set(marks.map((m) => m.end))].sort(),
    ...more,
  };
}

/** A number in words of the bench: at most two decimals. */
export const say = (x: number | null): string => (x === null ? "?" : String(Math.round(x * 100) / 100));
