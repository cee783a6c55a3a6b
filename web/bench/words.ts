import type { Verdict } from "../../model/evidence/break-type-ids.ts";
import { BREAK_TYPE_NAMES } from "../../model/evidence/type-names.ts";
import type { EndSide } from "../../model/break/wire-break.ts";
import type { MarkState } from "../../model/evidence/observations.ts";

/** Names as they stand on the screens and the sheet; "undetermined" is shown as "undecided". */
export const TYPE_NAMES: Readonly<Record<Verdict, string>> = { ...BREAK_TYPE_NAMES, undetermined: "undecided" };

export const typeName = (id: string): string => (id in TYPE_NAMES ? TYPE_NAMES[id as Verdict] : id);

export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

export const SIDE_NAME: Readonly<Record<EndSide, string>> = { machine: "machine end", takeUp: "take-up end" };

export const STATE_NAME: Readonly<Record<MarkState, string>> = {
  present: "seen",
  absent: "looked for, absent",
  not_assessable: "cannot be assessed",
};

/** The wire in a few words; a grade that names its metal stands alone: "ETP copper, hard". */
export function wireWords(metal: string | null, grade: string | null, temper: string | null = null): string {
  const named = metal !== null && grade?.toLowerCase().includes(metal.toLowerCase()) === true;
  return [named ? null : metal, grade, temper].filter(Boolean).join(" ");
}
