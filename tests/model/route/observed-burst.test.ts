import { describe, expect, test } from "vitest";
import { newBreak } from "../../../model/break/new-break.ts";
import { applyEdit } from "../../../model/break/edits.ts";
import { parseWireBreak } from "../../../model/break/record-schema.ts";
import type { Mark, WireBreak } from "../../../model/break/wire-break.ts";
import { observe } from "../../../model/measure/observe.ts";
import { burstEvidenceOf, showsBurst } from "../../../model/route/observed-burst.ts";
import { tryPass } from "../../../model/route/drag.ts";
import { passesOf } from "../../../model/route/route-passes.ts";
import { withSeries } from "../../../model/route/tried-route.ts";
import { die, route } from "./a-route.ts";

const AT = "2026-03-02T08:00:00Z";
const mark = (feature: Mark["feature"], given: Mark["given"] = {}): Mark => ({
  id: `m-${feature}`,
  feature,
  state: "present",
  photographId: null,
  geometry: null,
  given,
  note: "",
  by: "",
  at: AT,
});
function aBreak(marks: readonly Mark[], context: Partial<WireBreak["context"]> = {}): WireBreak {
  const fresh = newBreak("one", "B-1", AT);
  return {
    ...fresh,
    context: { ...fresh.context, nominalDiameterMm: 2, drawDirection: "recorded", ...context },
    ends: { ...fresh.ends, takeUp: { ...fresh.ends.takeUp, recovery: "recovered", marks } },
  };
}

describe("what was seen of a burst", () => {
  test("end of the cone, flank, chevrons and pitch in mm", () => {
    const seen = observe(
      aBreak(
        [
          mark("cone_apex"),
          mark("cone_flank", { included_angle_deg: 80 }),
          mark("chevron", { tips: "all_toward_machine", pitch_d: 3, count: 5 }),
        ],
        { refRaPct: 66, oxygenPpm: 240 },
      ),
    );
    expect(showsBurst(seen)).toBe(true);
    expect(burstEvidenceOf(seen)).toMatchObject({
      coneOn: "take-up",
      endsKnown: true,
      drawDirectionKnown: true,
      chevrons: "against",
      flankDeg: { value: 40 },
      pitchMm: { value: 6, spacings: 4 },
      ductility: "ductile",
      highOxygen: true,
      porosity: false,
    });
  });

  test("without roles, marks or reference pull nothing is taken for known", () => {
    const seen = observe({ ...aBreak([mark("cone_apex")]), rolesKnown: false });
    expect(burstEvidenceOf(seen)).toMatchObject({
      coneOn: null,
      endsKnown: false,
      ductility: "unknown",
      pitchMm: null,
    });
    expect(showsBurst(observe(aBreak([])))).toBe(false);
  });
});

describe("a route in a break", () => {
  const routed = applyEdit(aBreak([]), { kind: "set-route", route: route() }, AT);

  test("is set and taken back exactly, and is read back from its record", () => {
    expect(parseWireBreak(JSON.parse(JSON.stringify(routed.next)))).toEqual(routed.next);
    const back = applyEdit(routed.next, routed.inverse!, AT).next;
    expect({ ...back, revision: 0 }).toEqual({ ...aBreak([]), updatedAt: AT });
    expect("route" in back).toBe(false);
  });

  test("a wrong route is refused with the field", () => {
    const wrong = { ...routed.next, route: route({ rodMm: 1 }) };
    expect(() => parseWireBreak(wrong)).toThrow(/a die makes it thinner/);
  });

  test("fills passes, transfers and reversals for the evidence; what was typed wins", () => {
    const { context } = observe(routed.next);
    expect(context.passes).toHaveLength(9);
    expect(context.passes?.[0]).toMatchObject({ die: "1 of breakdown", semiAngleDeg: 6 });
    // Every die of this route takes 20 %, by definition of the route.
    for (const p of context.passes ?? []) expect(p.reductionPct).toBeCloseTo(20, 9);
    expect([context.transfers, context.reversals]).toEqual([["coil"], 1]);
    const typed = [{ die: "12", semiAngleDeg: 10, reductionPct: 8 }];
    const both = { ...routed.next, context: { ...routed.next.context, passes: typed, reversals: 0 } };
    expect(observe(both).context).toMatchObject({ passes: typed, reversals: 0, transfers: ["coil"] });
  });

  test("a transfer that is not known leaves transfers and reversals open", () => {
    const unknown = route({ transfers: [{ kind: null, rewinds: 0 }] });
    const { context } = observe(applyEdit(aBreak([]), { kind: "set-route", route: unknown }, AT).next);
    expect([context.transfers, context.reversals]).toEqual([null, null]);
  });
});

describe("a tried pass written into the route", () => {
  test("changes its die and the next, keeps wire in and out, and drops wear that belonged to the old die", () => {
    const start = route({
      machines: [
        {
          name: "a",
          dies: [die({ outMm: 7 }), die({ outMm: 6, wear: { entrySemiAngleDeg: 9 }, tonnes: 12 }), die({ outMm: 5 })],
        },
      ],
      transfers: [],
      brokeAt: null,
    });
    const before = passesOf(start).map((p) => p.input);
    const next = withSeries(start, 0, before, tryPass(before, 1, { semiAngleDeg: 5, reduction: 0.3 }));
    const [first, second, third] = next.machines[0]!.dies;
    expect(first).toEqual(start.machines[0]!.dies[0]);
    expect(second).toMatchObject({ semiAngleDeg: 5, wear: null, tonnes: null });
    expect(1 - (second!.outMm / 7) ** 2).toBeCloseTo(0.3, 12);
    expect(third).toMatchObject({ outMm: 5, inMm: null, semiAngleDeg: 6 });
  });
});
