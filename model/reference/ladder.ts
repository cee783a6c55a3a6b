import "../break/jitless.ts";
import * as z from "zod";
import { CONFIRMATION_MEANS, type WireBreak } from "../break/wire-break.ts";
import { VIEW_IDS } from "../evidence/features.ts";
import { DEFAULT_LEVELS, levelReached, type ConfirmationLevel, type LevelReached } from "./levels.ts";

/** What a lab means by confirmed. */
export interface Ladder {
  /** Lowest first. */
  readonly levels: readonly ConfirmationLevel[];
  /** Identifier of the level a break must reach to be confirmed at all; null = any confirmation counts. */
  readonly least: string | null;
}

export const DEFAULT_LADDER: Ladder = { levels: DEFAULT_LEVELS, least: null };

/** Most levels a ladder may have: more than a lab can tell apart. */
export const MOST_LEVELS = 12;

const level: z.ZodType<ConfirmationLevel> = z.strictObject({
  id: z.string().min(1).max(200),
  name: z
    .string()
    .max(80)
    .refine((name) => name.trim() !== "", { error: "Give every level a name." }),
  means: z
    .array(z.array(z.enum(CONFIRMATION_MEANS)).min(1, { error: "Choose at least one means in each group." }))
    .max(CONFIRMATION_MEANS.length),
  bothEndsSeen: z.boolean(),
  views: z.array(z.enum(VIEW_IDS)).max(VIEW_IDS.length),
  secondReader: z.boolean(),
});

const ladder: z.ZodType<Ladder> = z
  .strictObject({
    levels: z.array(level).max(MOST_LEVELS, { error: `A ladder has at most ${MOST_LEVELS} levels.` }),
    least: z.string().nullable(),
  })
  .superRefine(({ levels, least }, context) => {
    const refuse = (message: string) => context.addIssue({ code: "custom", message });
    const names = levels.map(({ name }) => name.trim().toLowerCase());
    if (new Set(names).size < names.length) refuse("Two levels have the same name.");
    if (new Set(levels.map(({ id }) => id)).size < levels.length) refuse("Two levels have the same identifier.");
    if (least !== null && !levels.some(({ id }) => id === least)) refuse("The least level is none of the levels.");
  });

/** What is wrong with a ladder, each a sentence; empty = it can be used. */
export function faultsOfLadder(value: unknown): readonly string[] {
  const read = ladder.safeParse(value);
  return read.success ? [] : [...new Set(read.error.issues.map(({ message }) => message))];
}

/** A stored ladder; the one a new bench begins with when there is none, or none that can be used. */
export function ladderFrom(stored: unknown): Ladder {
  const read = ladder.safeParse(stored);
  return read.success ? read.data : DEFAULT_LADDER;
}

export interface Standing extends LevelReached {
  /** What keeps the break from being confirmed at all, each a sentence; empty = nothing does. */
  readonly short: readonly string[];
}

/** Where a break stands on a lab's ladder. */
export function standingOf(wireBreak: WireBreak, { levels, least }: Ladder): Standing {
  const reached = levelReached(wireBreak, levels);
  const upTo = levels.findIndex(({ id }) => id === least) + 1;
  return { ...reached, short: [...new Set(reached.checks.slice(0, upTo).flatMap(({ missing }) => missing))] };
}

/** Name of a level a confirmation carries; its identifier when the lab took the level off its ladder since. */
export const nameOfLevel = ({ levels }: Ladder, id: string): string =>
  levels.find((one) => one.id === id)?.name ?? `${id} (no longer on the ladder)`;
