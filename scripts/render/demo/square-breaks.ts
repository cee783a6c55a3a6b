import { fatigueFace } from "../face/fatigue.ts";
import { twistedFace } from "../face/torsion.ts";
import { weldPlane } from "../face/weld.ts";
import { RAKING } from "../light-setups.ts";
import { demoContext } from "./context.ts";
import type { DemoBreak } from "./demo-break.ts";
import { fourShots } from "./shots.ts";

const twist = { seed: 1803, hand: 1, cu: 0.07, cv: -0.05 } as const;
const fatigue = {
  seed: 1907,
  starts: [1.95, 2.3, 2.62],
  reach: 1.5,
  arrests: [0.32, 0.47, 0.64, 0.82, 0.97, 1.13, 1.29, 1.42],
} as const;
const startAt = (1.95 + 2.3 + 2.62) / 3;

/** A crack front as an arc inside the rim, rim radii. */
function front(distance: number): [number, number][] {
  const places: [number, number][] = [];
  for (let i = -24; i <= 24; i++) {
    const across = (i / 24) * distance * 1.1;
    const inside = distance * distance - (across * across) / (1 + 0.55 * distance);
    if (inside <= 0) continue;
    const along = 1 - Math.sqrt(inside);
    const u = along * Math.cos(startAt) - across * Math.sin(startAt);
    const v = along * Math.sin(startAt) + across * Math.cos(startAt);
    if (Math.hypot(u, v) < 0.985) places.push([u, v]);
  }
  return places;
}

/** The last part to go: between the last front and the far rim. */
function lastZone(): [number, number][] {
  const line = front(fatigue.reach);
  const first = line[0]!;
  const last = line[line.length - 1]!;
  const from = Math.atan2(last[1], last[0]);
  let to = Math.atan2(first[1], first[0]);
  while (to < from) to += 2 * Math.PI;
  const rim = Array.from({ length: 20 }, (_, i): [number, number] => {
    const a = from + ((to - from) * (i + 1)) / 21;
    return [Math.cos(a), Math.sin(a)];
  });
  return [...line, ...rim];
}

/** Breaks that run square across the wire without a neck. */
export const SQUARE_BREAKS: readonly DemoBreak[] = [
  {
    look: {
      number: "D-007",
      seed: 17,
      metal: "copper",
      wireMm: 2.6,
      body: { neck: 1, neckLength: 0.5, band: { ratio: 1.045, halfLength: 1.25 } },
      face: weldPlane({ seed: 1703, joined: 0.1 }),
      skin: {
        seed: 27,
        lines: 0.9,
        dressedTo: 1.3,
        tint: [
          { to: 0.7, colour: [0.5, 0.46, 0.62] },
          { to: 1.5, colour: [0.74, 0.56, 0.6] },
          { to: 2.6, colour: [0.95, 0.74, 0.6] },
        ],
      },
      shots: fourShots("D-007", {}, { barMm: 2 }),
    },
    story: "A butt joint that never bonded: flat dull faces, heat colours and file marks on both ends.",
    expected: "weld_break",
    taken: "2026-03-23T07:33:51",
    grade: "ETP copper, rod joint",
    context: demoContext({
      process: "joint made at the pay-off two hours before",
      machine_order: ["rod breakdown"],
      ref_ra_pct: 62,
      weld_log_distance_m: 0.2,
      tests: { oxide_on_plane: true },
    }),
    marks: (end) => [
      ...end.outlines(),
      ...end.necks(),
      end.skinBox("side_0", "weld_band", 0, 1.25, 1.045, -1.045, { symmetrical: true, dress_marks: true }),
      end.skinBox("side_0", "heat_tint", 0, 2.4, 1.045, -1.045, { symmetrical: true, colour: "violet to brown" }),
      end.plane("side_0", 90, 1, { profile: "flat" }),
      ...end.absent("end_hole", "cone_apex", "particle", "nick", "longitudinal_line", "beach_marks"),
    ],
  },
  {
    look: {
      number: "D-008",
      seed: 18,
      metal: "steel",
      wireMm: 1.4,
      body: { neck: 0.995, neckLength: 0.5, ovality: 0.003 },
      face: twistedFace(twist),
      skin: { seed: 28, lines: 1.5, helixDeg: 17 },
      shots: fourShots("D-008", { light: RAKING, barMm: 0.5 }).map((s, i) => ({
        ...s,
        file: `IMG_${4107 + i}.jpg`,
        orientation: i === 2 ? (8 as const) : s.orientation,
      })),
    },
    story: "The pay-off swivel seized and the wire twisted off: square swirled faces, draw lines as a helix.",
    expected: "torsion",
    taken: "2026-03-25T13:18:22",
    grade: "0.70 % C pearlitic steel",
    context: demoContext({
      process: "rotating pay-off of the strander, swivel found seized",
      machine_order: ["dry line", "strander"],
      ref_ra_pct: 45,
    }),
    marks: (end) => [
      ...end.outlines(),
      ...end.necks(),
      end.twist(17, { hand: "right" }),
      end.zone("swirl", 0.96),
      end.plane("side_0", 90, 1, { profile: "flat" }),
      ...end.absent(
        "end_hole",
        "cone_apex",
        "particle",
        "nick",
        "longitudinal_line",
        "beach_marks",
        "weld_band",
        "heat_tint",
      ),
    ],
  },
  {
    look: {
      number: "D-009",
      seed: 19,
      metal: "steel",
      wireMm: 3,
      body: { neck: 0.985, neckLength: 0.6 },
      face: fatigueFace(fatigue),
      skin: { seed: 29, lines: 0.8 },
      shots: fourShots("D-009", { light: RAKING, barMm: 1 }),
    },
    story: "Flexed over a small sheave for weeks: arrest lines from three starts, a small rough final zone.",
    expected: "fatigue",
    taken: "2026-03-30T15:51:03",
    grade: "0.60 % C steel, rope wire",
    context: demoContext({
      process: "broke in the strander after running over a worn deflector sheave",
      machine_order: ["dry line", "strander"],
      ref_ra_pct: 48,
      first_trip: false,
    }),
    marks: (end) => [
      ...end.outlines(),
      ...end.necks(),
      end.spot("origin", 0.99 * Math.cos(startAt), 0.99 * Math.sin(startAt), { count: 3 }),
      ...fatigue.arrests.slice(1).map((s) => end.stroke("beach_marks", front(s))),
      ...[2.125, 2.46].map((a) =>
        end.stroke(
          "ratchet_marks",
          [
            [0.98 * Math.cos(a), 0.98 * Math.sin(a)],
            [0.8 * Math.cos(a), 0.8 * Math.sin(a)],
          ],
          { count: 2 },
        ),
      ),
      end.patch("final_zone", lastZone(), { opposite_origin: true }),
      end.plane("side_0", 90, 1, { profile: "flat" }),
      ...end.absent("end_hole", "cone_apex", "particle", "nick", "weld_band", "heat_tint", "twist_lines"),
    ],
  },
];
