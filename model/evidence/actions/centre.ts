import { centreInPlay, particles, sockets, testResult } from "../readings.ts";
import { is, num, seen, type Sight } from "../sight.ts";
import type { Observations } from "../observations.ts";
import type { Weighing } from "../weigh.ts";
import { nothingLearned, outcome, type Action, type Outcome } from "./action.ts";
import { restate, seeOn, seeOnAll, withContext, withRatio, withTest, wouldMiss, wouldSee } from "./edits.ts";

const holes = (s: Sight) => seen(s, "end_hole");
const hasCone = (s: Sight) => seen(s, "cone_apex").length + seen(s, "cone_flank").length > 0;
const loose = (s: Sight) => s.ends.flatMap((e) => e.loose);
const gated = (w: Weighing, ...rules: readonly string[]) =>
  w.fired.some((f) => f.bears === "gate" && rules.includes(f.rule));
const sectionSeen = (s: Sight) =>
  s.ends.some((e) => e.marked.has("chevron")) || holes(s).some((h) => is(h.f, "runs_past_break"));

/** What a measured reduction of area could be, by type (typical ranges of the type table). */
const ratioOutcomes = (vain: number): readonly Outcome[] => [
  outcome(
    "full necking",
    {
      tensile_overload: 0.9,
      weld_break: 0.3,
      inclusion: 0.15,
      surface_defect: 0.1,
      mechanical_damage: 0.15,
      overheated: 0.3,
    },
    0.03,
    (o) => withRatio(o, 0.9),
  ),
  outcome(
    "little necking",
    {
      tensile_overload: 0.03,
      central_burst: 0.9,
      casting_void: 0.8,
      inclusion: 0.5,
      surface_defect: 0.5,
      mechanical_damage: 0.3,
      shear_45: 0.6,
    },
    0.9,
    (o) => withRatio(o, 0.12),
  ),
  outcome(
    "between",
    {
      tensile_overload: 0.1,
      central_burst: 0.1,
      inclusion: 0.4,
      surface_defect: 0.4,
      mechanical_damage: 0.6,
      shear_45: 0.4,
    },
    0.15,
    (o) => withRatio(o, 0.5),
  ),
  nothingLearned("it cannot be measured", vain),
];

/** What a longitudinal section could show. */
function sectionOutcomes(_o: Observations, w: Weighing): readonly Outcome[] {
  const s = w.sight;
  const hole = holes(s)[0];
  const both = (o: Observations, m: Record<string, number | string | boolean>) =>
    seeOnAll(o, [
      wouldSee("end_hole", { hole_d_over_D: hole === undefined ? 0.5 : (num(hole.f, "hole_d_over_D") ?? 0.5), ...m }),
    ]);
  return [
    outcome("further chevrons", { central_burst: 0.75, inclusion: 0.02 }, 0.01, (o) =>
      seeOn(o, 0, [wouldSee("chevron", { count: 3, section_length_d: 100 })]),
    ),
    ...(hole === undefined
      ? []
      : [
          outcome("a parallel cavity that runs on", { casting_void: 0.85 }, 0.01, (o) =>
            both(o, { depth_d: 2.5, shape: "parallel", wall_texture: "dendritic", runs_past_break: true }),
          ),
        ]),
    ...(hole === undefined
      ? []
      : [
          outcome("the cavity ends close behind the break", { casting_void: 0.1, central_burst: 0.2 }, 0.4, (o) =>
            withTest(seeOn(o, 0, [missingChevron()]), { cavity_short: true }),
          ),
        ]),
    outcome("a particle at the start", { inclusion: 0.6 }, 0.01, (o) =>
      seeOn(o, 0, [wouldSee("particle", { size_over_D: 0.35, present_after_clean: true, r_over_R: 0.1 })]),
    ),
    outcome("the structure of a joint", { weld_break: 0.7 }, 0.01, (o) => withTest(o, { grain_change: true })),
    outcome(
      "a clean core, nothing further",
      { tensile_overload: 0.9, central_burst: 0.2, casting_void: 0.1, weld_break: 0.1 },
      0.6,
      (o) => withTest(seeOn(o, 0, [missingChevron()]), { section_sound: true }),
    ),
  ];
}
const missingChevron = () => wouldSee("chevron", { section_length_d: 100 }, "absent");

/** A socket would sit on the face opposite the particle. */
const socketOutcomes = (w: Weighing): readonly Outcome[] => {
  const opposite = w.sight.ends.find((e) => e.loose.length === 0 && !e.present.has("particle"))?.index ?? 1;
  const socket = wouldSee("end_hole", {
    hole_d_over_D: 0.3,
    depth_d: 0.25,
    shape: "irregular",
    wall_texture: "particle_imprint",
  });
  return [
    outcome("a socket with the print of a particle", { inclusion: 0.7 }, 0.02, (o) => seeOn(o, opposite, [socket])),
    outcome("no socket", { inclusion: 0.2 }, 0.9, (o) => seeOnAll(o, [wouldMiss("end_hole")])),
  ];
};

const particleWords = (s: Sight): string =>
  particles(s).length > 0
    ? "the particle"
    : sockets(s).length > 0
      ? "the socket wall"
      : "the residue, fluid or deposit at the start";

/** Actions about the middle of the break: necking, section, hole wall, flank, particles. */
export const CENTRE_ACTIONS: readonly Action[] = [
  {
    id: "measure-ra",
    text: (_o, w) =>
      w.sight.ra === null
        ? "Measure the reduction of area: side view of both ends, two directions 90° apart."
        : "Confirm the reduction of area on both ends: side views at 0° and 90°.",
    open: (_o, w) =>
      w.sight.live.length > 0 &&
      (w.sight.live.some((e) => e.reduction === null) || w.sight.ra === "grey" || gated(w, "R76")),
    outcomes: () => ratioOutcomes(0.05),
  },
  {
    id: "reference-pull",
    text: () =>
      "Pull a sound piece of the same wire in tension: its reduction of area is the reference, and its strength tells whether the wire was sound.",
    open: (o, w) => o.context.refRaPct === null && w.sight.live.length > 0,
    outcomes: () =>
      ratioOutcomes(0.6).map((x) => ({ ...x, then: (o: Observations) => withContext(x.then(o), { refRaPct: 60 }) })),
  },
  {
    id: "longitudinal-section",
    care: "cutting",
    text: (_o, w) =>
      holes(w.sight).length > 0 || hasCone(w.sight)
        ? "Section both ends on the axis, 50–100 D to each side: further chevrons, a parallel cavity and its length, or a clean core."
        : "Longitudinal section through the start, 50–100 D to each side: chevrons, cavity, particle, joint or a clean core.",
    open: (_o, w) => !sectionSeen(w.sight) && w.sight.live.length > 0,
    outcomes: sectionOutcomes,
  },
  {
    id: "wall-texture",
    text: () =>
      "Look at the wall of the hole at higher magnification: torn, granular, dendritic, oxidised, or the print of a particle.",
    open: (_o, w) =>
      holes(w.sight).some(
        (h) => !["dendritic", "oxidised", "particle_imprint"].includes(String(h.f.measures["wall_texture"])),
      ),
    outcomes: () => [
      outcome("dendritic or oxidised", { casting_void: 0.7 }, 0.02, (o) =>
        restate(o, "end_hole", { wall_texture: "dendritic" }),
      ),
      outcome("the print of a particle", { inclusion: 0.6 }, 0.02, (o) =>
        restate(o, "end_hole", { wall_texture: "particle_imprint" }),
      ),
      outcome("granular or torn", { central_burst: 0.9, casting_void: 0.1, inclusion: 0.3 }, 0.6, (o) =>
        restate(o, "end_hole", { wall_texture: "granular" }),
      ),
    ],
  },
  {
    id: "clean-flank",
    text: () =>
      "Clean the cone flank and photograph it again, tilted: granular to the axis, or fibrous with a flat centre.",
    open: (_o, w) =>
      hasCone(w.sight) &&
      w.verdict === "undetermined" &&
      (gated(w, "R28", "R76") ||
        seen(w.sight, "cone_flank", (f) => ["granular", "fibrous"].includes(String(f.measures["flank_texture"])))
          .length === 0),
    outcomes: (_o, w) => {
      const cone = w.sight.ends.find((e) => e.present.has("cone_apex") || e.present.has("cone_flank"))?.index ?? 0;
      return [
        outcome("granular to the axis", { central_burst: 0.85, tensile_overload: 0.05, inclusion: 0.3 }, 0.1, (o) =>
          seeOnAll(restate(o, "cone_flank", { flank_texture: "granular" }), [
            wouldMiss("fibrous_zone"),
            wouldMiss("shear_lip"),
          ]),
        ),
        outcome("fibrous with a flat centre", { tensile_overload: 0.85, central_burst: 0.05 }, 0.2, (o) =>
          seeOn(restate(o, "cone_flank", { flank_texture: "fibrous" }), cone, [
            wouldSee("fibrous_zone", { diameter_over_D: 0.4 }),
            wouldSee("shear_lip", { lip_arc_fraction: 0.7 }),
          ]),
        ),
        nothingLearned("smeared, it cannot be told", 0.2),
      ];
    },
  },
  {
    id: "look-for-particle",
    text: () =>
      "Look at the tip and the hollow under high magnification, before and after cleaning: a particle or its print.",
    open: (_o, w) =>
      centreInPlay(w.sight) &&
      particles(w.sight).length === 0 &&
      sockets(w.sight).length === 0 &&
      w.sight.live.some((e) => !e.absent.has("particle")) &&
      seen(w.sight, "cone_apex", (f) => f.measures["particle_at_apex"] === false).length === 0,
    outcomes: () => [
      outcome("a particle is in place", { inclusion: 0.8 }, 0.02, (o) =>
        seeOn(o, 0, [wouldSee("particle", { size_over_D: 0.35, present_after_clean: true, r_over_R: 0.1 })]),
      ),
      outcome("looked for, none", { inclusion: 0.15 }, 0.9, (o) => seeOnAll(o, [wouldMiss("particle")])),
    ],
  },
  {
    id: "look-for-socket",
    text: () => "Look for a socket, or the print of a particle, on both faces.",
    open: (_o, w) => (loose(w.sight).length > 0 || particles(w.sight).length > 0) && holes(w.sight).length === 0,
    outcomes: (_o, w) => socketOutcomes(w),
  },
  {
    id: "eds",
    text: (_o, w) => `SEM with EDS of ${particleWords(w.sight)}: elements foreign to the wire, or only fluid and dirt.`,
    open: (_o, w) =>
      testResult(w.sight, "eds_foreign") === null &&
      particles(w.sight).length +
        sockets(w.sight).length +
        loose(w.sight).length +
        seen(w.sight, "face_deposit").length >
        0,
    outcomes: () => [
      outcome("foreign elements", { inclusion: 0.85, casting_void: 0.1, corrosion_scc: 0.2 }, 0.05, (o) =>
        withTest(o, { eds_foreign: true }),
      ),
      outcome("nothing foreign", { inclusion: 0.15 }, 0.9, (o) => withTest(o, { eds_foreign: false })),
    ],
  },
  {
    id: "magnet",
    text: () => "Hold a magnet to the particle or the residue: does it pick it up?",
    open: (_o, w) =>
      (w.sight.metal === "copper" || w.sight.metal === "aluminium") &&
      testResult(w.sight, "magnet") === null &&
      particles(w.sight).length + sockets(w.sight).length + loose(w.sight).length > 0 &&
      particles(w.sight).every((p) => typeof p.f.measures["magnetic"] !== "boolean"),
    outcomes: () => [
      outcome("magnetic", { inclusion: 0.4 }, 0.02, (o) =>
        withTest(restate(o, "particle", { magnetic: true }), { magnet: true }),
      ),
      outcome("not magnetic", { inclusion: 0.6 }, 0.95, (o) =>
        withTest(restate(o, "particle", { magnetic: false }), { magnet: false }),
      ),
    ],
  },
  {
    id: "photograph-then-clean",
    text: () => "Photograph the particle, clean the end, photograph it again: is it still in place?",
    open: (_o, w) => particles(w.sight).some((p) => typeof p.f.measures["present_after_clean"] !== "boolean"),
    outcomes: () => [
      outcome("still in place", { inclusion: 0.9 }, 0.1, (o) =>
        restate(o, "particle", { present_after_clean: true, imaged_before_clean: true }),
      ),
      outcome("gone", { inclusion: 0.1 }, 0.9, (o) => restate(o, "particle", { present_after_clean: false })),
    ],
  },
];
