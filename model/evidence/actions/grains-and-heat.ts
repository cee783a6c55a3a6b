import { testResult } from "../readings.ts";
import { is, seen, type Sight } from "../sight.ts";
import { isOxideBearingCopper } from "../wire-class.ts";
import type { Weighing } from "../weigh.ts";
import { nothingLearned, outcome, type Action } from "./action.ts";
import { restate, seeOn, seeOnAll, withContext, withTest, wouldMiss, wouldSee } from "./edits.ts";

const grains = (s: Sight) => seen(s, "rock_candy");
const copper = (s: Sight) => s.metal === "copper";
const beadAlone = (w: Weighing) => w.fired.some((f) => f.rule === "R75");
const splits = (s: Sight) => seen(s, "longitudinal_split");

/** Actions about granular faces, hydrogen, splits and melted metal. */
export const GRAIN_AND_HEAT_ACTIONS: readonly Action[] = [
  {
    id: "look-dark-oxide",
    text: () => "Look at the facets under diffuse light: dark and oxidised, or bright and clean.",
    open: (_o, w) => grains(w.sight).some((g) => typeof g.f.measures["dark_oxide"] !== "boolean"),
    outcomes: () => [
      outcome("dark and oxidised", { hot_crack: 0.85, hydrogen_damage: 0.05, corrosion_scc: 0.2 }, 0.1, (o) =>
        restate(o, "rock_candy", { dark_oxide: true }),
      ),
      outcome("bright and clean", { hot_crack: 0.1, hydrogen_damage: 0.9, corrosion_scc: 0.5 }, 0.7, (o) =>
        restate(o, "rock_candy", { dark_oxide: false }),
      ),
    ],
  },
  {
    id: "ask-anneal-atmosphere",
    text: () =>
      "Ask how the copper was annealed or brazed: atmosphere with hydrogen (dissociated ammonia, reducing gas) or not.",
    open: (o, w) => copper(w.sight) && grains(w.sight).length > 0 && o.context.hydrogenAnneal === null,
    outcomes: () => [
      outcome("heated in hydrogen", { hydrogen_damage: 0.95 }, 0.15, (o) => withContext(o, { hydrogenAnneal: true })),
      outcome("no hydrogen", { hydrogen_damage: 0.03 }, 0.85, (o) => withContext(o, { hydrogenAnneal: false })),
    ],
  },
  {
    id: "oxygen-analysis",
    text: (o) =>
      isOxideBearingCopper(o.context) === false
        ? "Have the oxygen content analysed: is it really at or below 10 ppm?"
        : "Have the oxygen content and grade of the copper checked: oxygen-free, deoxidised or tough-pitch.",
    open: (o, w) =>
      copper(w.sight) &&
      testResult(w.sight, "oxygen_analysis") === null &&
      (grains(w.sight).length > 0 || (o.context.hydrogenAnneal === true && w.verdict === "undetermined")),
    outcomes: (before) => [
      outcome(
        "above 10 ppm",
        { hydrogen_damage: 0.95 },
        isOxideBearingCopper(before.context) === false ? 0.05 : 0.5,
        (o) => withContext(o, { oxygenPpm: 250, tests: { ...o.context.tests, oxygen_analysis: true } }),
      ),
      outcome("at or below 10 ppm", { hydrogen_damage: 0.02 }, 0.7, (o) =>
        withContext(o, { oxygenPpm: 5, tests: { ...o.context.tests, oxygen_analysis: true } }),
      ),
    ],
  },
  {
    id: "ask-acid-history",
    text: () => "Ask for the acid, plating and corrosion history, and how long after it the wire broke.",
    open: (o, w) =>
      o.context.pickled === null &&
      (grains(w.sight).length > 0 ||
        (w.sight.metal === "steel" &&
          (splits(w.sight).length > 0 ||
            seen(w.sight, "bright_facets").length > 0 ||
            seen(w.sight, "secondary_crack").length > 0))),
    outcomes: () => [
      outcome("acid or plating, delayed break", { hydrogen_damage: 0.7, corrosion_scc: 0.3 }, 0.1, (o) =>
        withContext(o, { pickled: true, delayedH: 24 }),
      ),
      outcome("none", { hydrogen_damage: 0.1 }, 0.7, (o) => withContext(o, { pickled: false })),
      nothingLearned("no record", 0.2),
    ],
  },
  {
    id: "section-boundaries",
    care: "etching",
    text: () =>
      "Polished section across the granular zone at 75–200×: oxide scale in the cracks, clean void chains on the boundaries, or branched attack.",
    open: (_o, w) =>
      grains(w.sight).length > 0 &&
      (testResult(w.sight, "void_chains") === null || !copper(w.sight)) &&
      testResult(w.sight, "oxide_in_cracks") === null,
    outcomes: (_o, w) => [
      ...(copper(w.sight)
        ? [
            outcome("chains of clean voids", { hydrogen_damage: 0.9 }, 0.02, (o) =>
              withTest(o, { void_chains: true, oxide_in_cracks: false }),
            ),
          ]
        : []),
      outcome("oxide scale in the cracks", { hot_crack: 0.9, overheated: 0.2 }, 0.03, (o) =>
        withTest(o, { oxide_in_cracks: true, void_chains: false }),
      ),
      outcome("branched attack with product", { corrosion_scc: 0.85 }, 0.02, (o) =>
        seeOnAll(o, [
          wouldSee("face_deposit", { removed_by_clean: false }),
          wouldSee("secondary_crack", { branched: true, count: 3 }),
        ]),
      ),
      outcome(
        "none of these",
        { hydrogen_damage: copper(w.sight) ? 0.1 : 0.9, hot_crack: 0.1, corrosion_scc: 0.1 },
        0.8,
        (o) => withTest(o, { oxide_in_cracks: false, void_chains: false }),
      ),
    ],
  },
  {
    id: "eds-film",
    text: () => "EDS of the facets: a film of lead, bismuth or sulphur, corrosion product, or clean metal.",
    open: (_o, w) => grains(w.sight).length > 0 && testResult(w.sight, "eds_lead_bismuth") === null,
    outcomes: () => [
      outcome("a low-melting film", { hot_crack: 0.6 }, 0.02, (o) => withTest(o, { eds_lead_bismuth: true })),
      outcome("no film", { hot_crack: 0.4 }, 0.95, (o) => withTest(o, { eds_lead_bismuth: false })),
    ],
  },
  {
    id: "b577-test",
    care: "heating",
    text: () => "Have the copper tested for cuprous oxide and hydrogen embrittlement (ASTM B577).",
    open: (_o, w) => copper(w.sight) && grains(w.sight).length > 0 && testResult(w.sight, "void_chains") === null,
    outcomes: () => [
      outcome("it opens at the grain boundaries", { hydrogen_damage: 0.95 }, 0.2, (o) =>
        withTest(o, { void_chains: true, oxygen_analysis: true }),
      ),
      outcome("it stays sound", { hydrogen_damage: 0.05 }, 0.8, (o) =>
        withTest(o, { void_chains: false, oxygen_analysis: true }),
      ),
    ],
  },
  {
    id: "under-the-bead",
    care: "cutting",
    text: () =>
      "Look under and behind the melt bead, in section if need be: a fracture face under it, or coarse grains behind it. Judge the other end by itself.",
    open: (_o, w) => beadAlone(w),
    outcomes: (_o, w) => {
      const end = w.sight.ends.find((e) => e.present.has("melt_bead"))?.index ?? 0;
      return [
        outcome("coarse grains behind it", { overheated: 0.85 }, 0.05, (o) =>
          seeOn(o, end, [wouldSee("melt_bead", { coarse_grains: true })]),
        ),
        outcome("a fracture face under it: it arced afterwards", { overheated: 0.05 }, 0.7, (o) =>
          seeOn(o, end, [wouldMiss("melt_bead")]),
        ),
        nothingLearned("it cannot be told", 0.2),
      ];
    },
  },
  {
    id: "arc-log",
    text: () => "Read the annealer's log: arc, stop or current peak at the time of the break.",
    open: (_o, w) =>
      testResult(w.sight, "arc_logged") === null &&
      (beadAlone(w) || (seen(w.sight, "melt_bead").length > 0 && w.verdict === "undetermined")),
    outcomes: () => [
      outcome("an arc or a stop is logged", { overheated: 0.7 }, 0.2, (o) => withTest(o, { arc_logged: true })),
      outcome("nothing is logged", { overheated: 0.3 }, 0.8, (o) => withTest(o, { arc_logged: false })),
    ],
  },
  {
    id: "torsion-test",
    text: () => "Torsion test of retained wire: square fracture, or does it delaminate along the axis?",
    open: (_o, w) =>
      splits(w.sight).length > 0 && w.sight.metal === "steel" && testResult(w.sight, "torsion_delaminates") === null,
    outcomes: () => [
      outcome("it delaminates", { longitudinal_split: 0.8, hydrogen_damage: 0.2 }, 0.05, (o) =>
        withTest(o, { torsion_delaminates: true }),
      ),
      outcome("square fracture", { longitudinal_split: 0.2 }, 0.9, (o) => withTest(o, { torsion_delaminates: false })),
    ],
  },
  {
    id: "split-oxide",
    care: "cutting",
    text: () => "Section across the split: oxide or a decarburised rim in it (a seam), or clean through the axis.",
    open: (_o, w) =>
      splits(w.sight).length > 0 &&
      w.sight.live.some((e) => !e.marked.has("longitudinal_line")) &&
      seen(w.sight, "longitudinal_line", (f) => is(f, "oxide")).length === 0,
    outcomes: () => [
      outcome("oxide in it", { surface_defect: 0.8 }, 0.03, (o) =>
        seeOnAll(o, [
          wouldSee("origin", { r_over_R: 1 }),
          wouldSee("longitudinal_line", {
            length_d: 30,
            runs_past_break: true,
            same_clock_both_ends: true,
            oxide: true,
          }),
        ]),
      ),
      outcome("clean through the axis", { surface_defect: 0.05 }, 0.9, (o) =>
        seeOnAll(restate(o, "longitudinal_split", { through_axis: true }), [wouldMiss("longitudinal_line")]),
      ),
    ],
  },
];
