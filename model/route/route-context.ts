import type { EvidenceContext } from "../evidence/observations.ts";
import { recordedReversals } from "./birth.ts";
import { areaReduction } from "./pass-geometry.ts";
import type { Route } from "./route.ts";
import { isAt, passesOf } from "./route-passes.ts";

/** What the evidence rules read of a route. null = the route does not tell it. */
export type RouteContext = Pick<EvidenceContext, "passes" | "transfers" | "reversals">;

/**
 * The route as the evidence rules read it, up to the pass in which the wire parted.
 *
 * A worn die counts with the middle of its wear band. Where more than one machine drew the wire, the machine is named
 * with the die. Extra rewinds are reversals, but no transfers between machines.
 */
export function contextOfRoute(route: Route): RouteContext {
  const all = passesOf(route);
  const last = all.findIndex((p) => isAt(route.brokeAt, p.at));
  const drawn = last < 0 ? all : all.slice(0, last + 1);
  const machine = drawn.at(-1)?.at.machine ?? 0;
  const kinds = route.transfers.slice(0, machine).map((t) => t.kind);
  return {
    passes:
      drawn.length === 0
        ? null
        : drawn.map((p) => ({
            die: machine === 0 ? p.die.name : `${p.die.name} of ${p.machineName}`,
            semiAngleDeg: p.input.semiAngleDeg.value,
            reductionPct: 100 * areaReduction(p.input.inMm, p.input.outMm),
          })),
    transfers: kinds.length > 0 && kinds.every((k) => k !== null) ? kinds : null,
    reversals: recordedReversals(route, machine),
  };
}
