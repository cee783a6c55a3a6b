import { cupAndCone } from "../face/cup-and-cone.ts";
import { demoContext } from "./context.ts";
import type { DemoBreak } from "./demo-break.ts";
import { fourShots, shot } from "./shots.ts";

const softCopper = cupAndCone({ seed: 1105, floor: 0.62, lipDeg: 44, share: 0.62, star: 0, bowl: 0.062 });
const hardSteel = cupAndCone({ seed: 1207, floor: 0.7, lipDeg: 42, share: 0.75, star: 1, bowl: 0.05 });

/** Ductile tensile overload, in a soft and in a hard wire. */
export const OVERLOADS: readonly DemoBreak[] = [
  {
    look: {
      number: "D-001",
      seed: 11,
      metal: "copper",
      wireMm: 1.6,
      body: { neck: 0.54, neckLength: 1.25, ovality: 0.004 },
      face: softCopper,
      skin: { seed: 21, lines: 0.9 },
      shots: [
        ...fourShots("D-001", { fill: 0.94, barMm: 0.5 }, { barMm: 1 }),
        shot("D-001", "machine", "side_90", { fill: 0.38 }),
      ],
    },
    story: "Capstan grabbed at start-up; the wire necked and parted as a cup and cone.",
    expected: "tensile_overload",
    taken: "2026-03-02T08:41:10",
    grade: "ETP copper, half hard",
    context: demoContext({
      process: "broke at start-up of the intermediate machine, grab logged on capstan 6",
      machine_order: ["rod breakdown", "intermediate"],
      ref_ra_pct: 76,
      slip_or_grab_logged: true,
    }),
    marks: (end) => [
      ...end.outlines(),
      ...end.necks({ one_sided: false }),
      end.zone("fibrous_zone", 0.62),
      end.lip(0.62, 0, 1.9 * Math.PI),
      ...end.absent("end_hole", "particle", "weld_band", "heat_tint", "nick", "longitudinal_line"),
    ],
  },
  {
    look: {
      number: "D-002",
      seed: 12,
      metal: "steel",
      wireMm: 2.2,
      body: { neck: 0.765, neckLength: 0.85, ovality: 0.003 },
      face: hardSteel,
      skin: { seed: 22, lines: 1.1 },
      shots: fourShots("D-002", { fill: 0.86 }, { barMm: 1 }),
    },
    story: "High-carbon wire pulled off when the dancer jammed; short neck, radial ridges, narrow lip.",
    expected: "tensile_overload",
    taken: "2026-03-04T14:05:32",
    grade: "0.80 % C pearlitic steel, drawn",
    context: demoContext({
      process: "dancer jammed at the spooler, wire pulled off between block 9 and the spooler",
      machine_order: ["dry line"],
      ref_ra_pct: 45,
    }),
    marks: (end) => [
      ...end.outlines(),
      ...end.necks({ one_sided: false }),
      end.zone("fibrous_zone", 0.6),
      end.lip(0.72, 0, 1.85 * Math.PI),
      ...[0.3, 1.9, 3.6, 5.1].map((a) =>
        end.stroke("radial_marks", [
          [0.3 * Math.cos(a), 0.3 * Math.sin(a)],
          [0.66 * Math.cos(a), 0.66 * Math.sin(a)],
        ]),
      ),
      ...end.absent("end_hole", "particle", "weld_band", "heat_tint", "nick", "longitudinal_line"),
    ],
  },
];
