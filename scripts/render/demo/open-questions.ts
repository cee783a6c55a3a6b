import { burstCone } from "../face/burst-cone.ts";
import { cupAndCone } from "../face/cup-and-cone.ts";
import { demoContext } from "./context.ts";
import type { DemoBreak } from "./demo-break.ts";
import { fourShots, shot } from "./shots.ts";

const hollow = { seed: 2203, base: 0.7, flankDeg: 40, points: 1, grain: 0.06 } as const;
const cone = { seed: 2309, base: 0.93, flankDeg: 41, points: -1, grain: 0.06 } as const;

/** Breaks that must stay undecided. */
export const OPEN_QUESTIONS: readonly DemoBreak[] = [
  {
    look: {
      number: "D-012",
      seed: 32,
      metal: "copper",
      wireMm: 1.8,
      body: { neck: 0.955, neckLength: 0.7 },
      face: burstCone(hollow),
      skin: { seed: 42, lines: 1 },
      shots: [
        shot("D-012", "takeUp", "end_on", { barMm: 0.5 }),
        shot("D-012", "takeUp", "side_0"),
        shot("D-012", "takeUp", "side_90"),
      ],
    },
    story: "The machine end was cut off and lost; a central hole in one end decides nothing.",
    expected: "undetermined",
    taken: "2026-04-09T12:14:55",
    grade: "ETP copper, hard",
    context: demoContext({
      process: "machine end trimmed by the operator and thrown away",
      machine_order: ["rod breakdown"],
      ref_ra_pct: 62,
      mate: undefined,
    }),
    lost: "machine",
    marks: (end) => [
      ...end.outlines(),
      ...end.necks(),
      end.zone("end_hole", hollow.base, { shape: "conical", wall_texture: "torn" }),
      ...end.absent("particle", "fibrous_zone", "weld_band", "nick"),
    ],
  },
  {
    look: {
      number: "D-013",
      seed: 33,
      metal: "copper",
      wireMm: 1.8,
      body: { neck: 0.6, neckLength: 1.1 },
      face: cupAndCone({ seed: 2303, floor: 0.6, lipDeg: 45, share: 0.8, star: 0, bowl: 0.06 }),
      takeUpFace: burstCone(cone),
      skin: { seed: 43, lines: 1 },
      shots: fourShots("D-013", { fill: 0.92 }, { barMm: 1 }),
    },
    story:
      "Full neck with a fibrous middle on one end, a granular cone to the axis on the other: they may not belong together.",
    expected: "undetermined",
    taken: "2026-04-14T17:03:26",
    grade: "ETP copper, half hard",
    context: demoContext({
      process: "two breaks in one shift; the pieces were picked up together",
      machine_order: ["intermediate"],
      ref_ra_pct: 76,
      mate: "unsure",
    }),
    marks: (end) => [
      ...end.outlines(),
      ...end.necks({ one_sided: false }),
      ...(end.machine
        ? [end.zone("fibrous_zone", 0.6), end.lip(0.6, 0, 1.9 * Math.PI), ...end.absent("end_hole", "cone_apex")]
        : [
            ...end.cone(cone.base, cone.flankDeg, { flank_texture: "granular" }),
            ...end.absent("fibrous_zone", "shear_lip"),
          ]),
      ...end.absent("particle", "weld_band", "nick", "longitudinal_line"),
    ],
  },
];
