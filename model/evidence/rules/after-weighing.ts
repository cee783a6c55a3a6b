import { BREAK_TYPE_NAMES } from "../type-names.ts";
import type { BreakTypeId } from "../break-type-ids.ts";
import { jointBand, particles, skinStart } from "../readings.ts";
import { found, type Firing, type Found, type RuleRow } from "../rule.ts";
import { seen, type Sight } from "../sight.ts";
import { YIELDS } from "../yields.ts";

const isStrong = (f: Firing) => f.bears === "for" && f.type !== null && (f.base === "decisive" || f.base === "strong");

/** Whether a firing is the shape or the by-product of a type that has been proved. */
export function hasYielded(firing: Firing, fired: readonly Firing[]): boolean {
  return YIELDS.some(
    (y) =>
      firing.type === y.yields &&
      y.rows.includes(firing.rule) &&
      fired.some(
        (f) => f.type === y.named && f.bears === "for" && y.provedBy.includes(f.rule) && f.strength === f.base,
      ),
  );
}

/** Types with strong or decisive evidence for them, before anything is subtracted, that do not fit together. */
export function contradictingTypes(fired: readonly Firing[]): readonly BreakTypeId[] {
  const types = new Set<BreakTypeId>();
  for (const f of fired) if (isStrong(f) && f.type !== null && !hasYielded(f, fired)) types.add(f.type);
  return types.size > 1 ? [...types] : [];
}

function contradiction(_s: Sight, fired: readonly Firing[]): Found | null {
  const types = contradictingTypes(fired);
  if (types.length === 0) return null;
  const strong = fired.filter((f) => isStrong(f) && f.type !== null && types.includes(f.type));
  const names = types.map((t) => BREAK_TYPE_NAMES[t]).join(" and ");
  return {
    says: `Strong evidence for ${names} at once: they do not fit together.`,
    markIds: [...new Set(strong.flatMap((f) => f.markIds))],
    ends: [...new Set(strong.flatMap((f) => f.ends))].sort(),
  };
}

function finalOverload(s: Sight): Found | null {
  const start = [...particles(s), ...skinStart(s), ...jointBand(s), ...seen(s, "beach_marks")];
  const last = [...seen(s, "shear_lip"), ...seen(s, "fibrous_zone"), ...seen(s, "final_zone")];
  if (start.length === 0 || last.length === 0) return null;
  return found("The break starts elsewhere; lip, fibres or final zone are the final overload.", [...start, ...last]);
}

/**
 * Rows that rest on what the other rows found; they are read last.
 *
 * Corrections to the table as first written:
 * - R76: the introduction to the rules lets a decisive row outrank a strong one for another type, while R76 itself says
 *   undetermined for "strong or decisive evidence for two incompatible types". R76 is followed, save for the pairs that
 *   fit together (`yields.ts`): a strong contradiction is never averaged away.
 * - R14: the list "fresh matching nick + helix" is read as two features. With the other end lost, every row read from
 *   the remaining end counts one step less, and only rows marked as sufficient may carry a type.
 */
export const AFTER_WEIGHING_RULES: readonly RuleRow[] = [
  {
    id: "R14",
    group: "two ends",
    bears: "note",
    types: [],
    restsOnOthers: true,
    strength: "note",
    reads: [],
    condition: (s, fired) => {
      const alone =
        s.oneEnded && s.ends.some((e) => e.status === "assessed") ? fired.filter((f) => f.sufficesAlone) : [];
      if (alone.length === 0) return null;
      return {
        says: "One end only: the weight of what it shows is reduced one step.",
        markIds: [...new Set(alone.flatMap((f) => f.markIds))],
        ends: [...new Set(alone.flatMap((f) => f.ends))].sort(),
      };
    },
    says: "With the other end lost, a feature that is decisive alone may carry a type, at reduced weight.",
    reason: "Such features need no partner.",
    sources: [],
    standing: "common-practice",
  },
  {
    id: "R76",
    group: "slant, split, grains, hydrogen, heat, corrosion",
    bears: "gate",
    types: [],
    restsOnOthers: true,
    strength: "gate",
    stops: "every type",
    reads: [],
    condition: contradiction,
    says: "Strong or decisive evidence for two types that do not fit together: undetermined.",
    reason: "Contradictions are not averaged; they are tested before anything is subtracted.",
    sources: [],
    standing: "common-practice",
  },
  {
    id: "R77",
    group: "slant, split, grains, hydrogen, heat, corrosion",
    bears: "note",
    types: [],
    strength: "note",
    reads: [],
    condition: finalOverload,
    says: "A lip or small neck on part of the rim with a clear start elsewhere: the start names the break.",
    reason: "Every wire finally parts in tension.",
    sources: [],
    standing: "common-practice",
  },
];
