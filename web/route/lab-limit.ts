import type { WireBreak } from "../../model/break/wire-break.ts";
import { observe } from "../../model/measure/observe.ts";
import { ASSUMED_LIMIT } from "../../model/route/assumed-limit.ts";
import { traceBirth } from "../../model/route/birth.ts";
import { fitLimit, type FittedLimit, type PassStress, type RouteRecord } from "../../model/route/limit-fit.ts";
import { burstEvidenceOf } from "../../model/route/observed-burst.ts";
import { computeRoute, isAt } from "../../model/route/route-passes.ts";
import type { Route } from "../../model/route/route.ts";
import type { BenchStore, BreakSummary } from "../storage/contract.ts";

/** Passes up to the break; all of them where its place is not known. */
function stressesOf(route: Route): readonly PassStress[] {
  const all = computeRoute(route, ASSUMED_LIMIT.mean);
  const last = all.findIndex((p) => isAt(route.brokeAt, p.at));
  return (last < 0 ? all : all.slice(0, last + 1)).map((p) => p.computed.estimate);
}

/**
 * What one confirmed break says of the limit of B; null when it says nothing.
 *
 * A confirmed burst speaks through its passes, weighed by where it was born as traced with the assumed limit, so that
 * the fit does not feed on itself. A route ran sound when a break was confirmed as something else and a longitudinal
 * section showed the core sound.
 */
export function limitRecordOf(record: WireBreak): RouteRecord | null {
  const last = record.confirmations.at(-1);
  const { route } = record;
  if (route === undefined || last?.kind !== "confirmed") return null;
  const passes = stressesOf(route);
  if (passes.length === 0) return null;
  if (last.type !== "central_burst")
    return record.context.tests["section_sound"] === true ? { kind: "sound", passes } : null;
  const birth = traceBirth(route, burstEvidenceOf(observe(record)));
  return birth.stated
    ? { kind: "burst", passes, birth: birth.passes.map((p) => p.probability) }
    : { kind: "burst", passes };
}

/**
 * The limit of B of this lab, fitted from its confirmed breaks with a route.
 *
 * The open break is left out, so that it is not judged by itself; so are breaks of the demo mill, which are invented.
 */
export async function labLimit(
  store: BenchStore,
  summaries: readonly BreakSummary[],
  except: string,
): Promise<FittedLimit> {
  const records: RouteRecord[] = [];
  for (const { id, confirmed, demo, binned } of summaries) {
    if (confirmed === null || demo || binned || id === except) continue;
    const stored = await store.load(id);
    const told = stored === null ? null : limitRecordOf(stored.record);
    if (told !== null) records.push(told);
  }
  return fitLimit(records);
}
