import type { BreakContext, WireBreak } from "../../break/wire-break.ts";
import { EMPTY_CONTEXT } from "../../break/new-break.ts";
import { BREAK_TYPE_NAMES } from "../../evidence/type-names.ts";
import type { OldRecord } from "./csv.ts";

export interface FactsToAdd {
  /** Facts that are not known here yet; empty = the line brings nothing new. */
  readonly patch: Partial<BreakContext>;
  /** Facts known here with another value: they stay as they are. */
  readonly differing: readonly {
    readonly field: keyof BreakContext;
    readonly here: unknown;
    readonly there: unknown;
  }[];
}

/**
 * What a line of old records adds to a break that is here: only what is not known yet. What is known stays; notes are
 * added to.
 */
export function factsToAdd({ context }: WireBreak, old: OldRecord, source: string): FactsToAdd {
  const patch: { -readonly [K in keyof BreakContext]?: BreakContext[K] } = {};
  const differing: FactsToAdd["differing"][number][] = [];
  for (const [key, there] of Object.entries(old.context)) {
    const field = key as keyof BreakContext;
    if (field === "notes") continue;
    const here = context[field];
    if (here === null) Object.assign(patch, { [field]: there });
    else if (here !== there) differing.push({ field, here, there });
  }
  const called = old.type === null ? "" : old.type === "undetermined" ? "undecided" : BREAK_TYPE_NAMES[old.type];
  const lines = [old.context.notes ?? "", called === "" ? "" : `The old record calls it ${called}.`].filter(
    (line) => line !== "" && !(context.notes ?? "").includes(line),
  );
  if (lines.length > 0)
    patch.notes = [context.notes ?? "", ...lines, `From ${source}, line ${old.line}.`]
      .filter((l) => l !== "")
      .join("\n");
  return { patch, differing };
}

/** What a break knows beyond an empty one, as a patch. */
export const knownFacts = (context: BreakContext): Partial<BreakContext> =>
  Object.fromEntries(
    Object.entries(context).filter(
      ([key, value]) => JSON.stringify(value) !== JSON.stringify(EMPTY_CONTEXT[key as keyof BreakContext]),
    ),
  );
