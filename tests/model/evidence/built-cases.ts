import type { Verdict } from "../../../model/evidence/break-type-ids.ts";
import type { EvidenceContext, ObservedFeature, Observations } from "../../../model/evidence/observations.ts";
import {
  absent,
  ALUMINIUM,
  both,
  cone,
  COPPER,
  end,
  flat,
  hole,
  lost,
  neck,
  observed,
  present,
  skinStart,
  slant,
  STEEL,
  unreadable,
} from "./observed.ts";

export interface BuiltCase {
  readonly name: string;
  readonly given: Observations;
  readonly verdict: Verdict;
  /** Rules that must fire. */
  readonly fires?: readonly string[];
  /** Requests that must be offered. */
  readonly asks?: readonly string[];
}

const ductile = [
  neck(0.9),
  present("fibrous_zone", { diameter_over_D: 0.5 }),
  present("shear_lip", { lip_arc_fraction: 0.8 }),
];
const burstMachine = [neck(0.1), ...cone(), absent("fibrous_zone")];
const socket = present("end_hole", {
  hole_d_over_D: 0.4,
  depth_d: 0.3,
  shape: "irregular",
  wall_texture: "particle_imprint",
});
const particle = present("particle", { size_over_D: 0.4, r_over_R: 0.1, present_after_clean: true });
const seam = present("longitudinal_line", {
  length_d: 30,
  runs_past_break: true,
  same_clock_both_ends: true,
  oxide: true,
});
const nick = present("nick", { depth_over_D: 0.2, at_origin: true, both_ends_match: true, fresh: true });
const band = present("weld_band", { symmetrical: true });
const helix = present("twist_lines", { helix_angle_deg: 14, hand: "left" });
const arcs = present("beach_marks", { count: 8 });
const grains = present("rock_candy", { area_fraction: 0.7, dark_oxide: false });
const darkGrains = present("rock_candy", { area_fraction: 0.7, dark_oxide: true });
const bead = present("melt_bead", { bead_d_ratio: 1.4 });
const split = present("longitudinal_split", { length_d: 12, through_axis: true });
const bent = present("bend_set", { bend_angle_deg: 25, both_ends: true, lip_on_inside: true });
const ends = (a: readonly ObservedFeature[], b: readonly ObservedFeature[], context: Partial<EvidenceContext> = {}) =>
  observed([end("machine", ...a), end("spool", ...b)], context);

/** Constructed cases; the expected verdicts follow from the wording of the rules. None is a record of a real break. */
export const BUILT_CASES: readonly BuiltCase[] = [
  {
    name: "a cone on one end, the other lost",
    given: observed([end("machine", ...burstMachine), lost("spool")], COPPER),
    verdict: "undetermined",
    asks: ["find-other-end"],
  },
  {
    name: "a hole on one end, the other lost",
    given: observed([end("machine", neck(0.1), hole()), lost("spool")], COPPER),
    verdict: "undetermined",
    fires: ["R01"],
    asks: ["find-other-end", "longitudinal-section"],
  },
  {
    name: "a hole on one end with chevrons in its section, the other lost",
    given: observed([end("machine", neck(0.1), hole(), present("chevron", { count: 3 })), lost("spool")], COPPER),
    verdict: "undetermined",
    fires: ["R01", "R29"],
  },
  {
    name: "a hole on one end, the other delivered but not looked at",
    given: ends([neck(0.1), hole()], [present("wire_outline", { d0_mm: 2 })], COPPER),
    verdict: "undetermined",
    fires: ["R01"],
    asks: ["look-at-other-end"],
  },
  {
    name: "a hole on one end, everything on the other cannot be assessed",
    given: ends([neck(0.1), hole()], [unreadable("cone_apex"), unreadable("end_hole")], COPPER),
    verdict: "undetermined",
    fires: ["R01"],
  },
  {
    name: "a fresh burst: cone on the machine end",
    given: ends(burstMachine, [neck(0.1), hole()], COPPER),
    verdict: "central_burst",
    fires: ["R02", "R11", "R15", "R25", "R26"],
  },
  {
    name: "a burst turned once: cone on the take-up end",
    given: ends([neck(0.1), hole()], burstMachine, COPPER),
    verdict: "central_burst",
    fires: ["R16"],
  },
  {
    name: "chevrons both ways",
    given: ends([...burstMachine, present("chevron", { count: 4, tips: "both" })], [neck(0.1), hole()], COPPER),
    verdict: "central_burst",
    fires: ["R17", "R29"],
  },
  {
    name: "a burst with a particle at its tip",
    given: ends(
      [
        neck(0.1),
        present("cone_apex", { apex_offset_ratio: 0.05, particle_at_apex: true }),
        ...cone().slice(1),
        absent("fibrous_zone"),
      ],
      [neck(0.1), hole()],
      COPPER,
    ),
    verdict: "undetermined",
  },
  {
    name: "an off-axis cone that fits its hollow still is a burst, with something against it",
    given: ends(
      [neck(0.1), present("cone_apex", { apex_offset_ratio: 0.3 }), ...cone().slice(1)],
      [neck(0.1), hole({ offset_ratio: 0.3 })],
      COPPER,
    ),
    verdict: "central_burst",
    fires: ["R32"],
  },
  {
    name: "cones on both ends with little necking",
    given: both(COPPER, ...burstMachine),
    verdict: "undetermined",
    fires: ["R08"],
    asks: ["ends-belong", "missing-piece"],
  },
  {
    name: "cones on both ends, the neck not measured",
    given: both(COPPER, ...cone()),
    verdict: "undetermined",
    fires: ["R08"],
    asks: ["measure-ra"],
  },
  {
    name: "soft aluminium drawn to two points",
    given: both({ metal: "aluminium", grade: "1350 soft" }, neck(1), present("cone_apex")),
    verdict: "tensile_overload",
    fires: ["R07", "R78"],
  },
  {
    name: "shallow fibrous cups in both ends with a full neck",
    given: both(
      COPPER,
      neck(0.9),
      hole({ hole_d_over_D: 0.5, depth_d: 0.15, shape: "shallow", wall_texture: "fibrous" }),
    ),
    verdict: "tensile_overload",
    fires: ["R04", "R78"],
  },
  {
    name: "deep smooth holes in both ends",
    given: both(ALUMINIUM, neck(0.15), hole({ depth_d: 2.2, shape: "parallel", wall_texture: "smooth" })),
    verdict: "casting_void",
    fires: ["R03", "R35"],
  },
  {
    name: "deep torn holes in both ends are not yet a void",
    given: both(ALUMINIUM, neck(0.15), hole({ depth_d: 0.8, shape: "irregular", wall_texture: "torn" })),
    verdict: "undetermined",
    asks: ["wall-texture", "longitudinal-section"],
  },
  {
    name: "cup and cone in the grey zone",
    given: ends([neck(0.5), ...cone()], [neck(0.5), hole()], COPPER),
    verdict: "undetermined",
    fires: ["R28"],
    asks: ["reference-pull", "longitudinal-section"],
  },
  {
    name: "a grey-zone cup and cone with chevrons in the section",
    given: ends([neck(0.5), ...cone(), present("chevron", { count: 3 })], [neck(0.5), hole()], COPPER),
    verdict: "central_burst",
    fires: ["R29"],
  },
  {
    name: "hard steel, low absolute reduction of area, full ratio",
    given: both({ ...STEEL, refRaPct: 36 }, present("neck", { ra_pct: 33 }), ...ductile.slice(1)),
    verdict: "tensile_overload",
    fires: ["R31", "R24"],
  },
  {
    name: "a full neck with a logged grab",
    given: both({ ...COPPER, slipOrGrabLogged: true }, ...ductile),
    verdict: "tensile_overload",
    fires: ["R33"],
  },
  {
    name: "a full ductile break with a strong foreign particle on one end is no longer named",
    given: ends([...ductile, particle], ductile, COPPER),
    verdict: "undetermined",
    fires: ["R76"],
  },
  {
    name: "a particle that went away in cleaning",
    given: ends(
      [neck(0.2), present("particle", { size_over_D: 0.4, present_after_clean: false, magnetic: true })],
      [neck(0.2), absent("particle")],
      COPPER,
    ),
    verdict: "undetermined",
    fires: ["R39"],
    asks: ["next-break"],
  },
  {
    name: "a particle nobody cleaned yet",
    given: ends(
      [neck(0.2), present("particle", { size_over_D: 0.4, magnetic: true })],
      [neck(0.2), absent("particle")],
      COPPER,
    ),
    verdict: "undetermined",
    fires: ["R38"],
    asks: ["photograph-then-clean"],
  },
  {
    name: "a magnetic particle in place, the other end lost",
    given: observed(
      [
        end(
          "machine",
          neck(0.2, { one_sided: true }),
          present("particle", { size_over_D: 0.4, present_after_clean: true, magnetic: true }),
        ),
        lost("spool"),
      ],
      COPPER,
    ),
    verdict: "inclusion",
    fires: ["R14", "R37", "R38", "R40"],
  },
  {
    name: "a print of a particle on one end, the other lost",
    given: observed([end("machine", neck(0.2), socket), lost("spool")], COPPER),
    verdict: "undetermined",
    fires: ["R01", "R06", "R95"],
  },
  {
    name: "slant with a nick at the start",
    given: both(ALUMINIUM, neck(0.2), slant, nick, skinStart),
    verdict: "mechanical_damage",
    fires: ["R45", "R64"],
  },
  {
    name: "a drawn-over nick that matches",
    given: both(COPPER, neck(0.4), present("nick", { at_origin: true, both_ends_match: true, drawn_over: true })),
    verdict: "mechanical_damage",
    fires: ["R46"],
  },
  {
    name: "a seam with a decarburised rim",
    given: both(
      STEEL,
      neck(0.3),
      slant,
      skinStart,
      present("longitudinal_line", { length_d: 40, runs_past_break: true, same_clock_both_ends: true, decarb: true }),
    ),
    verdict: "surface_defect",
    fires: ["R42", "R43", "R64"],
  },
  {
    name: "a slant whose rim nobody read",
    given: both({ ...ALUMINIUM, tests: { sound_breaks_slant: true } }, neck(0.2), slant),
    verdict: "undetermined",
    fires: ["R63", "R79"],
    asks: ["low-angle-rim"],
  },
  {
    name: "a soft weld zone with a full neck in the band",
    given: both(STEEL, ...ductile, band),
    verdict: "weld_break",
    fires: ["R51", "R53"],
  },
  {
    name: "a joint proved by section, with a full neck",
    given: both({ ...STEEL, tests: { spheroidised: true } }, ...ductile, band),
    verdict: "weld_break",
    fires: ["R54"],
  },
  {
    name: "a joint band on one end, looked for and absent on the other",
    given: ends([neck(0.05), band, flat], [neck(0.05), absent("weld_band"), flat], COPPER),
    verdict: "undetermined",
    fires: ["R81"],
  },
  {
    name: "torsion with one end lost",
    given: observed([end("machine", neck(0), helix, present("swirl"), flat), lost("spool")], STEEL),
    verdict: "torsion",
    fires: ["R14", "R55"],
  },
  {
    name: "twist lines of opposite hands",
    given: ends(
      [neck(0), helix, present("swirl"), flat],
      [neck(0), present("twist_lines", { helix_angle_deg: 14, hand: "right" }), present("swirl"), flat],
      STEEL,
    ),
    verdict: "undetermined",
    fires: ["R81"],
  },
  {
    name: "copper twisted off, swirl not looked for",
    given: both(COPPER, neck(0.02), helix, present("shear_lip", { lip_arc_fraction: 0 })),
    verdict: "torsion",
    fires: ["R55"],
  },
  {
    name: "a flat face without arcs, band or twist",
    given: both(STEEL, neck(0.05), flat),
    verdict: "undetermined",
    fires: ["R13", "R61"],
    asks: ["draw-lines", "weld-log", "sem", "weld-section"],
  },
  {
    name: "fatigue with arcs on the one end that is left",
    given: observed([end("machine", neck(0.03), arcs, skinStart), lost("spool")], STEEL),
    verdict: "fatigue",
    fires: ["R14", "R59"],
  },
  {
    name: "arcs on one face, looked for and absent on the other",
    given: ends([neck(0.03), arcs, skinStart], [neck(0.03), absent("beach_marks"), skinStart], STEEL),
    verdict: "undetermined",
    fires: ["R81"],
  },
  {
    name: "fatigue shown by striations",
    given: both({ ...COPPER, tests: { sem_striations: true } }, neck(0.05), flat),
    verdict: "fatigue",
    fires: ["R83"],
  },
  {
    name: "copper bent and broken",
    given: both(COPPER, neck(0.3, { one_sided: true }), bent, skinStart),
    verdict: "bending",
    fires: ["R57"],
  },
  {
    name: "a granular face and no history",
    given: both(COPPER, neck(0.04), grains),
    verdict: "undetermined",
    fires: ["R67"],
    asks: ["ask-anneal-atmosphere", "oxygen-analysis", "ask-acid-history", "section-boundaries"],
  },
  {
    name: "oxygen-free copper with a bright granular face after a hydrogen anneal",
    given: both({ metal: "copper", grade: "oxygen-free", hydrogenAnneal: true }, neck(0.04), grains),
    verdict: "undetermined",
    fires: ["R67", "R69"],
  },
  {
    name: "tough-pitch copper annealed in hydrogen, bright grains",
    given: both({ ...COPPER, hydrogenAnneal: true }, neck(0.04), grains),
    verdict: "hydrogen_damage",
    fires: ["R68"],
  },
  {
    name: "void chains in copper said to be oxygen-free",
    given: both({ metal: "copper", grade: "oxygen-free", tests: { void_chains: true } }, neck(0.04), grains),
    verdict: "undetermined",
    fires: ["R69", "R80"],
  },
  {
    name: "bright grains after a hydrogen anneal on one end, dark on the other",
    given: ends([neck(0.04), grains], [neck(0.04), darkGrains], { ...COPPER, hydrogenAnneal: true }),
    verdict: "undetermined",
    fires: ["R68", "R72", "R76"],
  },
  {
    name: "strong steel after acid, delayed, bright thumbnail and side cracks",
    given: both(
      { ...STEEL, strengthMPa: 1700, pickled: true, delayedH: 12 },
      neck(0.1),
      present("bright_facets"),
      present("secondary_crack", { count: 4 }),
    ),
    verdict: "hydrogen_damage",
    fires: ["R70"],
  },
  {
    name: "a split with acid history and delay, no test",
    given: both({ ...STEEL, pickled: true, delayedH: 48 }, neck(0.1), split, absent("longitudinal_line")),
    verdict: "undetermined",
    fires: ["R65", "R66"],
    asks: ["bake-and-retest", "torsion-test"],
  },
  {
    name: "season cracking: a lengthwise crack with stain and branches",
    given: both(
      { metal: "copper", grade: "brass CuZn37" },
      neck(0.1),
      split,
      present("face_deposit", { area_fraction: 0.5, colour: "black", removed_by_clean: false }),
      present("secondary_crack", { count: 4, branched: true }),
    ),
    verdict: "corrosion_scc",
    fires: ["R65", "R73"],
  },
  {
    name: "a melt bead on one end, a normal fracture on the other",
    given: ends([bead], [neck(0.9), present("fibrous_zone", { diameter_over_D: 0.5 })], COPPER),
    verdict: "undetermined",
    fires: ["R75"],
    asks: ["under-the-bead", "arc-log"],
  },
  {
    name: "a melt bead on one end with coarse grains behind it",
    given: ends(
      [present("melt_bead", { bead_d_ratio: 1.4, coarse_grains: true })],
      [neck(0.9), absent("melt_bead")],
      COPPER,
    ),
    verdict: "overheated",
    fires: ["R74"],
  },
  {
    name: "a melt bead on the one end that is left",
    given: observed([end("machine", bead), lost("spool")], COPPER),
    verdict: "undetermined",
    fires: ["R75"],
  },
  {
    name: "diameters that differ, read from the outlines",
    given: ends(
      [present("wire_outline", { d0_mm: 2.3 }), ...burstMachine],
      [present("wire_outline", { d0_mm: 2.05 }), neck(0.1), hole()],
      COPPER,
    ),
    verdict: "undetermined",
    fires: ["R09"],
  },
  {
    name: "faces that do not mate",
    given: ends(burstMachine, [neck(0.1), hole()], { ...COPPER, mate: "no" }),
    verdict: "undetermined",
    fires: ["R09"],
    asks: ["ends-belong"],
  },
  {
    name: "faces that a machine read not to fit stop nothing: the reading is a note",
    given: ends(burstMachine, [neck(0.1), hole()], { ...COPPER, mate: "yes", mateReading: "do-not-fit" }),
    verdict: "central_burst",
    fires: ["R02", "R109"],
  },
  {
    name: "faces that a machine read to fit do not overrule the judgement of a person",
    given: ends(burstMachine, [neck(0.1), hole()], { ...COPPER, mate: "no", mateReading: "belong-together" }),
    verdict: "undetermined",
    fires: ["R09", "R110"],
  },
  {
    name: "a rubbed patch in steel with side cracks, nothing tested",
    given: both(
      STEEL,
      neck(0.2),
      present("bright_patch"),
      present("surface_crack", { count: 4 }),
      present("secondary_crack", { count: 3 }),
      skinStart,
    ),
    verdict: "undetermined",
    fires: ["R48", "R82"],
    asks: ["transverse-section", "bake-and-retest"],
  },
  {
    name: "the same patch with a white hard layer",
    given: both(
      { ...STEEL, tests: { white_layer: true, surface_hv: 820 } },
      neck(0.2),
      present("bright_patch"),
      present("surface_crack", { count: 4 }),
      skinStart,
    ),
    verdict: "surface_martensite",
    fires: ["R48", "R49"],
  },
  {
    name: "the same patch with no hard layer",
    given: both(
      { ...STEEL, tests: { white_layer: false } },
      neck(0.2),
      present("bright_patch"),
      present("surface_crack", { count: 4 }),
      skinStart,
    ),
    verdict: "undetermined",
    fires: ["R92"],
  },
  {
    name: "a clean ductile break on the machine end and a hammered take-up end",
    given: ends(ductile, [present("face_damage", { area_fraction: 0.8, kind: "hammered" })], COPPER),
    verdict: "undetermined",
    fires: ["R10"],
    asks: ["clean-damaged-end"],
  },
  {
    name: "a seam beside arrest lines: two starts that do not fit together",
    given: both(STEEL, neck(0.05), arcs, skinStart, seam),
    verdict: "undetermined",
    fires: ["R43", "R59", "R76"],
  },
  {
    name: "fatigue arcs on wire of its first trip",
    given: both({ ...STEEL, firstTrip: true }, neck(0.05), arcs, skinStart),
    verdict: "fatigue",
    fires: ["R62"],
  },
  {
    name: "a section of 100 D without a further chevron",
    given: ends([...burstMachine, absent("chevron", { section_length_d: 120 })], [neck(0.1), hole()], COPPER),
    verdict: "central_burst",
    fires: ["R30"],
  },
  {
    name: "a dendritic hole and a third break in one cast",
    given: both(
      { ...COPPER, process: "rod machine, third break in one cast" },
      neck(0.1),
      hole({ depth_d: 0.9, shape: "parallel", wall_texture: "dendritic" }),
    ),
    verdict: "casting_void",
    fires: ["R34", "R41"],
  },
  {
    name: "the neck reading within one standard uncertainty of the limit is grey",
    given: ends(
      [present("neck", { ra_ratio: 0.29 }, { ra_ratio: 0.03 }), ...cone()],
      [present("neck", { ra_ratio: 0.28 }, { ra_ratio: 0.03 }), hole()],
      COPPER,
    ),
    verdict: "undetermined",
    fires: ["R28"],
  },
  {
    name: "a wire pulled to breaking after it was taken out",
    given: both({ ...STEEL, tests: { pulled_after_removal: true } }, neck(0.9)),
    verdict: "undetermined",
    fires: ["R78", "R96"],
  },
  { name: "nothing marked at all", given: observed([end("machine"), end("spool")]), verdict: "undetermined" },
];
