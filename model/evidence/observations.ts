import type { FeatureId, ViewId } from "./features.ts";

/** Three different things: seen; looked for and absent; cannot be assessed (damaged, dirty, out of focus). Not listed = not looked for. */
export type MarkState = "present" | "absent" | "not_assessable";
export const MARK_STATES = ["present", "absent", "not_assessable"] as const;

export type MeasureValue = number | string | boolean;

/** What was seen of one feature on one end, free of pixels. */
export interface ObservedFeature {
  readonly feature: FeatureId;
  readonly state: MarkState;
  /** Keys of the feature table. Lengths in mm, D-ratios dimensionless, angles in degrees. */
  readonly measures: Readonly<Record<string, MeasureValue>>;
  /** Standard uncertainty (k = 1) of numeric measures, same unit; a key may be missing. */
  readonly uncertainty: Readonly<Record<string, number>>;
  /** The marks this came from, so that evidence can point at them. */
  readonly markIds: readonly string[];
}

export type EndRole = "machine" | "spool" | "unknown";

export interface ObservedEnd {
  readonly role: EndRole;
  /** False: looked for and not recovered, or no end was delivered. */
  readonly recovered: boolean;
  readonly views: readonly ViewId[];
  readonly features: readonly ObservedFeature[];
}

/** What laying one face over the other gave: a reading by machine, never a judgement. */
export type MateReading = "belong-together" | "do-not-fit" | "cannot-tell";

export type TransferKind = "spool" | "coil" | "coil_flipped" | "in_line";
export const TRANSFER_KINDS = ["spool", "coil", "coil_flipped", "in_line"] as const;

/** Results of tests already in hand. Unknown is left out and never counts as "no". */
export interface TestResults {
  readonly bake_recovers?: boolean;
  readonly spheroidised?: boolean;
  readonly oxide_on_plane?: boolean;
  readonly grain_change?: boolean;
  readonly white_layer?: boolean;
  readonly void_chains?: boolean;
  readonly core_hv?: number;
  readonly surface_hv?: number;
  readonly torsion_delaminates?: boolean;
  readonly sound_breaks_slant?: boolean;
  readonly delayed_fracture?: boolean;
  readonly strain_rate_sensitive?: boolean;
  readonly [key: string]: boolean | number | string | undefined;
}

/** Context facts the rules read. null or missing = unknown, which never counts as "no". */
export interface EvidenceContext {
  readonly metal: string | null;
  readonly grade: string | null;
  /** Temper in words (soft, half hard, hard …); left out = only what the grade says. */
  readonly temper?: string | null;
  readonly wireMm: number | null;
  /** Whether today's draw direction is known. */
  readonly drawDirectionKnown: boolean;
  readonly reversals: number | null;
  readonly whichEndLeads: string | null;
  readonly transfers: readonly TransferKind[] | null;
  readonly passes:
    readonly { readonly die: string; readonly semiAngleDeg: number; readonly reductionPct: number }[] | null;
  readonly weldLogDistanceM: number | null;
  /** True when the log was read and shows no joint in the coil. */
  readonly weldLogClear: boolean | null;
  readonly oxygenPpm: number | null;
  readonly hydrogenAnneal: boolean | null;
  readonly pickled: boolean | null;
  readonly delayedH: number | null;
  readonly firstTrip: boolean | null;
  readonly strengthMPa: number | null;
  readonly refRaPct: number | null;
  readonly slipOrGrabLogged: boolean | null;
  readonly repeatsInCast: boolean | null;
  readonly d0AgreePct: number | null;
  /** Judged by a person from photographs. */
  readonly mate: "yes" | "no" | "unsure" | null;
  /** Read by machine and kept by a person beside the judgement; missing = not compared. */
  readonly mateReading?: MateReading | null;
  readonly tests: TestResults;
  /** Free text; shown, and searched only where a rule says so. */
  readonly process: string | null;
}

/** Everything the evidence room may know of a break. */
export interface Observations {
  readonly id: string;
  /** One or two ends. An end that was not delivered is either left out or has recovered = false. */
  readonly ends: readonly ObservedEnd[];
  readonly context: EvidenceContext;
}
