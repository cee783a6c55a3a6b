import type { BreakTypeId, Verdict } from "./break-type-ids.ts";
import type { FeatureId, ViewKind } from "./features.ts";

export type Strength = "decisive" | "strong" | "moderate" | "weak" | "gate" | "note";
export type RuleId = `R${number}`;

/** A rule that fired, with what made it fire. */
export interface FiredRule {
  readonly rule: RuleId;
  /** The type it speaks about; null for gates and notes about the whole break. */
  readonly type: BreakTypeId | null;
  readonly bears: "for" | "against" | "gate" | "note";
  readonly strength: Strength;
  /** Units added to (for) or taken from (against) the type; 0 for gates and notes. */
  readonly weight: number;
  /** Plain sentence for this break, with its numbers. */
  readonly says: string;
  /** Why the rule holds. */
  readonly reason: string;
  /** Keys into the source table; empty = common practice, no source. */
  readonly sources: readonly string[];
  /** Marks that caused it. */
  readonly markIds: readonly string[];
  /** Ends it was read from, indices into Observations.ends. */
  readonly ends: readonly number[];
}

/** A next action, ranked by how much it would settle. */
export interface ActionRequest {
  readonly id: string;
  readonly text: string;
  /** Expected share of the present doubt that the answer would remove, 0–1, computed. */
  readonly settles: number;
  /** Types it would tell apart. */
  readonly separates: readonly BreakTypeId[];
}

export interface OriginStatement {
  readonly says: string;
  /** False when the ends or the draw direction are unknown: then no origin is stated. */
  readonly stated: boolean;
  readonly reversals: "even" | "odd" | "both" | null;
  readonly rules: readonly RuleId[];
}

/** A feature nobody looked for on an end, that would speak for or against a leading type. */
export interface MissingEvidence {
  readonly feature: FeatureId;
  /** Index into Observations.ends. */
  readonly end: number;
  /** The view it is usually seen in. */
  readonly view: ViewKind;
  readonly wouldBear: readonly { readonly type: BreakTypeId; readonly bears: "for" | "against" }[];
}

export interface Suggestion {
  readonly verdict: Verdict;
  /** All types with any evidence, best first; support in units (a decisive row counts DECISIVE_UNITS). */
  readonly ranking: readonly { readonly type: BreakTypeId; readonly support: number }[];
  /** One plain sentence: why this verdict, or why none. */
  readonly says: string;
  readonly gates: readonly FiredRule[];
  readonly for: readonly FiredRule[];
  readonly against: readonly FiredRule[];
  readonly notes: readonly FiredRule[];
  readonly requests: readonly ActionRequest[];
  /** Neither present, absent nor not assessable so far; most telling first. */
  readonly missing: readonly MissingEvidence[];
  readonly origin: OriginStatement | null;
  readonly rulesVersion: string;
}
