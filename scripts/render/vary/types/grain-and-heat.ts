import { crystalZone } from "../../face/crystal-zone.ts";
import { meltFace } from "../../face/melt.ts";
import { stepSplit } from "../../face/step-split.ts";
import type { Draw } from "../draw.ts";
import type { Alloy, Part } from "../part.ts";
import { ALLOYS, lookedFor, maybe, neckOf, ringAt, round, startAngle } from "../part.ts";
import { skinZone } from "./skin-starts.ts";

/** Hydrogen: a bright thumbnail with side cracks in strong steel, or a granular puffed break of oxygen-bearing copper. */
export function hydrogenDamage(d: Draw, seed: number): Part {
  const steel = d.chance(0.5);
  const alloy: Alloy = steel ? ALLOYS.highCarbon : ALLOYS.copperHard;
  const ref = d.between(...alloy.ra);
  const neck = neckOf(ref, d.between(0, 0.22));
  const from = startAngle(d);
  const reach = steel ? d.between(0.4, 1.1) : 2.4;
  const s = Math.sin(from);
  const pitch = d.between(0.35, 0.8);
  const zone = steel ? skinZone(from, reach) : ringAt(() => 0.96);
  const absent = lookedFor(
    d,
    "end_hole",
    "cone_apex",
    "particle",
    "nick",
    "weld_band",
    "twist_lines",
    "beach_marks",
    "fibrous_zone",
  );
  return {
    story: steel
      ? "Pickled steel broke late: a bright crescent at the skin and side cracks."
      : "Steam opened the grain boundaries of oxygen-bearing copper: granular on both ends, puffed skin.",
    grade: alloy.grade,
    metal: alloy.metal,
    body: { neck, neckLength: d.between(0.5, 0.9) },
    face: crystalZone({
      seed,
      from,
      reach,
      grain: steel ? d.between(0.025, 0.045) : d.between(0.05, 0.1),
      bright: steel ? d.between(0.65, 1) : d.between(0.1, 0.35),
      grey: steel ? d.between(1.1, 1.4) : d.between(0.72, 0.95),
      red: 1,
      blue: 1,
      crust: 0,
      bowl: d.between(0.045, 0.065),
      lip: d.between(0.2, 0.8),
    }),
    skin: steel
      ? { cracks: { theta: from, width: d.between(0.4, 0.8), pitch, to: d.between(1.4, 3) } }
      : {
          patches: [
            {
              theta: from,
              width: 4,
              to: d.between(3, 6),
              colour: [0.95, 0.95, 0.95],
              rough: 0.55,
              drag: 0,
              puff: d.between(0.015, 0.03),
            },
          ],
          cracks: { theta: from, width: 1.2, pitch, to: d.between(0.8, 2) },
        },
    facts: {},
    context: {
      ...maybe(d, 0.7, { ref_ra_pct: round(ref, 0) }),
      ...(steel
        ? {
            ...maybe(d, 0.8, { pickled: true }),
            ...maybe(d, 0.7, { delayed_h: round(d.between(2, 90), 0) }),
            ...maybe(d, 0.8, { strength_mpa: round(d.between(1300, 1900), 0) }),
          }
        : {
            ...maybe(d, 0.8, { oxygen_ppm: round(d.between(150, 400), 0) }),
            ...maybe(d, 0.8, { hydrogen_anneal: true }),
          }),
    },
    marks: (end) => [
      ...end.outlines(),
      ...end.necks(),
      ...(steel
        ? [
            end.patch("bright_facets", zone),
            end.spot("origin", 0.96 * Math.cos(from), 0.96 * Math.sin(from), { count: 1 }),
          ]
        : [end.patch("rock_candy", zone, { dark_oxide: false })]),
      ...[1, 2].map((n) =>
        end.skinLine("side_0", "secondary_crack", n * pitch, s - 0.25, n * pitch, s + 0.2, {
          count: 3,
          branched: false,
        }),
      ),
      end.plane("side_0", 90, 1, { profile: "flat" }),
      ...absent(end),
    ],
  };
}

/** Grain boundaries that tore while hot: dark granular facets from the skin or right across. */
export function hotCrack(d: Draw, seed: number): Part {
  const alloy: Alloy = d.pick([
    ALLOYS.copperHard,
    ALLOYS.copperHard,
    ALLOYS.aluminium,
    ALLOYS.aluminiumAlloy,
    ALLOYS.lowCarbon,
  ]);
  const ref = d.between(...alloy.ra);
  const neck = neckOf(ref, d.between(0, 0.22));
  const from = startAngle(d);
  const whole = d.chance(0.4);
  const reach = whole ? 2.4 : d.between(0.8, 1.7);
  const zone = whole ? ringAt(() => 0.96) : skinZone(from, reach);
  const absent = lookedFor(
    d,
    "end_hole",
    "cone_apex",
    "particle",
    "nick",
    "weld_band",
    "twist_lines",
    "beach_marks",
    "bright_facets",
  );
  return {
    story: "Grain boundaries tore while the metal was hot: dark oxidised grains.",
    grade: alloy.grade,
    metal: alloy.metal,
    body: { neck, neckLength: d.between(0.5, 0.9) },
    face: crystalZone({
      seed,
      from,
      reach,
      grain: d.between(0.06, 0.13),
      bright: d.between(0, 0.15),
      grey: d.between(0.2, 0.38),
      red: alloy.metal === "copper" ? 0.8 : 1,
      blue: alloy.metal === "copper" ? 1.15 : 1,
      crust: d.between(0, 0.35),
      bowl: d.between(0.05, 0.075),
      lip: d.between(0.2, 0.8),
    }),
    skin: {},
    facts: {},
    context: maybe(d, 0.7, { ref_ra_pct: round(ref, 0) }),
    marks: (end) => [
      ...end.outlines(),
      ...end.necks(),
      end.patch("rock_candy", zone, { dark_oxide: true }),
      end.plane("side_0", d2(seed), 1, { profile: "flat" }),
      ...absent(end),
    ],
  };
}

const d2 = (seed: number): number => 82 + 8 * ((seed * 0.618) % 1);

/** Parted along the wire: ragged levels joined by walls that hold the axis. */
export function longitudinalSplit(d: Draw, seed: number): Part {
  const alloy: Alloy = d.pick([ALLOYS.highCarbon, ALLOYS.highCarbon, ALLOYS.hardAlloy, ALLOYS.aluminiumAlloy]);
  const ref = d.between(...alloy.ra);
  const neck = neckOf(ref, d.between(0, 0.28));
  // The wall meets the near side of the skin, so that the 0° view shows the split run on along the wire.
  const across = d.sign() * (Math.PI / 2 + d.between(-0.45, 0.45));
  const two = d.chance(0.4);
  const walls = two ? [d.between(-0.45, -0.15), d.between(0.15, 0.5)] : [d.between(-0.2, 0.2)];
  const way = d.sign();
  const steps = walls.map((_, i) => way * (i === 1 && d.chance(0.4) ? -1 : 1) * d.between(0.6, two ? 1.1 : 1.7));
  const length = round(d.between(3.2, 9), 1);
  const seamAt = Math.PI + (across > 0 ? -1 : 1) * Math.asin(Math.min(0.9, Math.max(-0.9, walls[0]!)));
  const s = Math.sin(seamAt);
  const absent = lookedFor(d, "end_hole", "cone_apex", "particle", "nick", "weld_band", "beach_marks", "fibrous_zone");
  return {
    story: "The wire split along planes that hold its axis and parted in long woody steps.",
    grade: alloy.grade,
    metal: alloy.metal,
    body: { neck, neckLength: d.between(0.5, 0.9) },
    face: stepSplit({ seed, across, walls, steps }),
    skin: { seams: [{ theta: seamAt, width: d.between(0.018, 0.03), dark: 0.95 }] },
    facts: {},
    context: {
      ...maybe(d, 0.7, { ref_ra_pct: round(ref, 0) }),
      ...maybe(d, 0.4, { tests: { torsion_delaminates: true } }),
    },
    ahead: 0.5 + Math.abs(steps.reduce((a, b) => a + b, 0)) / 2 + (two ? 0.6 : 0),
    marks: (end) => [
      ...end.outlines(),
      ...end.necks(),
      end.skinLine("side_0", "longitudinal_split", 0.2, s, 2.4, s, {
        length_d: length,
        through_axis: true,
        spiral: false,
      }),
      end.plane("side_0", 12, 1, { profile: "lengthwise" }),
      ...absent(end),
    ],
  };
}

/** Melted ends: a rounded bead, colours along the wire. */
export function overheated(d: Draw, seed: number): Part {
  const alloy: Alloy = d.pick([ALLOYS.copperHard, ALLOYS.copperSoft, ALLOYS.aluminium, ALLOYS.lowCarbon]);
  const ref = d.between(...alloy.ra);
  const height = d.between(0.04, 0.11);
  const length = d.between(0.45, 0.8);
  const neck = d.between(0.9, 1);
  const shape = (n: number, rounds: 1 | -1) => ({
    seed: seed + n,
    dome: d.between(0.4, 0.8),
    pu: d.between(-0.45, 0.45),
    pv: d.between(-0.45, 0.45),
    pit: d.between(0.1, 0.3),
    rounds,
  });
  const machine = shape(1, 1);
  const takeUp = shape(2, -1);
  const tinted = d.chance(0.7);
  const absent = lookedFor(d, "end_hole", "cone_apex", "particle", "nick", "weld_band", "beach_marks", "fibrous_zone");
  return {
    story: "Both ends melted to a bead; colours run along the wire.",
    grade: alloy.grade,
    metal: alloy.metal,
    body: { neck, neckLength: 0.35, bulge: { at: 0.35, height, length } },
    face: meltFace(machine),
    takeUpFace: meltFace(takeUp),
    skin: {
      patches: [
        { theta: 0, width: 4, to: d.between(1.2, 2.2), colour: [0.9, 0.85, 0.78], rough: 0.45, drag: 0, puff: 0.008 },
      ],
      ...(tinted
        ? {
            tint: [
              { to: 1.6, colour: [0.6, 0.56, 0.62] as const },
              { to: d.between(2.4, 4), colour: [0.93, 0.8, 0.66] as const },
            ],
          }
        : {}),
    },
    lines: 0.5,
    facts: {},
    context: maybe(d, 0.5, { ref_ra_pct: round(ref, 0) }),
    ahead: 0.95,
    marks: (end) => [
      ...end.outlines(),
      end.bead("side_0", 0.9, 1 + height, {
        shrink_pits: true,
        coarse_grains: seed % 3 > 0,
        bead_d_ratio: round(1 + height, 2),
      }),
      ...(tinted
        ? [end.skinBox("side_0", "heat_tint", 0, 2.4, 1, -1, { symmetrical: true, colour: "brown to violet" })]
        : []),
      ...absent(end),
    ],
  };
}
