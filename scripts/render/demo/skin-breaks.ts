import { slantFace } from "../face/slant.ts";
import { RAKING } from "../light-setups.ts";
import { demoContext } from "./context.ts";
import type { DemoBreak } from "./demo-break.ts";
import { fourShots, shot } from "./shots.ts";

const nickAt = 2.05;
const seamAt = 2.32;

/** Breaks that start at the skin, and one that slid on a single plane. */
export const SKIN_BREAKS: readonly DemoBreak[] = [
  {
    look: {
      number: "D-010",
      seed: 20,
      metal: "aluminium",
      wireMm: 2.5,
      body: {
        neck: 0.84,
        neckLength: 0.9,
        oneSided: 0.75,
        oneSidedAt: nickAt + Math.PI,
        nick: { at: nickAt, halfAngle: 0.85, depth: 0.26, halfLength: 0.34 },
      },
      face: slantFace({ seed: 2003, from: nickAt, planeDeg: 74, runs: 1, flaw: 0, silk: 0, flat: 0.3, bowl: 0.07 }),
      skin: { seed: 30, lines: 0.8 },
      shots: fourShots("D-010", { barMm: 1 }).map((s, i) => ({ ...s, file: `IMG_${4231 + i}.jpg` })),
    },
    story: "A spool flange cut a fresh nick; both ends carry half of it and the break starts there.",
    expected: "mechanical_damage",
    taken: "2026-04-01T08:26:44",
    grade: "1350 aluminium, hard",
    context: demoContext({
      process: "broke at pay-off; sharp flange edge found on the spool",
      machine_order: ["second machine", "strander"],
      ref_ra_pct: 66,
    }),
    marks: (end) => [
      ...end.outlines(),
      ...end.necks({ one_sided: true }),
      end.skinBox("side_0", "nick", 0, 0.34, 1, 0.7, {
        fresh: true,
        at_origin: true,
        both_ends_match: true,
        drawn_over: false,
      }),
      end.spot("origin", 0.97 * Math.cos(nickAt), 0.97 * Math.sin(nickAt), { count: 1 }),
      end.zone("fibrous_zone", 0.7),
      ...end.absent(
        "end_hole",
        "cone_apex",
        "particle",
        "longitudinal_line",
        "weld_band",
        "heat_tint",
        "bend_set",
        "beach_marks",
      ),
    ],
  },
  {
    look: {
      number: "D-011",
      seed: 31,
      metal: "steel",
      wireMm: 2.8,
      body: { neck: 0.9, neckLength: 0.8, oneSided: 0.4, oneSidedAt: seamAt + Math.PI },
      face: slantFace({
        seed: 2107,
        from: seamAt,
        planeDeg: 54,
        runs: 1,
        flaw: 0.3,
        silk: 0.45,
        flat: 0.05,
        bowl: 0.06,
      }),
      skin: { seed: 41, lines: 0.9, seams: [{ theta: seamAt, width: 0.036, dark: 0.92 }] },
      shots: [
        ...fourShots("D-011", { light: RAKING }, { barMm: 2 }),
        shot("D-011", "takeUp", "side_90", { orientation: 6 }),
      ],
    },
    story: "A rolled-in seam runs along the wire at one clock position on both ends; the break slants from it.",
    expected: "surface_defect",
    taken: "2026-04-07T10:58:30",
    grade: "0.45 % C steel",
    context: demoContext({
      process: "rod of one supplier, dark line seen on the coil",
      machine_order: ["dry line"],
      ref_ra_pct: 55,
    }),
    marks: (end) => [
      ...end.outlines(),
      ...end.necks({ one_sided: true }),
      end.skinLine("side_0", "longitudinal_line", 0.5, 0.73, 4, 0.73, {
        oxide: true,
        decarb: true,
        same_clock_both_ends: true,
        runs_past_break: true,
        length_d: 24,
      }),
      end.spot("origin", 0.98 * Math.cos(seamAt), 0.98 * Math.sin(seamAt), { count: 1 }),
      end.plane("side_0", 54, 1, { profile: "slant" }),
      ...end.absent(
        "end_hole",
        "cone_apex",
        "particle",
        "nick",
        "weld_band",
        "heat_tint",
        "twist_lines",
        "bright_patch",
        "surface_crack",
        "secondary_crack",
      ),
    ],
  },
  {
    look: {
      number: "D-014",
      seed: 34,
      metal: "aluminium",
      wireMm: 1,
      body: { neck: 0.965, neckLength: 0.6 },
      face: slantFace({ seed: 2403, from: 1.75, planeDeg: 46, runs: -1, flaw: 0, silk: 1, flat: 0, bowl: 0.05 }),
      skin: { seed: 44, lines: 0.9 },
      shots: fourShots("D-014", { light: RAKING, barMm: 0.3 }),
    },
    story: "Very hard alloy wire slid on one plane near 45°; sound wire of the lot pulls the same way.",
    expected: "shear_45",
    taken: "2026-04-20T09:39:12",
    grade: "5056 aluminium alloy, H38",
    context: demoContext({
      process: "wire pulled between two laps of the spool",
      machine_order: ["fine line"],
      ref_ra_pct: 30,
      tests: { sound_breaks_slant: true },
    }),
    marks: (end) => [
      ...end.outlines(),
      ...end.necks(),
      end.plane("side_0", 46, -1, { profile: "slant", area_fraction: 0.92 }),
      ...end.absent(
        "end_hole",
        "cone_apex",
        "particle",
        "nick",
        "longitudinal_line",
        "weld_band",
        "heat_tint",
        "twist_lines",
        "bend_set",
        "origin",
      ),
    ],
  },
];
