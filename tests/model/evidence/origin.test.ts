import { expect, test } from "vitest";
import type { EvidenceContext, ObservedFeature } from "../../../model/evidence/observations.ts";
import { suggest } from "../../../model/evidence/suggest.ts";
import { absent, cone, COPPER, end, hole, neck, observed, present } from "./observed.ts";

const burst = (
  coneEnd: "machine" | "spool",
  context: Partial<EvidenceContext> = {},
  more: readonly ObservedFeature[] = [],
  flankDeg = 43,
) => {
  const [apex, flank] = cone(0.6, { flank_angle_deg: flankDeg });
  const solid = end(
    coneEnd,
    neck(0.1),
    ...(apex === undefined || flank === undefined ? [] : [apex, flank]),
    absent("fibrous_zone"),
    ...more,
  );
  const hollow = end(coneEnd === "machine" ? "spool" : "machine", neck(0.1), hole());
  return suggest(observed([solid, hollow], { ...COPPER, ...context })).origin;
};

test.each([
  [
    "cone on the machine end, nothing else known",
    burst("machine"),
    "even",
    "this machine, or an even number of reversals ago",
  ],
  ["cone on the take-up end, one reversal recorded", burst("spool", { reversals: 1 }), "odd", "(1 reversal recorded)"],
  ["cone on the take-up end, none recorded", burst("spool", { reversals: 0 }), "odd", "check which end led at pay-off"],
  [
    "reversals counted from transfers, in-line ones left out",
    burst("spool", { transfers: ["in_line", "spool", "coil_flipped"] }),
    "odd",
    "(1 reversal recorded)",
  ],
  [
    "chevrons both ways",
    burst("machine", {}, [present("chevron", { count: 3, tips: "both" })]),
    "both",
    "at least two machines",
  ],
  [
    "chevrons against the cone",
    burst("machine", {}, [present("chevron", { count: 3, tips: "all_toward_machine" })]),
    "both",
    "at least two machines",
  ],
  ["a young flank", burst("machine", {}, [], 45), "even", "the breaking pass or the one before (flank 45°)"],
  ["an old flank", burst("machine", {}, [], 16), "even", "several passes before the break (flank 16°)"],
  ["a flank between young and old", burst("machine", {}, [], 30), "even", "this machine"],
] as const)("%s", (_name, origin, reversals, words) => {
  expect(origin?.stated).toBe(true);
  expect(origin?.reversals).toBe(reversals);
  expect(origin?.says).toContain(words);
});

test("passes with a high Δ are named, the largest first", () => {
  const passes = [
    { die: "3", semiAngleDeg: 8, reductionPct: 10 },
    { die: "4", semiAngleDeg: 6, reductionPct: 20 },
    { die: "5", semiAngleDeg: 12, reductionPct: 10 },
  ];
  expect(burst("machine", { passes })?.says).toContain("Suspect: die 5: Δ 8 (12°, 10 %); die 3: Δ 5.3 (8°, 10 %).");
});

test("no place of origin without the draw direction, or when tip and label contradict each other", () => {
  expect(burst("machine", { drawDirectionKnown: false })).toMatchObject({
    stated: false,
    reversals: null,
    rules: ["R12"],
  });
  const [, flank] = cone();
  const wrong = end(
    "machine",
    neck(0.1),
    present("cone_apex", { apex_direction: "toward_machine" }),
    ...(flank === undefined ? [] : [flank]),
  );
  const s = suggest(observed([wrong, end("spool", neck(0.1), hole())], COPPER));
  expect(s.verdict).toBe("central_burst");
  expect(s.origin?.stated).toBe(false);
  expect(s.origin?.says).toContain("contradicts the label");
});

test("a break that is no burst has no origin statement", () => {
  expect(suggest(observed([end("machine", neck(0.9)), end("spool", neck(0.9))], COPPER)).origin).toBeNull();
});
