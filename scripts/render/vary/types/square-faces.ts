import { cupAndCone, floorEdge } from "../../face/cup-and-cone.ts";
import type { FatigueFace } from "../../face/fatigue.ts";
import { fatigueFace, startDirection } from "../../face/fatigue.ts";
import { slantFace } from "../../face/slant.ts";
import { twistedFace } from "../../face/torsion.ts";
import { weldPlane } from "../../face/weld.ts";
import type { Rgb } from "../../metal.ts";
import type { SkinSpec } from "../../skin.ts";
import type { Draw } from "../draw.ts";
import type { Alloy, FaceEdge, Part } from "../part.ts";
import { ALLOYS, lookedFor, maybe, neckOf, ringAt, round } from "../part.ts";

const TINTS: readonly (readonly [Rgb, Rgb, Rgb])[] = [
  [
    [0.5, 0.46, 0.62],
    [0.74, 0.56, 0.6],
    [0.95, 0.74, 0.6],
  ],
  [
    [0.45, 0.55, 0.85],
    [0.6, 0.5, 0.7],
    [0.92, 0.8, 0.55],
  ],
  [
    [0.62, 0.6, 0.58],
    [0.8, 0.72, 0.6],
    [0.96, 0.88, 0.76],
  ],
];

function heatTint(d: Draw, to: number): NonNullable<SkinSpec["tint"]> {
  const colours = d.pick(TINTS);
  return colours.map((colour, i) => ({ to: to * [0.28, 0.6, 1][i]!, colour }));
}

/** A joint that never bonded, or a soft zone beside one that necked. */
export function weldBreak(d: Draw, seed: number): Part {
  const alloy: Alloy = d.pick([
    ALLOYS.copperHard,
    ALLOYS.copperHard,
    ALLOYS.aluminium,
    ALLOYS.highCarbon,
    ALLOYS.lowCarbon,
  ]);
  const ref = d.between(...alloy.ra);
  const soft = d.chance(0.25);
  const band = { ratio: soft ? d.between(1.003, 1.01) : d.between(1.015, 1.07), halfLength: d.between(0.8, 1.7) };
  const reach = d.between(1.6, 3);
  const neck = soft ? neckOf(ref, d.between(0.75, 1)) : d.between(0.985, 1);
  const shape = { seed, floor: d.between(0.5, 0.68), lipDeg: 45, share: d.between(0.4, 1), star: 0, bowl: 0.065 };
  const absent = lookedFor(d, "end_hole", "cone_apex", "particle", "nick", "longitudinal_line", "beach_marks");
  const logged = d.chance(0.5);
  const half = soft ? Math.max(1, band.halfLength) : band.halfLength;
  return {
    story: soft
      ? "The wire necked in the soft zone of a joint, inside a coloured and dressed band."
      : "A joint that never bonded: flat dull faces, heat colours and file marks on both ends.",
    grade: alloy.grade,
    metal: alloy.metal,
    body: soft ? { neck, neckLength: d.between(0.6, 0.9) } : { neck, neckLength: 0.5, band },
    face: soft ? cupAndCone(shape) : weldPlane({ seed, joined: d.between(0, 0.18) }),
    skin: { dressedTo: half, tint: heatTint(d, reach) },
    facts: soft ? { lipInner: ringAt((a) => floorEdge(shape, a)) } : {},
    context: {
      ...maybe(d, 0.7, { ref_ra_pct: round(ref, 0) }),
      ...(logged ? { weld_log_distance_m: round(d.between(0.05, 0.9), 2) } : {}),
      ...maybe(d, 0.3, { tests: soft ? { spheroidised: alloy.metal === "steel" } : { oxide_on_plane: true } }),
    },
    marks: (end) => [
      ...end.outlines(),
      ...end.necks(),
      end.skinBox("side_0", "weld_band", 0, half, 1, -1, { symmetrical: true, dress_marks: true }),
      end.skinBox("side_0", "heat_tint", 0, reach * 0.9, 1, -1, { symmetrical: true, colour: "violet to brown" }),
      ...(soft
        ? [end.zone("fibrous_zone", shape.floor), end.lip(shape.floor, 0, 1.8 * Math.PI)]
        : [end.plane("side_0", 90, 1, { profile: "flat" })]),
      ...absent(end),
    ],
  };
}

/** Twisted off: a square swirled face and helical draw lines. */
export function torsionBreak(d: Draw, seed: number): Part {
  const alloy: Alloy = d.pick([ALLOYS.highCarbon, ALLOYS.copperHard, ALLOYS.aluminium, ALLOYS.lowCarbon]);
  const ref = d.between(...alloy.ra);
  const neck = neckOf(ref, d.between(0, 0.1));
  const helix = d.between(7, 32);
  const hand = d.sign();
  const absent = lookedFor(
    d,
    "end_hole",
    "cone_apex",
    "particle",
    "nick",
    "longitudinal_line",
    "beach_marks",
    "weld_band",
    "heat_tint",
  );
  const swirl = d.chance(0.85);
  return {
    story: "Twisted off: square smeared faces with a swirl, draw lines run as a helix.",
    grade: alloy.grade,
    metal: alloy.metal,
    body: { neck, neckLength: 0.5 },
    face: twistedFace({ seed, hand, cu: d.between(-0.14, 0.14), cv: d.between(-0.14, 0.14) }),
    skin: { helixDeg: hand * helix },
    lines: d.between(1.1, 1.7),
    facts: {},
    context: maybe(d, 0.7, { ref_ra_pct: round(ref, 0) }),
    marks: (end) => [
      ...end.outlines(),
      ...end.necks(),
      end.twist(hand * helix, { hand: hand === 1 ? "right" : "left" }),
      ...(swirl ? [end.zone("swirl", 0.96)] : []),
      end.plane("side_0", 90, 1, { profile: "flat" }),
      ...absent(end),
    ],
  };
}

/** Crack fronts as lines on the face: where the front distance has a value, rim radii. */
function frontLine(p: FatigueFace, distance: number): [number, number][] {
  const a = startDirection(p);
  const places: [number, number][] = [];
  for (let i = -24; i <= 24; i++) {
    const across = (i / 24) * distance * 1.1;
    const inside = distance * distance - (across * across) / (1 + 0.55 * distance);
    if (inside <= 0) continue;
    const along = 1 - Math.sqrt(inside);
    const u = along * Math.cos(a) - across * Math.sin(a);
    const v = along * Math.sin(a) + across * Math.cos(a);
    if (Math.hypot(u, v) < 0.985) places.push([u, v]);
  }
  return places;
}

/** The part beyond a front: the front line and the rim on its far side. */
export function beyondFront(line: readonly (readonly [number, number])[]): FaceEdge {
  const first = line[0]!;
  const last = line[line.length - 1]!;
  const from = Math.atan2(last[1], last[0]);
  let to = Math.atan2(first[1], first[0]);
  while (to < from) to += 2 * Math.PI;
  return [
    ...line,
    ...Array.from({ length: 20 }, (_, i): [number, number] => {
      const a = from + ((to - from) * (i + 1)) / 21;
      return [0.99 * Math.cos(a), 0.99 * Math.sin(a)];
    }),
  ];
}

/** Flat zone from the skin with or without arrest lines, a small final zone. */
export function fatigueBreak(d: Draw, seed: number): Part {
  const alloy: Alloy = d.pick([
    ALLOYS.highCarbon,
    ALLOYS.midCarbon,
    ALLOYS.aluminium,
    ALLOYS.aluminiumAlloy,
    ALLOYS.copperHard,
  ]);
  const ref = d.between(...alloy.ra);
  const neck = neckOf(ref, d.between(0, 0.16));
  const middle = d.turn();
  const count = d.pick([1, 1, 2, 3, 4]);
  const gap = d.between(0.28, 0.4);
  const starts = Array.from({ length: count }, (_, i) => middle + (i - (count - 1) / 2) * gap);
  const reach = d.between(1.05, 1.75);
  const lines = d.chance(0.85) ? d.whole(4, 9) : 0;
  const arrests = Array.from({ length: lines }, (_, i) =>
    round(0.28 + ((reach - 0.36) * (i + d.between(0.2, 0.8))) / lines, 3),
  );
  const shape = { seed, starts, reach, arrests };
  const final = frontLine(shape, reach);
  const absent = lookedFor(d, "end_hole", "cone_apex", "particle", "nick", "weld_band", "heat_tint", "twist_lines");
  const ratchets = count > 1 ? starts.slice(1).map((s) => s - gap / 2) : [];
  return {
    story: "A crack grew in from the skin over many bends; a small rough final zone.",
    grade: alloy.grade,
    metal: alloy.metal,
    body: { neck, neckLength: 0.6 },
    face: fatigueFace(shape),
    skin: {},
    facts: {},
    context: { ...maybe(d, 0.7, { ref_ra_pct: round(ref, 0) }), ...maybe(d, 0.7, { first_trip: false }) },
    marks: (end) => [
      ...end.outlines(),
      ...end.necks(),
      end.spot("origin", 0.99 * Math.cos(middle), 0.99 * Math.sin(middle), { count }),
      ...arrests.slice(1).map((s) => end.stroke("beach_marks", frontLine(shape, s))),
      ...ratchets.map((a) =>
        end.stroke(
          "ratchet_marks",
          [
            [0.98 * Math.cos(a), 0.98 * Math.sin(a)],
            [0.8 * Math.cos(a), 0.8 * Math.sin(a)],
          ],
          { count: ratchets.length },
        ),
      ),
      ...(final.length > 3 ? [end.patch("final_zone", beyondFront(final), { opposite_origin: true })] : []),
      end.plane("side_0", 90, 1, { profile: "flat" }),
      ...absent(end),
    ],
  };
}

/** Parted at a bend: starts on the outer side, a lip on the inner side, both ends bent. */
export function bendingBreak(d: Draw, seed: number): Part {
  const alloy: Alloy = d.pick([
    ALLOYS.copperHard,
    ALLOYS.copperSoft,
    ALLOYS.aluminium,
    ALLOYS.aluminiumAlloy,
    ALLOYS.highCarbon,
  ]);
  const ref = d.between(...alloy.ra);
  const neck = neckOf(ref, d.between(0.04, 0.35));
  const outer = d.sign() * d.between(1.35, 1.95);
  const deg = d.between(16, 27);
  const planeDeg = d.between(64, 84);
  const runs = d.sign();
  const pitch = d.between(0.25, 0.5);
  const cracked = d.chance(0.7);
  const s = Math.sin(outer);
  const absent = lookedFor(
    d,
    "end_hole",
    "cone_apex",
    "particle",
    "nick",
    "longitudinal_line",
    "weld_band",
    "heat_tint",
    "twist_lines",
    "beach_marks",
  );
  return {
    story: "Bent too tightly: both ends keep a set, cracks on the outer side, a lip on the inner.",
    grade: alloy.grade,
    metal: alloy.metal,
    body: {
      neck,
      neckLength: d.between(0.6, 0.9),
      ovality: d.between(0.01, 0.03),
      oneSided: d.between(0.2, 0.5),
      oneSidedAt: outer,
      bend: { at: outer, deg, over: d.between(0.5, 1.2) },
    },
    face: slantFace({
      seed,
      from: outer,
      planeDeg,
      runs,
      flaw: 0,
      silk: d.between(0, 0.3),
      flat: d.between(0.1, 0.4),
      bowl: d.between(0.045, 0.075),
    }),
    skin: cracked ? { cracks: { theta: outer, width: d.between(0.5, 0.9), pitch, to: d.between(1, 2) } } : {},
    facts: {},
    context: maybe(d, 0.7, { ref_ra_pct: round(ref, 0) }),
    ahead: 0.6 + 1.1 / Math.tan((planeDeg * Math.PI) / 180),
    marks: (end) => [
      ...end.outlines(),
      ...end.necks({ one_sided: true }),
      end.bendSet("side_0", { lip_on_inside: true, both_ends: true }),
      ...(cracked ? [end.skinLine("side_0", "surface_crack", pitch, s * 0.7, pitch, s * 0.95, { count: 3 })] : []),
      end.spot("origin", 0.98 * Math.cos(outer), 0.98 * Math.sin(outer), { count: 1 }),
      end.plane("side_0", planeDeg, runs, { profile: "slant" }),
      ...absent(end),
    ],
  };
}
