import { rimWasRead, skinStart, slantPlanes, testResult } from "../readings.ts";
import { seen, type Sight } from "../sight.ts";
import type { Observations } from "../observations.ts";
import type { Weighing } from "../weigh.ts";
import { nothingLearned, outcome, type Action, type Outcome } from "./action.ts";
import { restate, seeOnAll, withContext, withTest, wouldMiss, wouldSee } from "./edits.ts";

const gated = (w: Weighing, ...rules: readonly string[]) =>
  w.fired.some((f) => f.bears === "gate" && rules.includes(f.rule));
const steel = (s: Sight) => s.metal === "steel";
const skinSigns = (s: Sight) =>
  seen(s, "bright_patch").length + seen(s, "surface_crack").length + seen(s, "longitudinal_line").length > 0;

const lineAtStart = (o: Observations): Observations =>
  seeOnAll(o, [
    wouldSee("origin", { r_over_R: 1 }),
    wouldSee("longitudinal_line", { length_d: 30, runs_past_break: true, same_clock_both_ends: true }),
  ]);
const nickAtStart = (o: Observations): Observations =>
  seeOnAll(o, [
    wouldSee("origin", { r_over_R: 1 }),
    wouldSee("nick", { at_origin: true, both_ends_match: true, fresh: true }),
  ]);

const rimOutcomes: readonly Outcome[] = [
  outcome("a line that runs on along both ends", { surface_defect: 0.8, torsion: 0.05 }, 0.02, lineAtStart),
  outcome("a nick that matches on both ends", { mechanical_damage: 0.85, surface_martensite: 0.05 }, 0.02, nickAtStart),
  outcome("looked for, no start at the rim", { surface_defect: 0.1, mechanical_damage: 0.05 }, 0.85, (o) =>
    seeOnAll(o, [wouldMiss("longitudinal_line"), wouldMiss("nick")]),
  ),
  nothingLearned("the rim cannot be read", 0.1),
];

/** Nothing so far names a start: no skin start, no band, no particle, no melt. */
const startUnknown = (s: Sight) =>
  skinStart(s).length === 0 &&
  (["weld_band", "particle", "melt_bead", "beach_marks"] as const).every((f) => seen(s, f).length === 0);

/** Actions about the skin: rim, patches, bends, and the record of the line. */
export const SKIN_ACTIONS: readonly Action[] = [
  {
    id: "low-angle-rim",
    text: () => "Turn the wire under low-angle light and look for a line or a nick at the rim, on both ends.",
    open: (_o, w) => slantPlanes(w.sight).length > 0 && skinStart(w.sight).length === 0 && !rimWasRead(w.sight),
    outcomes: () => rimOutcomes,
  },
  {
    id: "search-other-start",
    text: () => "Search the face and the rim for another start: a line, a nick, a joint band.",
    open: (_o, w) =>
      w.sight.live.length > 0 &&
      w.verdict === "undetermined" &&
      startUnknown(w.sight) &&
      slantPlanes(w.sight).length === 0 &&
      !rimWasRead(w.sight),
    outcomes: () => [
      ...rimOutcomes,
      outcome("a joint band on both ends", { weld_break: 0.8 }, 0.02, (o) =>
        seeOnAll(o, [wouldSee("weld_band", { symmetrical: true })]),
      ),
    ],
  },
  {
    id: "transverse-section",
    care: "etching",
    text: (_o, w) =>
      steel(w.sight)
        ? "Transverse section next to the break, nital etch and micro-hardness of the skin: white layer, decarburised seam, or sound."
        : "Transverse section next to the break: depth and oxide of a line or crack at the skin.",
    open: (_o, w) =>
      (skinSigns(w.sight) || slantPlanes(w.sight).length > 0) &&
      (steel(w.sight) ? testResult(w.sight, "white_layer") === null : w.verdict === "undetermined") &&
      seen(w.sight, "longitudinal_line", (f) => f.measures["oxide"] === true || f.measures["decarb"] === true)
        .length === 0,
    outcomes: (_o, w) => [
      ...(steel(w.sight)
        ? [
            outcome(
              "a white layer above 700 HV",
              { surface_martensite: 0.9, mechanical_damage: 0.05 },
              0.02,
              (o: Observations) =>
                withContext(seeOnAll(o, [wouldSee("bright_patch", { hv: 800 })]), {
                  tests: { ...o.context.tests, white_layer: true, surface_hv: 800 },
                }),
            ),
          ]
        : []),
      outcome("a line with oxide or a decarburised rim", { surface_defect: 0.6 }, 0.02, (o) =>
        restate(lineAtStart(o), "longitudinal_line", { oxide: true, decarb: true }),
      ),
      outcome("no layer, no line", { surface_martensite: 0.05, surface_defect: 0.35 }, 0.9, (o) =>
        steel(w.sight)
          ? withTest(seeOnAll(o, [wouldMiss("longitudinal_line")]), { white_layer: false })
          : seeOnAll(o, [wouldMiss("longitudinal_line")]),
      ),
    ],
  },
  {
    id: "bend-set-check",
    text: () => "Check both ends for a bend set in one plane, side view at 0° and 90°.",
    open: (_o, w) =>
      w.sight.live.length > 0 &&
      w.sight.live.every((e) => !e.marked.has("bend_set")) &&
      (slantPlanes(w.sight).length > 0 || gated(w, "R61", "R82")),
    outcomes: () => [
      outcome("bent on both ends in one plane", { bending: 0.9, mechanical_damage: 0.1 }, 0.03, (o) =>
        seeOnAll(o, [wouldSee("bend_set", { bend_angle_deg: 25, both_ends: true, lip_on_inside: true })]),
      ),
      outcome("straight", { bending: 0.1 }, 0.9, (o) => seeOnAll(o, [wouldMiss("bend_set")])),
    ],
  },
  {
    id: "bake-and-retest",
    care: "heating",
    text: () => "Bake a retained piece and repeat the tensile or bend test: does the ductility return?",
    open: (o, w) =>
      steel(w.sight) &&
      testResult(w.sight, "bake_recovers") === null &&
      o.context.pickled !== false &&
      (gated(w, "R82") ||
        (["longitudinal_split", "bright_facets", "secondary_crack", "rock_candy"] as const).some(
          (f) => seen(w.sight, f).length > 0,
        )),
    outcomes: () => [
      outcome("it returns", { hydrogen_damage: 0.9, longitudinal_split: 0.05 }, 0.03, (o) =>
        withTest(o, { bake_recovers: true }),
      ),
      outcome("it stays lost", { hydrogen_damage: 0.1 }, 0.9, (o) => withTest(o, { bake_recovers: false })),
    ],
  },
  {
    id: "line-log",
    text: () => "Read the line's log and ask the operator: tension peak, capstan slip or grab, lubricant condition.",
    open: (o, w) => o.context.slipOrGrabLogged === null && w.verdict === "undetermined" && w.sight.live.length > 0,
    outcomes: () => [
      outcome(
        "a peak, slip or grab is logged",
        { tensile_overload: 0.6, surface_martensite: 0.6, surface_defect: 0.3 },
        0.15,
        (o) => withContext(o, { slipOrGrabLogged: true }),
      ),
      outcome("nothing is logged", { tensile_overload: 0.3, surface_martensite: 0.3 }, 0.7, (o) =>
        withContext(o, { slipOrGrabLogged: false }),
      ),
    ],
  },
  {
    id: "sound-pull-slant",
    text: () => "Pull sound wire of the same lot to breaking: does it break slant as well?",
    open: (_o, w) => slantPlanes(w.sight).length > 0 && testResult(w.sight, "sound_breaks_slant") === null,
    outcomes: () => [
      outcome("it breaks slant too", { shear_45: 0.7, tensile_overload: 0.1 }, 0.1, (o) =>
        withTest(o, { sound_breaks_slant: true }),
      ),
      outcome("it does not", { shear_45: 0.3 }, 0.9, (o) => withTest(o, { sound_breaks_slant: false })),
    ],
  },
];
