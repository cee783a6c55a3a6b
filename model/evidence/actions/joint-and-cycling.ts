import { flatPlanes, jointBand, testResult, withoutNeck } from "../readings.ts";
import { seen, type Sight } from "../sight.ts";
import type { Weighing } from "../weigh.ts";
import { nothingLearned, outcome, type Action } from "./action.ts";
import { seeOnAll, withContext, withTest, wouldMiss, wouldSee } from "./edits.ts";

const flat = (s: Sight) => flatPlanes(s).length > 0 && withoutNeck(s) !== "no";
const arcsInQuestion = (s: Sight) =>
  seen(s, "beach_marks").length > 0 ||
  s.disputed.some((d) => d.feature === "beach_marks" || d.feature === "ratchet_marks");
const undecided = (w: Weighing) => w.verdict === "undetermined";
const inService = (w: Weighing) =>
  /\b(service|rope|strand|cable|stranding)\b/i.test(`${w.sight.context.process ?? ""} ${w.sight.context.grade ?? ""}`);

/** Actions about joints, twist and cycling. */
export const JOINT_AND_CYCLING_ACTIONS: readonly Action[] = [
  {
    id: "weld-log",
    text: () => "Read the weld log: is a joint recorded within a metre of the break?",
    open: (o, w) =>
      o.context.weldLogDistanceM === null &&
      o.context.weldLogClear === null &&
      (flat(w.sight) || jointBand(w.sight).length > 0) &&
      undecided(w),
    outcomes: () => [
      outcome("a joint within a metre", { weld_break: 0.85 }, 0.02, (o) => withContext(o, { weldLogDistanceM: 0.5 })),
      outcome("no joint in the coil", { weld_break: 0.1 }, 0.8, (o) => withContext(o, { weldLogClear: true })),
      nothingLearned("the log is incomplete", 0.15),
    ],
  },
  {
    id: "weld-section",
    care: "etching",
    text: () =>
      "Section along the axis with etch and hardness traverse: grain change, spheroidised cementite, oxide across the plane, or sound structure.",
    open: (_o, w) =>
      ["grain_change", "spheroidised", "oxide_on_plane", "section_sound"].every(
        (key) => testResult(w.sight, key) === null,
      ) &&
      (jointBand(w.sight).length > 0 || seen(w.sight, "heat_tint").length > 0 || flat(w.sight)),
    outcomes: () => [
      outcome("the structure of a joint", { weld_break: 0.9, overheated: 0.2 }, 0.02, (o) =>
        withTest(o, { grain_change: true }),
      ),
      outcome("sound structure", { weld_break: 0.1, overheated: 0.2 }, 0.9, (o) =>
        withTest(o, { section_sound: true }),
      ),
    ],
  },
  {
    id: "draw-lines",
    text: () =>
      "Photograph the draw lines of both ends in side view, up to the break: parallel to the axis, or a helix.",
    open: (_o, w) =>
      w.sight.live.length > 0 &&
      w.sight.live.every((e) => !e.marked.has("twist_lines")) &&
      (flat(w.sight) || seen(w.sight, "swirl").length > 0 || seen(w.sight, "longitudinal_split").length > 0),
    outcomes: () => [
      outcome("a helix of one hand on both ends", { torsion: 0.95 }, 0.02, (o) =>
        seeOnAll(o, [wouldSee("twist_lines", { helix_angle_deg: 12, hand: "left" })]),
      ),
      outcome("parallel to the axis", { torsion: 0.03 }, 0.95, (o) =>
        seeOnAll(o, [wouldSee("twist_lines", { helix_angle_deg: 0 })]),
      ),
    ],
  },
  {
    id: "sem",
    text: (_o, w) =>
      arcsInQuestion(w.sight)
        ? "SEM of the arcs: striations of a growing crack, or marks of the pull."
        : "SEM of the flat zone: striations, grain facets, dimples or swirl.",
    open: (_o, w) =>
      testResult(w.sight, "sem_striations") === null && (flat(w.sight) || arcsInQuestion(w.sight)) && undecided(w),
    outcomes: (_o, w) => [
      outcome("striations", { fatigue: 0.8 }, 0.01, (o) => withTest(o, { sem_striations: true })),
      outcome("no striations", { fatigue: 0.2 }, 0.9, (o) => {
        const tested = withTest(o, { sem_striations: false });
        const disputed = w.sight.disputed.map((d) => d.feature);
        return disputed.length === 0 ? tested : seeOnAll(tested, disputed.map(wouldMiss));
      }),
    ],
  },
  {
    id: "ask-cycling",
    text: () => "Ask whether the wire had been flexed or cycled before, or was on its first trip through the machine.",
    open: (o, w) => o.context.firstTrip === null && (flat(w.sight) || arcsInQuestion(w.sight)) && undecided(w),
    outcomes: () => [
      outcome("first trip", { fatigue: 0.03 }, 0.6, (o) => withContext(o, { firstTrip: true })),
      outcome("it had been cycled", { fatigue: 0.9 }, 0.4, (o) => withContext(o, { firstTrip: false })),
    ],
  },
  {
    id: "ask-pulled-after",
    text: () => "Ask whether the wire was pulled to breaking after it was taken out.",
    open: (_o, w) =>
      testResult(w.sight, "pulled_after_removal") === null && arcsInQuestion(w.sight) && withoutNeck(w.sight) === "no",
    outcomes: () => [
      outcome("it was pulled afterwards", { fatigue: 0.7, tensile_overload: 0.2 }, 0.3, (o) =>
        withTest(o, { pulled_after_removal: true }),
      ),
      outcome("it was not", { fatigue: 0.2, tensile_overload: 0.8 }, 0.6, (o) =>
        withTest(o, { pulled_after_removal: false }),
      ),
    ],
  },
  {
    id: "other-wires",
    text: () =>
      "Look at the other wires of the rope or strand: flat faces of earlier fatigue cracks, or ductile breaks only.",
    open: (_o, w) =>
      testResult(w.sight, "other_wires_fatigue") === null &&
      (arcsInQuestion(w.sight) || (flat(w.sight) && undecided(w))) &&
      inService(w),
    outcomes: () => [
      outcome("others carry fatigue cracks", { fatigue: 0.75 }, 0.15, (o) =>
        withTest(o, { other_wires_fatigue: true }),
      ),
      outcome("only ductile breaks", { fatigue: 0.25 }, 0.85, (o) => withTest(o, { other_wires_fatigue: false })),
    ],
  },
];
