import type { Confirmation, ConfirmationMeans, EndSide, WireBreak } from "../break/wire-break.ts";
import { END_SIDES } from "../break/wire-break.ts";
import type { Verdict } from "../evidence/break-type-ids.ts";
import { VIEW_NAME, type ViewId } from "../evidence/features.ts";
import { MEANS_NAMES } from "./means-names.ts";

/** A step of the lab's ladder: what must stand behind a label before it may carry this name. */
export interface ConfirmationLevel {
  /** Stays the same when the level is renamed. */
  readonly id: string;
  readonly name: string;
  /** Of each list at least one means must have been used. */
  readonly means: readonly (readonly ConfirmationMeans[])[];
  /** Both ends recovered and looked at. */
  readonly bothEndsSeen: boolean;
  /** At least one of these views must be there, from either end; empty = none asked for. */
  readonly views: readonly ViewId[];
  /** Somebody else must have come to the same type. */
  readonly secondReader: boolean;
}

const SECTIONS: readonly ConfirmationMeans[] = ["longitudinal-section", "transverse-section"];
const INSTRUMENTS_AND_TESTS: readonly ConfirmationMeans[] = [
  "sem",
  "eds",
  "hardness",
  "tensile-test",
  "torsion-test",
  "bake-test",
  "b577-test",
];

/**
 * The ladder a new bench begins with, lowest first.
 *
 * @source common practice, no source.
 */
export const DEFAULT_LEVELS: readonly ConfirmationLevel[] = [
  {
    id: "both-ends",
    name: "both ends seen",
    means: [["both-ends-microscope", "sem"]],
    bothEndsSeen: true,
    views: [],
    secondReader: false,
  },
  {
    id: "section",
    name: "plus section",
    means: [["both-ends-microscope", "sem"], SECTIONS],
    bothEndsSeen: true,
    views: [],
    secondReader: false,
  },
  {
    id: "instrument",
    name: "plus SEM/EDS or test",
    means: [["both-ends-microscope", "sem"], SECTIONS, INSTRUMENTS_AND_TESTS],
    bothEndsSeen: true,
    views: [],
    secondReader: false,
  },
];

type Confirmed = Extract<Confirmation, { readonly kind: "confirmed" }>;

/** The type a break stands confirmed as; null when it never was or was reopened since. */
export function confirmedType({ confirmations }: Pick<WireBreak, "confirmations">): Verdict | null {
  const last = confirmations.at(-1);
  return last?.kind === "confirmed" ? last.type : null;
}

/** Confirmations that stand behind the present label: those of the same type since the break was last reopened. */
export function standingConfirmations({ confirmations }: Pick<WireBreak, "confirmations">): readonly Confirmed[] {
  const last = confirmations.at(-1);
  if (last?.kind !== "confirmed") return [];
  const from = confirmations.findLastIndex((line) => line.kind === "reopened" || line.type !== last.type) + 1;
  return confirmations.slice(from).filter((line) => line.kind === "confirmed");
}

/** A reading by somebody else, kept outside the confirmation history. */
export interface OtherReading {
  readonly by: string;
  readonly type: Verdict;
}

export interface LevelCheck {
  readonly level: ConfirmationLevel;
  /** What is missing, each a sentence; empty = reached, if all lower levels are. */
  readonly missing: readonly string[];
}

export interface LevelReached {
  /** Highest level reached; null = none. */
  readonly level: ConfirmationLevel | null;
  /** What the next level wants; empty at the top. */
  readonly missing: readonly string[];
  readonly next: ConfirmationLevel | null;
  /** Every level, lowest first. */
  readonly checks: readonly LevelCheck[];
}

/**
 * How far up the ladder a break is. A level is reached when it and all below it are.
 *
 * @param levels – lowest first.
 * @param others – readings of the same break by second readers; those on the record unless given.
 */
export function levelReached(
  wireBreak: WireBreak,
  levels: readonly ConfirmationLevel[] = DEFAULT_LEVELS,
  others: readonly OtherReading[] = wireBreak.readings ?? [],
): LevelReached {
  const standing = standingConfirmations(wireBreak);
  const checks = levels.map((level) => ({ level, missing: missingFor(wireBreak, level, standing, others) }));
  const failed = checks.findIndex((check) => check.missing.length > 0);
  const reached = failed < 0 ? checks.length : failed;
  return {
    level: levels[reached - 1] ?? null,
    missing: checks[reached]?.missing ?? [],
    next: levels[reached] ?? null,
    checks,
  };
}

function missingFor(
  wireBreak: WireBreak,
  level: ConfirmationLevel,
  standing: readonly Confirmed[],
  others: readonly OtherReading[],
): readonly string[] {
  const last = standing.at(-1);
  if (last === undefined) return ["The break is not confirmed."];
  const used = new Set(standing.flatMap((line) => line.means));
  const missing: string[] = [];
  if (level.bothEndsSeen)
    for (const side of END_SIDES) {
      const said = unseen(wireBreak, side);
      if (said !== null) missing.push(said);
    }
  for (const choice of level.means)
    if (!choice.some((means) => used.has(means)))
      missing.push(`Confirm it by ${choice.map((means) => MEANS_NAMES[means]).join(" or ")}.`);
  if (level.views.length > 0) {
    const there = new Set(
      END_SIDES.flatMap((side) => {
        const { photographs, statedViews } = wireBreak.ends[side];
        return [...photographs.map((p) => p.view), ...(statedViews ?? [])];
      }),
    );
    if (!level.views.some((view) => there.has(view)))
      missing.push(`Add a photograph: ${level.views.map((view) => VIEW_NAME[view]).join(" or ")}.`);
  }
  if (level.secondReader) {
    const first = standing[0]!.by;
    const agrees = [...standing, ...others].some((reading) => reading.by !== first && reading.type === last.type);
    if (!agrees) missing.push(`Let a second reader come to the same type; so far only ${first || "one reader"} has.`);
  }
  return missing;
}

const END_NAME: Readonly<Record<EndSide, string>> = { machine: "machine end", takeUp: "take-up end" };

/** null when the end was recovered and looked at. */
function unseen({ ends }: WireBreak, side: EndSide): string | null {
  const { recovery, photographs, statedViews } = ends[side];
  if (recovery === "not-recovered") return `The ${END_NAME[side]} was not recovered, so both ends cannot be seen.`;
  if (photographs.length + (statedViews?.length ?? 0) === 0)
    return `The ${END_NAME[side]} has no photograph: photograph it.`;
  return null;
}
