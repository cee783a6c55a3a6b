import type { WireBreak } from "../../model/break/wire-break.ts";
import type { Verdict } from "../../model/evidence/break-type-ids.ts";

/** The type a person confirmed and nobody took back since; null when the break is open. */
export function confirmedType({ confirmations }: Pick<WireBreak, "confirmations">): Verdict | null {
  const last = confirmations.at(-1);
  return last?.kind === "confirmed" ? last.type : null;
}
