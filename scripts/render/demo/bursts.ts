import { constantElongation } from "../../../model/route/constant-elongation.ts";
import type { Friction } from "../../../model/route/friction.ts";
import type { Die } from "../../../model/route/route.ts";
import { burstCone } from "../face/burst-cone.ts";
import { demoContext } from "./context.ts";
import type { DemoBreak } from "./demo-break.ts";
import { fourShots, shot } from "./shots.ts";

const withDraw = { seed: 1303, base: 0.86, flankDeg: 43, points: 1, grain: 0.055 } as const;
const againstDraw = { seed: 1409, base: 0.8, flankDeg: 36, points: -1, grain: 0.07 } as const;
const tips = [-1.85, -3.75] as const;

const friction: Friction = { kind: "mu", value: 0.05, low: 0.03, high: 0.07 };

/** Dies of an invented machine, numbered on from `first`. */
const dies = (exits: readonly (readonly [outMm: number, semiAngleDeg: number])[], first = 1): readonly Die[] =>
  exits.map(([outMm, semiAngleDeg], i) => ({
    name: String(first + i),
    inMm: null,
    outMm: Math.round(outMm * 1000) / 1000,
    semiAngleDeg,
    bearingMm: Math.round(outMm * 300) / 1000,
    lubricant: "emulsion",
    friction,
    tonnes: null,
    wear: null,
  }));
const even = (inMm: number, outMm: number, count: number, semiAngleDeg: number) =>
  constantElongation(inMm, outMm, count).map((mm): [number, number] => [mm, semiAngleDeg]);

/** Central bursts whose cones point with and against today's draw direction. */
export const BURSTS: readonly DemoBreak[] = [
  {
    look: {
      number: "D-003",
      seed: 13,
      metal: "copper",
      wireMm: 2,
      body: { neck: 0.965, neckLength: 0.7, ovality: 0.003 },
      face: burstCone(withDraw),
      skin: { seed: 23, lines: 1 },
      section: { seed: 33, chevrons: { tips, points: 1, reach: 0.62, armDeg: 45 } },
      shots: [
        ...fourShots("D-003", { barMm: 0.5 }),
        shot("D-003", "machine", "section_long", { fill: 0.44, barMm: 1 }),
      ],
    },
    story: "Light finishing pass through a wide die: the cone stayed in the machine and points with the draw.",
    expected: "central_burst",
    taken: "2026-03-09T10:12:48",
    grade: "ETP copper, hard",
    context: demoContext({
      process: "broke after the finishing die, sizing pass with 10 % reduction",
      machine_order: ["rod breakdown"],
      reversals: 0,
      ref_ra_pct: 62,
      passes: [
        { die: "11", semi_angle_deg: 8, reduction_pct: 18 },
        { die: "12", semi_angle_deg: 9, reduction_pct: 10 },
      ],
      oxygen_ppm: 240,
    }),
    route: {
      rodMm: 8,
      machines: [{ name: "rod breakdown", dies: dies([...even(8, 2.328, 10, 7), [2.108, 8], [2, 9]]) }],
      transfers: [],
      anneals: [],
      brokeAt: { machine: 0, die: 11 },
    },
    marks: (end) => [
      ...end.outlines(),
      ...end.necks(),
      ...(end.machine
        ? [
            ...end.cone(withDraw.base, withDraw.flankDeg, { flank_texture: "granular" }),
            ...end.chevrons(tips, 1, 0.58, 45, { tips: "all_toward_spool" }),
          ]
        : [end.zone("end_hole", withDraw.base, { shape: "conical", wall_texture: "granular", depth_d: 0.44 })]),
      ...end.absent("fibrous_zone", "particle", "weld_band", "nick", "longitudinal_line"),
    ],
  },
  {
    look: {
      number: "D-004",
      seed: 14,
      metal: "aluminium",
      wireMm: 3,
      body: { neck: 0.95, neckLength: 0.8, ovality: 0.004 },
      face: burstCone(againstDraw),
      skin: { seed: 24, lines: 0.85 },
      shots: fourShots("D-004", { orientation: 6 }, { barMm: 2 }),
    },
    story: "The cone ran through and points against the draw: the burst is older than this machine.",
    expected: "central_burst",
    taken: "2026-03-11T16:20:05",
    grade: "1350 aluminium, hard",
    context: demoContext({
      process: "second machine, paid off from the spool of the first",
      machine_order: ["rod machine", "second machine"],
      transfers: ["spool"],
      reversals: 1,
      which_end_leads: "last-laid end",
      ref_ra_pct: 66,
    }),
    route: {
      rodMm: 9.5,
      machines: [
        { name: "rod machine", dies: dies([...even(9.5, 3.92, 8, 7), [3.7, 9]]) },
        { name: "second machine", dies: dies(even(3.7, 3, 2, 6), 1) },
      ],
      transfers: [{ kind: "spool", rewinds: 0 }],
      anneals: [],
      brokeAt: { machine: 1, die: 1 },
    },
    marks: (end) => [
      ...end.outlines(),
      ...end.necks(),
      ...(end.machine
        ? [end.zone("end_hole", againstDraw.base, { shape: "conical", wall_texture: "granular", depth_d: 0.5 })]
        : end.cone(againstDraw.base, againstDraw.flankDeg, { flank_texture: "granular" })),
      ...end.absent("fibrous_zone", "particle", "weld_band", "nick", "longitudinal_line"),
    ],
  },
];
