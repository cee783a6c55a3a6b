import { burstCone, burstEdge } from "../../face/burst-cone.ts";
import { castingVoid, voidRim } from "../../face/casting-void.ts";
import { cupAndCone, floorEdge } from "../../face/cup-and-cone.ts";
import { inclusion, particleRim } from "../../face/inclusion.ts";
import type { Draw } from "../draw.ts";
import type { Alloy, Part } from "../part.ts";
import { ALLOYS, lookedFor, maybe, neckOf, ringAt, round } from "../part.ts";

const DRAWABLE: readonly Alloy[] = [
  ALLOYS.copperHard,
  ALLOYS.copperSoft,
  ALLOYS.oxygenFree,
  ALLOYS.aluminium,
  ALLOYS.aluminiumAlloy,
  ALLOYS.lowCarbon,
  ALLOYS.highCarbon,
];

/** Full neck, a fibrous floor and a lip near 45°. */
export function tensileOverload(d: Draw, seed: number): Part {
  const alloy: Alloy = d.pick(DRAWABLE);
  const ref = d.between(...alloy.ra);
  const neck = neckOf(ref, d.between(0.74, 1.02));
  const hard = alloy.metal === "steel";
  const oneSided = d.chance(0.15) ? d.between(0.05, 0.25) : 0;
  const shape = {
    seed,
    floor: d.between(0.48, hard ? 0.78 : 0.7),
    lipDeg: d.between(38, 50),
    share: d.chance(0.25) ? d.between(0, 0.3) : d.between(0.4, 1.2),
    star: hard && d.chance(0.7) ? d.between(0.4, 1) : 0,
    bowl: d.between(0.04, 0.085),
  };
  const arc = d.between(1.3, 2) * Math.PI;
  const from = d.turn();
  const absent = lookedFor(d, "end_hole", "particle", "weld_band", "heat_tint", "nick", "longitudinal_line");
  return {
    story: "Pulled beyond what it could carry; it necked and parted as a cup and cone.",
    grade: alloy.grade,
    metal: alloy.metal,
    body: {
      neck,
      neckLength: d.between(0.65, 1.45),
      ...(oneSided ? { oneSided, oneSidedAt: d.turn() } : {}),
    },
    face: cupAndCone(shape),
    skin: {},
    facts: { lipInner: ringAt((a) => floorEdge(shape, a)) },
    context: {
      ...maybe(d, 0.8, { ref_ra_pct: round(ref, 0) }),
      ...maybe(d, 0.5, { slip_or_grab_logged: d.chance(0.8) }),
    },
    ahead: 0.6,
    marks: (end) => [
      ...end.outlines(),
      ...end.necks({ one_sided: false }),
      end.zone("fibrous_zone", shape.floor),
      end.lip(shape.floor, from, from + arc),
      ...(shape.star > 0.4
        ? [0.3, 1.9, 3.6, 5.1].map((a) =>
            end.stroke("radial_marks", [
              [0.3 * Math.cos(a), 0.3 * Math.sin(a)],
              [0.9 * shape.floor * Math.cos(a), 0.9 * shape.floor * Math.sin(a)],
            ]),
          )
        : []),
      ...absent(end),
    ],
  };
}

/** Cone on one end, hollow on the other, hardly any neck. */
export function centralBurst(d: Draw, seed: number): Part {
  const alloy: Alloy = d.pick(DRAWABLE);
  const ref = d.between(...alloy.ra);
  const neck = neckOf(ref, d.between(0, 0.28));
  const old = d.chance(0.25);
  const flankDeg = old ? d.between(24, 34) : d.between(34, 52);
  const shape = {
    seed,
    base: d.between(0.56, 0.93),
    flankDeg,
    points: d.chance(0.7) ? 1 : -1,
    grain: d.between(0.035, 0.085),
  } as const;
  const cone = shape.points === 1 ? "machine" : "takeUp";
  const hollow = shape.points === 1 ? "takeUp" : "machine";
  const edge = ringAt((a) => burstEdge(shape, a));
  const depth = round((shape.base * neck) / Math.tan((flankDeg * Math.PI) / 180) / 2, 2);
  const absent = lookedFor(d, "fibrous_zone", "particle", "weld_band", "nick", "longitudinal_line");
  const saysDepth = d.chance(0.6);
  return {
    story: "A burst of the core opened in a die; the wire parted at one of its cones.",
    grade: alloy.grade,
    metal: alloy.metal,
    body: {
      neck,
      neckLength: d.between(0.5, 1),
      ...(d.chance(0.2) ? { bulge: { at: 2.2, height: 0.012, length: 0.6 } } : {}),
    },
    face: burstCone(shape),
    skin: {},
    facts: {
      hole: { [hollow]: { kind: "hollow", edge } },
      cone: { side: cone, base: shape.base, flankDeg },
      lipInner: edge,
    },
    context: {
      ...maybe(d, 0.75, { ref_ra_pct: round(ref, 0) }),
      ...maybe(d, 0.6, { reversals: shape.points === 1 ? d.pick([0, 2]) : d.pick([1, 3]) }),
      ...maybe(d, 0.4, {
        passes: [
          { die: "11", semi_angle_deg: round(d.between(6, 9), 1), reduction_pct: round(d.between(14, 20), 0) },
          { die: "12", semi_angle_deg: round(d.between(7, 12), 1), reduction_pct: round(d.between(7, 13), 0) },
        ],
      }),
    },
    ahead: 0.25 + (shape.base * neck) / Math.tan((flankDeg * Math.PI) / 180),
    marks: (end) => [
      ...end.outlines(),
      ...end.necks(),
      ...(end.side === cone
        ? end.cone(shape.base, flankDeg, { flank_texture: "granular" })
        : [
            end.patch("end_hole", edge, {
              shape: "conical",
              wall_texture: "granular",
              ...(saysDepth ? { depth_d: depth } : {}),
            }),
          ]),
      ...absent(end),
    ],
  };
}

/** A deep hole in both ends. */
export function castingCavity(d: Draw, seed: number): Part {
  const alloy: Alloy = d.pick([
    ALLOYS.aluminium,
    ALLOYS.aluminiumAlloy,
    ALLOYS.copperHard,
    ALLOYS.copperHard,
    ALLOYS.lowCarbon,
  ]);
  const ref = d.between(...alloy.ra);
  const neck = neckOf(ref, d.between(0, 0.36));
  const hole = d.between(0.34, 0.7);
  const off = d.between(0, Math.min(0.3, 0.86 - hole * 1.2));
  const at = d.turn();
  const shape = { seed, hole, cu: off * Math.cos(at), cv: off * Math.sin(at), depth: d.between(2.4, 3.6) };
  const edge = ringAt((a) => voidRim(shape, a), shape.cu, shape.cv);
  const absent = lookedFor(d, "cone_apex", "cone_flank", "fibrous_zone", "particle", "weld_band", "nick");
  const depth = round(d.between(0.8, 1.6), 1);
  const saysDepth = d.chance(0.75);
  return {
    story: "A cavity from the casting ran along the core; a hole looks out of both ends.",
    grade: alloy.grade,
    metal: alloy.metal,
    body: {
      neck,
      neckLength: d.between(0.6, 1.1),
      ...(d.chance(0.2) ? { bulge: { at: 2, height: 0.015, length: 0.7 } } : {}),
    },
    face: castingVoid(shape),
    skin: {},
    facts: { hole: { machine: { kind: "cavity", edge }, takeUp: { kind: "cavity", edge } } },
    context: { ...maybe(d, 0.7, { ref_ra_pct: round(ref, 0) }), ...maybe(d, 0.5, { repeats_in_cast: true }) },
    ahead: 0.6,
    marks: (end) => [
      ...end.outlines(),
      ...end.necks(),
      end.patch("end_hole", edge, {
        shape: "parallel",
        wall_texture: "dendritic",
        ...(saysDepth ? { depth_d: depth, floor_seen: false } : {}),
      }),
      ...absent(end),
    ],
  };
}

/** A foreign lump in the machine end, its socket in the other. */
export function inclusionBreak(d: Draw, seed: number): Part {
  const alloy: Alloy = d.pick(DRAWABLE);
  const ref = d.between(...alloy.ra);
  const neck = neckOf(ref, d.between(0.08, 0.55));
  const size = d.between(0.2, 0.52);
  const off = d.between(0, Math.min(0.32, 0.82 * neck - size * 1.2));
  const at = d.turn();
  const shape = { seed, size, cy: off * Math.cos(at), cz: off * Math.sin(at), height: d.between(0.16, 0.42) };
  const oneSided = d.between(0.15, 0.6);
  const oneSidedAt = d.turn();
  const shift = oneSided * (1 - neck);
  const edge = ringAt(
    (a) => particleRim(shape, a) / neck,
    (shape.cy + shift * Math.cos(oneSidedAt)) / neck,
    (shape.cz + shift * Math.sin(oneSidedAt)) / neck,
  );
  const magnetic = alloy.metal !== "steel" && d.chance(0.6);
  const absent = lookedFor(d, "weld_band", "nick", "longitudinal_line", "fibrous_zone");
  return {
    story: "A foreign lump stands in one end; the other end shows its socket.",
    grade: alloy.grade,
    metal: alloy.metal,
    body: {
      neck,
      neckLength: d.between(0.6, 1.1),
      oneSided,
      oneSidedAt,
      ...(d.chance(0.5) ? { bulge: { at: d.between(1.3, 1.8), height: d.between(0.008, 0.022), length: 0.5 } } : {}),
    },
    face: inclusion(shape),
    skin: {},
    facts: { hole: { takeUp: { kind: "socket", edge } } },
    context: maybe(d, 0.7, { ref_ra_pct: round(ref, 0) }),
    ahead: 0.6,
    marks: (end) => [
      ...end.outlines(),
      ...end.necks({ one_sided: true }),
      end.machine
        ? end.patch("particle", edge, {
            ...(magnetic ? { magnetic } : {}),
            colour: "dark grey",
            present_after_clean: true,
          })
        : end.patch("end_hole", edge, {
            shape: "irregular",
            wall_texture: "particle_imprint",
            depth_d: round(shape.height / 2, 2),
          }),
      ...absent(end),
    ],
  };
}
