import type { WireBreak } from "../../model/break/wire-break.ts";
import { suggest } from "../../model/evidence/suggest.ts";
import { observe } from "../../model/measure/observe.ts";
import { traceBirth, type Birth } from "../../model/route/birth.ts";
import type { FittedLimit } from "../../model/route/limit-fit.ts";
import { burstEvidenceOf, showsBurst } from "../../model/route/observed-burst.ts";
import { labLimit } from "../route/lab-limit.ts";
import type { BenchStore, BreakSummary } from "../storage/contract.ts";

/** What the sheet says of the origin of a burst. @returns `birth` null where nothing on the ends speaks of a burst */
export async function sheetOrigin(
  store: BenchStore,
  summaries: readonly BreakSummary[],
  record: WireBreak,
): Promise<{ readonly limit: FittedLimit; readonly birth: Birth | null }> {
  const limit = await labLimit(store, summaries, record.id);
  const seen = observe(record);
  const last = record.confirmations.at(-1);
  const type = last?.kind === "confirmed" ? last.type : suggest(seen).verdict;
  const asked = record.route !== undefined && (showsBurst(seen) || type === "central_burst");
  const drawn = record.route?.machines.some((m) => m.dies.length > 0) === true;
  return {
    limit,
    birth: asked && drawn && record.route ? traceBirth(record.route, burstEvidenceOf(seen), limit) : null,
  };
}
