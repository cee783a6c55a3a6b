import { crystalZone } from "../../face/crystal-zone.ts";
import { slantFace } from "../../face/slant.ts";
import type { SheetFeature } from "../../demo/demo-break.ts";
import type { EndMarker } from "../../end-marker.ts";
import type { Draw } from "../draw.ts";
import type { Alloy, FaceEdge, Part } from "../part.ts";
import { ALLOYS, lookedFor, maybe, neckOf, round, startAngle } from "../part.ts";

/** Outline of a zone at the skin, rim radii. @param reach – depth from the start. */
export function skinZone(from: number, reach: number): FaceEdge {
  const points: [number, number][] = [];
  const steps = 48;
  for (let i = 0; i <= steps; i++) {
    const a = Math.PI * (i / steps - 0.5);
    const along = reach * Math.cos(a);
    const across = (reach * Math.sin(a)) / 0.62;
    const u = (1 - along) * Math.cos(from) - across * Math.sin(from);
    const v = (1 - along) * Math.sin(from) + across * Math.cos(from);
    const r = Math.hypot(u, v);
    points.push(r > 0.985 ? [(u / r) * 0.985, (v / r) * 0.985] : [u, v]);
  }
  return points;
}

const origin = (end: EndMarker, from: number, count = 1): SheetFeature =>
  end.spot("origin", 0.98 * Math.cos(from), 0.98 * Math.sin(from), { count });

/** A seam of the rod, or tears of the die, at one clock position. */
export function surfaceDefect(d: Draw, seed: number): Part {
  const alloy: Alloy = d.pick([
    ALLOYS.midCarbon,
    ALLOYS.highCarbon,
    ALLOYS.copperHard,
    ALLOYS.aluminium,
    ALLOYS.lowCarbon,
  ]);
  const ref = d.between(...alloy.ra);
  const neck = neckOf(ref, d.between(0.1, 0.55));
  const from = startAngle(d);
  const seam = d.chance(0.65);
  const planeDeg = seam ? d.between(42, 72) : d.between(56, 76);
  const runs = d.sign();
  const s = Math.sin(from);
  const length = round(d.between(12, 40), 0);
  const cracks = { theta: from, width: d.between(0.35, 0.8), pitch: d.between(0.28, 0.7), to: d.between(2.2, 4) };
  const absent = lookedFor(
    d,
    "end_hole",
    "cone_apex",
    "particle",
    "nick",
    "weld_band",
    "heat_tint",
    "twist_lines",
    "secondary_crack",
    ...(seam ? (["surface_crack"] as const) : []),
  );
  const oxide = d.chance(0.6);
  return {
    story: seam
      ? "A rolled-in seam runs along the wire at one clock position of both ends; the break starts there."
      : "Tears across the skin repeat along one side of the wire; the break started at one of them.",
    grade: alloy.grade,
    metal: alloy.metal,
    body: { neck, neckLength: d.between(0.6, 1.1), oneSided: d.between(0.2, 0.6), oneSidedAt: from + Math.PI },
    face: slantFace({
      seed,
      from,
      planeDeg,
      runs,
      flaw: seam ? d.between(0.14, 0.4) : d.between(0.05, 0.14),
      silk: d.between(0.1, 0.6),
      flat: d.between(0.02, 0.15),
      bowl: d.between(0.045, 0.075),
    }),
    skin: seam
      ? { seams: [{ theta: from, width: d.between(0.02, 0.05), dark: d.between(0.6, 0.95) }] }
      : {
          cracks,
          patches: [
            {
              theta: from,
              width: cracks.width * 1.1,
              to: cracks.to * 1.2,
              colour: [1.12, 1.12, 1.12],
              rough: 0.22,
              drag: 0.9,
              puff: 0,
            },
          ],
        },
    facts: {},
    context: maybe(d, 0.7, { ref_ra_pct: round(ref, 0) }),
    ahead: 0.5 + 1.1 / Math.tan((planeDeg * Math.PI) / 180),
    marks: (end) => [
      ...end.outlines(),
      ...end.necks({ one_sided: true }),
      ...(seam
        ? [
            end.skinLine("side_0", "longitudinal_line", 0.4, s, 2.4, s, {
              ...(oxide ? { oxide: true } : {}),
              same_clock_both_ends: true,
              runs_past_break: true,
              length_d: length,
            }),
          ]
        : [
            ...[1, 2, 3].map((n) =>
              end.skinLine("side_0", "surface_crack", n * cracks.pitch, s - 0.25, n * cracks.pitch, s + 0.2, {
                count: 4,
                spacing_d: round(cracks.pitch / 2, 2),
              }),
            ),
            end.skinBox("side_0", "drag_scoring", 0, cracks.to, Math.min(0.97, s + 0.3), Math.max(-0.97, s - 0.3)),
          ]),
      origin(end, from),
      end.plane("side_0", planeDeg, runs, { profile: "slant" }),
      ...absent(end),
    ],
  };
}

/** A fresh nick shared by both ends. */
export function mechanicalDamage(d: Draw, seed: number): Part {
  const alloy: Alloy = d.pick([
    ALLOYS.aluminium,
    ALLOYS.copperHard,
    ALLOYS.copperSoft,
    ALLOYS.aluminiumAlloy,
    ALLOYS.lowCarbon,
    ALLOYS.midCarbon,
  ]);
  const ref = d.between(...alloy.ra);
  const neck = neckOf(ref, d.between(0.2, 0.7));
  const at = startAngle(d);
  const depth = d.between(0.14, 0.36);
  const halfLength = d.between(0.22, 0.5);
  const planeDeg = d.between(62, 86);
  const runs = d.sign();
  const s = Math.sin(at);
  const absent = lookedFor(
    d,
    "end_hole",
    "cone_apex",
    "particle",
    "longitudinal_line",
    "weld_band",
    "heat_tint",
    "bend_set",
    "beach_marks",
  );
  return {
    story: "A hard edge cut a fresh nick; both ends carry half of it and the break starts there.",
    grade: alloy.grade,
    metal: alloy.metal,
    body: {
      neck,
      neckLength: d.between(0.7, 1.1),
      oneSided: d.between(0.4, 0.85),
      oneSidedAt: at + Math.PI,
      nick: { at, halfAngle: d.between(0.6, 1), depth, halfLength },
    },
    face: slantFace({
      seed,
      from: at,
      planeDeg,
      runs,
      flaw: 0,
      silk: d.between(0, 0.25),
      flat: d.between(0.12, 0.4),
      bowl: d.between(0.05, 0.08),
    }),
    skin: {},
    facts: {},
    context: maybe(d, 0.7, { ref_ra_pct: round(ref, 0) }),
    ahead: 0.5 + 1.1 / Math.tan((planeDeg * Math.PI) / 180),
    marks: (end) => [
      ...end.outlines(),
      ...end.necks({ one_sided: true }),
      end.skinBox("side_0", "nick", 0, halfLength, Math.min(1, s + 0.25), Math.max(-1, s - 0.25), {
        fresh: true,
        at_origin: true,
        both_ends_match: true,
        drawn_over: false,
        depth_over_D: round(depth / 2, 2),
      }),
      origin(end, at),
      end.zone("fibrous_zone", 0.6, {}, -0.2 * Math.cos(at), -0.2 * Math.sin(at)),
      ...absent(end),
    ],
  };
}

/** One slant plane, no start. */
export function singleShear(d: Draw, seed: number): Part {
  const alloy: Alloy = d.pick([ALLOYS.hardAlloy, ALLOYS.hardAlloy, ALLOYS.highCarbon, ALLOYS.aluminiumAlloy]);
  const ref = d.between(...alloy.ra);
  const neck = neckOf(ref, d.between(0.04, 0.35));
  const from = startAngle(d);
  const planeDeg = d.between(38, 53);
  const runs = d.sign();
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
    "bend_set",
    "origin",
  );
  return {
    story: "The whole section slid on one plane near 45°.",
    grade: alloy.grade,
    metal: alloy.metal,
    body: { neck, neckLength: d.between(0.5, 0.8) },
    face: slantFace({
      seed,
      from,
      planeDeg,
      runs,
      flaw: 0,
      silk: d.between(0.75, 1),
      flat: 0,
      bowl: d.between(0.04, 0.06),
    }),
    skin: {},
    facts: {},
    context: {
      ...maybe(d, 0.7, { ref_ra_pct: round(ref, 0) }),
      ...maybe(d, 0.5, { tests: { sound_breaks_slant: true } }),
    },
    ahead: 0.4 + 1.05 / Math.tan((planeDeg * Math.PI) / 180),
    marks: (end) => [
      ...end.outlines(),
      ...end.necks(),
      end.plane("side_0", planeDeg, runs, { profile: "slant", area_fraction: round(d2(seed), 2) }),
      ...absent(end),
    ],
  };
}

const d2 = (seed: number): number => 0.84 + 0.14 * ((seed * 0.618) % 1);

/** A thin hard layer rubbed on the skin of steel cracked. */
export function surfaceMartensite(d: Draw, seed: number): Part {
  const alloy: Alloy = d.pick([ALLOYS.highCarbon, ALLOYS.highCarbon, ALLOYS.midCarbon]);
  const ref = d.between(...alloy.ra);
  const neck = neckOf(ref, d.between(0.1, 0.45));
  const from = startAngle(d);
  const reach = d.between(0.1, 0.34);
  const s = Math.sin(from);
  const patch = { theta: from, width: d.between(0.45, 0.85), to: d.between(1.4, 3) };
  const pitch = d.between(0.2, 0.5);
  const absent = lookedFor(
    d,
    "end_hole",
    "cone_apex",
    "particle",
    "nick",
    "longitudinal_line",
    "weld_band",
    "twist_lines",
    "beach_marks",
  );
  const zone = skinZone(from, reach);
  const hv = round(d.between(720, 860), 0);
  const tested = d.chance(0.5);
  return {
    story: "Rubbing made a bright hard patch on the skin; a small thumbnail crack under it started the break.",
    grade: alloy.grade,
    metal: alloy.metal,
    body: { neck, neckLength: d.between(0.6, 0.9), oneSided: d.between(0.2, 0.5), oneSidedAt: from + Math.PI },
    face: crystalZone({
      seed,
      from,
      reach,
      grain: d.between(0.02, 0.035),
      bright: d.between(0.6, 0.95),
      grey: d.between(1.15, 1.4),
      red: 1,
      blue: 1,
      crust: 0,
      bowl: d.between(0.045, 0.065),
      lip: d.between(0.3, 0.9),
    }),
    skin: {
      patches: [{ ...patch, colour: [1.3, 1.34, 1.5], rough: 0.12, drag: 0.7, puff: 0 }],
      cracks: { theta: from, width: patch.width * 0.8, pitch, to: patch.to * 0.85 },
    },
    facts: {},
    context: {
      ...maybe(d, 0.7, { ref_ra_pct: round(ref, 0) }),
      ...maybe(d, 0.5, { tests: { white_layer: true } }),
    },
    marks: (end) => [
      ...end.outlines(),
      ...end.necks({ one_sided: true }),
      end.skinBox(
        "side_0",
        "bright_patch",
        0,
        patch.to,
        Math.min(0.97, s + 0.35),
        Math.max(-0.97, s - 0.35),
        tested ? { hv } : {},
      ),
      ...[1, 2].map((n) =>
        end.skinLine("side_0", "surface_crack", n * pitch, s - 0.25, n * pitch, s + 0.2, { count: 3 }),
      ),
      origin(end, from),
      end.patch("bright_facets", zone),
      ...absent(end),
    ],
  };
}

/** Attack from the skin, stained and crusted; the rest parted fresh. */
export function corrosion(d: Draw, seed: number): Part {
  const alloy: Alloy = d.pick([
    ALLOYS.highCarbon,
    ALLOYS.midCarbon,
    ALLOYS.lowCarbon,
    ALLOYS.aluminiumAlloy,
    ALLOYS.copperHard,
  ]);
  const ref = d.between(...alloy.ra);
  const neck = neckOf(ref, d.between(0.02, 0.35));
  const from = startAngle(d);
  const reach = d.between(0.4, 1.25);
  const s = Math.sin(from);
  const [red, blue] = alloy.metal === "steel" ? [1.55, 0.5] : alloy.metal === "copper" ? [0.72, 1.2] : [1.02, 0.96];
  const zone = skinZone(from, reach);
  const absent = lookedFor(d, "end_hole", "cone_apex", "particle", "nick", "weld_band", "twist_lines", "beach_marks");
  const stain: readonly [number, number, number] =
    alloy.metal === "steel" ? [0.62, 0.42, 0.26] : alloy.metal === "copper" ? [0.4, 0.55, 0.62] : [0.66, 0.66, 0.64];
  return {
    story: "A pit and stained cracks grew in from the skin until the rest gave way.",
    grade: alloy.grade,
    metal: alloy.metal,
    body: { neck, neckLength: d.between(0.6, 1.4), oneSided: d.between(0.2, 0.6), oneSidedAt: from },
    face: crystalZone({
      seed,
      from,
      reach,
      grain: d.between(0.02, 0.045),
      bright: 0.05,
      grey: d.between(0.26, 0.46),
      red,
      blue,
      crust: d.between(0.5, 1),
      bowl: d.between(0.05, 0.08),
      lip: d.between(0.3, 0.9),
    }),
    skin: {
      patches: [
        {
          theta: from,
          width: d.between(0.8, 1.8),
          to: d.between(1.6, 3.4),
          colour: stain,
          rough: 0.7,
          drag: 0,
          puff: 0.012,
        },
      ],
      cracks: { theta: from, width: 0.4, pitch: d.between(0.5, 1.1), to: d.between(1, 2) },
    },
    facts: {},
    context: maybe(d, 0.6, { ref_ra_pct: round(ref, 0) }),
    marks: (end) => [
      ...end.outlines(),
      ...end.necks(),
      end.zone("corrosion_pit", 0.1, { at_origin: true, count: 1 }, 0.9 * Math.cos(from), 0.9 * Math.sin(from)),
      end.patch("face_deposit", zone, {
        colour: alloy.metal === "steel" ? "rust brown" : "dull grey",
        removed_by_clean: false,
      }),
      end.skinLine("side_0", "secondary_crack", 0.5, s - 0.2, 0.55, s + 0.2, { branched: true, count: 3 }),
      origin(end, from),
      ...absent(end),
    ],
  };
}
