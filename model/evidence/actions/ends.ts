import { num } from "../sight.ts";
import type { ObservedFeature, Observations } from "../observations.ts";
import type { Weighing } from "../weigh.ts";
import { nothingLearned, outcome, type Action, type Outcome } from "./action.ts";
import { dropEnd, recover, seeOnAll, withContext, wouldMiss, wouldSee } from "./edits.ts";

const ROLE_WORDS = { machine: "machine end", spool: "take-up end", unknown: "other end" } as const;

const lostEnd = (w: Weighing) => w.sight.ends.find((e) => e.status === "not-recovered");
const damagedEnd = (w: Weighing) => w.sight.ends.find((e) => e.status === "not-assessable");
const unmarkedEnd = (w: Weighing) => w.sight.ends.find((e) => e.status === "unmarked");
const gated = (w: Weighing, ...rules: readonly string[]) =>
  w.fired.some((f) => f.bears === "gate" && rules.includes(f.rule));

/** What the partner of an end could show, given what that end shows. */
function partnerOutcomes(o: Observations, w: Weighing, index: number, vain: number): readonly Outcome[] {
  const known = w.sight.ends[index === 0 ? 1 : 0];
  const features = (o.ends[1 - index]?.features ?? []).filter((f) => f.feature !== "face_damage");
  const keep = features.filter((f) => f.feature === "wire_outline" || f.feature === "neck");
  const hole = known.present.get("end_hole")?.[0];
  const flank = known.present.get("cone_flank")?.[0];
  const size = (f: ObservedFeature | undefined, key: string) => (f === undefined ? 0.6 : (num(f, key) ?? 0.6));
  const cone = (base: number) => [
    ...keep,
    wouldSee("cone_apex", { apex_offset_ratio: 0.05 }),
    wouldSee("cone_flank", { flank_angle_deg: 43, cone_base_over_D: base, flank_texture: "granular" }),
    wouldMiss("fibrous_zone"),
  ];
  const cavity = (d: number, depth: number, wall: string) => [
    ...keep,
    wouldSee("end_hole", {
      hole_d_over_D: d,
      depth_d: depth,
      wall_texture: wall,
      shape: wall === "dendritic" ? "parallel" : "conical",
    }),
  ];
  const inPlace = wouldSee("particle", {
    size_over_D: size(hole, "hole_d_over_D"),
    present_after_clean: true,
    r_over_R: 0.1,
  });
  const vainly = nothingLearned("it cannot be read or found", vain);
  if (hole !== undefined)
    return [
      outcome("it carries a cone that fits", { central_burst: 0.9, casting_void: 0.03, inclusion: 0.05 }, 0.02, (b) =>
        recover(b, index, cone(size(hole, "hole_d_over_D"))),
      ),
      outcome(
        "it has a hole as well",
        { casting_void: 0.9, central_burst: 0.03, tensile_overload: 0.3, inclusion: 0.15 },
        0.02,
        (b) =>
          recover(b, index, cavity(size(hole, "hole_d_over_D"), Math.max(1, num(hole, "depth_d") ?? 1), "dendritic")),
      ),
      outcome("a particle sits on it", { inclusion: 0.7 }, 0.02, (b) => recover(b, index, [...keep, inPlace])),
      outcome("it shows neither hole nor cone", { tensile_overload: 0.3 }, 0.3, (b) =>
        recover(b, index, [
          ...keep,
          wouldMiss("end_hole"),
          wouldMiss("cone_apex"),
          wouldSee("fracture_plane", { profile: "flat" }),
        ]),
      ),
      vainly,
    ];
  if (known.kind === "cone")
    return [
      outcome("it has a hollow that fits", { central_burst: 0.9, inclusion: 0.1 }, 0.03, (b) =>
        recover(b, index, cavity(size(flank, "cone_base_over_D"), 0.4, "granular")),
      ),
      outcome("it is drawn to a point too", { tensile_overload: 0.6 }, 0.05, (b) =>
        recover(b, index, cone(size(flank, "cone_base_over_D"))),
      ),
      vainly,
    ];
  return [
    outcome(
      "it mirrors the first end",
      { tensile_overload: 0.8, central_burst: 0.1, casting_void: 0.3, inclusion: 0.3 },
      0.8,
      (b) => recover(b, index, features),
    ),
    outcome("it has a socket or a hole", { inclusion: 0.5, casting_void: 0.4, central_burst: 0.3 }, 0.03, (b) =>
      recover(b, index, cavity(0.4, 0.3, "particle_imprint")),
    ),
    vainly,
  ];
}

/** Both ends' measures of size agree after all: the gate on their difference is lifted. */
const neighbours = (o: Observations): Observations => {
  const [first] = o.ends;
  const outline = first?.features.find((f) => f.feature === "wire_outline");
  const same = outline === undefined ? o : seeOnAll(o, [outline]);
  return withContext(same, { d0AgreePct: 0, mate: "yes" });
};

/** Actions about the ends themselves: finding, reading and pairing them. */
export const END_ACTIONS: readonly Action[] = [
  {
    id: "find-other-end",
    text: (_o, w) => {
      const end = lostEnd(w);
      const imprint = w.fired.some((f) => f.rule === "R06");
      return `Find the ${ROLE_WORDS[end?.role ?? "unknown"]} and photograph it${imprint ? "; look for a particle on it" : ": hole, cone or particle"}.`;
    },
    open: (_o, w) => lostEnd(w) !== undefined,
    outcomes: (o, w) => partnerOutcomes(o, w, lostEnd(w)?.index ?? 1, 0.3),
  },
  {
    id: "look-at-other-end",
    text: (_o, w) =>
      `Look at the face of the ${ROLE_WORDS[unmarkedEnd(w)?.role ?? "unknown"]} and mark what is seen, or looked for and absent.`,
    open: (_o, w) => unmarkedEnd(w) !== undefined,
    outcomes: (o, w) => partnerOutcomes(o, w, unmarkedEnd(w)?.index ?? 1, 0.1),
  },
  {
    id: "clean-damaged-end",
    text: (_o, w) =>
      `Clean the damaged ${ROLE_WORDS[damagedEnd(w)?.role ?? "unknown"]} gently and photograph it again, tilted under low-angle light.`,
    open: (_o, w) => damagedEnd(w) !== undefined,
    outcomes: (o, w) => partnerOutcomes(o, w, damagedEnd(w)?.index ?? 1, 3),
  },
  {
    id: "next-break",
    text: (_o, w) =>
      gated(w, "R39")
        ? "At the next break keep both ends dry and uncleaned, and photograph them before anything is wiped or washed."
        : "At the next break protect the end that runs through and keep both ends.",
    open: (_o, w) => lostEnd(w) !== undefined || damagedEnd(w) !== undefined || gated(w, "R39"),
    outcomes: (o, w) => {
      const end = lostEnd(w) ?? damagedEnd(w);
      if (end !== undefined) return partnerOutcomes(o, w, end.index, 2);
      return [
        outcome("a particle is in place, photographed before cleaning", { inclusion: 0.8 }, 0.03, (b) =>
          seeOnAll(b, [wouldSee("particle", { size_over_D: 0.35, present_after_clean: true, r_over_R: 0.3 })]),
        ),
        outcome("the uncleaned face carries no particle", { inclusion: 0.2 }, 0.8, (b) =>
          seeOnAll(b, [wouldMiss("particle")]),
        ),
        nothingLearned("no further break", 1),
      ];
    },
  },
  {
    id: "ends-belong",
    text: () =>
      "Confirm that both ends belong to one break: bag labels, numbers, and whether the faces mate in the photographs.",
    open: (_o, w) => gated(w, "R08", "R09", "R81"),
    outcomes: () => [
      outcome("they belong together", { central_burst: 1, tensile_overload: 1 }, 1, neighbours),
      outcome("one end belongs to another break", {}, 1, (o) => dropEnd(o, 1)),
    ],
  },
  {
    id: "missing-piece",
    text: () => "Look for a missing piece between the two ends, in the machine and in the bag.",
    open: (_o, w) => gated(w, "R08", "R09"),
    outcomes: () => [
      outcome("the piece is found and the faces pair up", { central_burst: 0.5 }, 0.3, (o) =>
        dropEnd(neighbours(o), 1),
      ),
      nothingLearned("nothing is found", 0.7),
    ],
  },
  {
    id: "check-die-list",
    text: () => "Check the two wire sizes against the die list: neighbouring sizes of the machine, or not.",
    open: (_o, w) => gated(w, "R09"),
    outcomes: () => [
      outcome("the sizes are one pass apart: two breaks", {}, 0.6, (o) => dropEnd(o, 1)),
      outcome("one size was read wrongly", {}, 0.3, neighbours),
      nothingLearned("the list does not tell", 0.3),
    ],
  },
  {
    id: "rephotograph-faces",
    text: (_o, w) => {
      const arcs = w.sight.disputed.some((d) => d.feature === "beach_marks");
      return arcs
        ? "Photograph both faces again under low-angle light, with the side view: do the arrest lines sit at the start or at the neck, and are they on both faces?"
        : "Photograph both faces again at the same magnification and light: is the disputed feature on both?";
    },
    open: (_o, w) => gated(w, "R81"),
    outcomes: (_o, w) => {
      const both = w.sight.disputed.flatMap((d) => d.seen.slice(0, 1).map((x) => x.f));
      const names = w.sight.disputed.map((d) => d.feature);
      return [
        outcome(
          "it is on both faces, at the start",
          { fatigue: 0.8, weld_break: 0.7, hot_crack: 0.6, torsion: 0.7 },
          0.2,
          (b) => seeOnAll(b, both),
        ),
        outcome("it is on neither, a mark of the pull", { tensile_overload: 0.8, fatigue: 0.1 }, 0.5, (b) =>
          seeOnAll(b, [...names, "origin" as const].map(wouldMiss)),
        ),
        nothingLearned("it still cannot be told", 0.3),
      ];
    },
  },
];
