import { castingVoid, voidRim } from "../face/casting-void.ts";
import { inclusion, particleRim } from "../face/inclusion.ts";
import { demoContext } from "./context.ts";
import type { DemoBreak } from "./demo-break.ts";
import { fourShots, shot } from "./shots.ts";

const cavity = { seed: 1503, hole: 0.56, cu: 0.05, cv: -0.04, depth: 3.2 } as const;
const lump = { seed: 1607, size: 0.37, cy: 0.1, cz: 0.06, height: 0.34 } as const;
const particleNeck = 0.9;

const ring = (radius: (theta: number) => number, cu: number, cv: number, k = 1): [number, number][] =>
  Array.from({ length: 48 }, (_, i) => {
    const a = (2 * Math.PI * i) / 48;
    return [cu + (radius(a) * Math.cos(a)) / k, cv + (radius(a) * Math.sin(a)) / k];
  });

/** Breaks that start in the core at something that was in the metal before it was drawn. */
export const CORES: readonly DemoBreak[] = [
  {
    look: {
      number: "D-005",
      seed: 15,
      metal: "aluminium",
      wireMm: 4,
      body: { neck: 0.93, neckLength: 0.9, ovality: 0.006 },
      face: castingVoid(cavity),
      skin: { seed: 25, lines: 0.9 },
      section: { seed: 35, cavity: { half: 0.5, middle: -0.04 } },
      shots: [
        ...fourShots("D-005", { barMm: 1 }, { orientation: 3 }),
        shot("D-005", "takeUp", "section_long", { fill: 0.44, barMm: 2 }),
      ],
    },
    story: "A gas cavity from the casting ran along the core: a hole looks out of both ends.",
    expected: "casting_void",
    taken: "2026-03-16T09:02:17",
    grade: "6201 aluminium alloy",
    context: demoContext({
      process: "third break of this cast at the breakdown machine",
      machine_order: ["rod breakdown"],
      ref_ra_pct: 55,
      repeats_in_cast: true,
    }),
    marks: (end) => [
      ...end.outlines(),
      ...end.necks(),
      end.patch(
        "end_hole",
        ring((a) => voidRim(cavity, a), cavity.cu, cavity.cv),
        {
          shape: "parallel",
          wall_texture: "dendritic",
          depth_d: 1.2,
          floor_seen: false,
        },
      ),
      ...end.absent("cone_apex", "cone_flank", "fibrous_zone", "particle", "weld_band", "nick"),
    ],
  },
  {
    look: {
      number: "D-006",
      seed: 16,
      metal: "copper",
      wireMm: 1.2,
      body: {
        neck: particleNeck,
        neckLength: 0.75,
        oneSided: 0.5,
        oneSidedAt: -1.2,
        bulge: { at: 1.5, height: 0.02, length: 0.5 },
      },
      face: inclusion(lump),
      skin: { seed: 26, lines: 1 },
      shots: fourShots("D-006", { barMm: 0.3 }),
    },
    story: "A dark, magnetic lump stands in the machine end; the other end shows its socket.",
    expected: "inclusion",
    taken: "2026-03-18T11:47:39",
    grade: "ETP copper, hard",
    context: demoContext({
      process: "broke at die 9 of the breakdown machine",
      machine_order: ["rod breakdown"],
      ref_ra_pct: 62,
    }),
    marks: (end) => [
      ...end.outlines(),
      ...end.necks({ one_sided: true }),
      end.machine
        ? end.patch(
            "particle",
            ring(
              (a) => particleRim(lump, a),
              (lump.cy - end.body.cy) / particleNeck,
              (lump.cz - end.body.cz) / particleNeck,
              particleNeck,
            ),
            { magnetic: true, colour: "dark grey", present_after_clean: true, imaged_before_clean: true },
          )
        : end.patch(
            "end_hole",
            ring(
              (a) => particleRim(lump, a),
              (lump.cy - end.body.cy) / particleNeck,
              (lump.cz - end.body.cz) / particleNeck,
              particleNeck,
            ),
            { shape: "irregular", wall_texture: "particle_imprint", depth_d: 0.17 },
          ),
      ...end.absent("weld_band", "nick", "longitudinal_line"),
    ],
  },
];
