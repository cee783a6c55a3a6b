import { ALWAYS, at, type BreakTypePage, look, lookAlike, mixedUp, say } from "./page.ts";

export const OVERHEATED: BreakTypePage = {
  id: "overheated",
  name: "burnt, arced, overheated",
  definition: say("Local heat softened, melted or coarsened the wire."),
  tradeNames: ["burnt wire", "molten end", "arc burn", "spark", "blown grain"],
  starts: "at a hot spot",
  neck: "odd",
  face: "bead, melt, coarse grains, colours",
  ends: [
    look("bead", "bead or drop", "A bead, drop or pitted melt, or coarse bright grains."),
    look("bead", "bead, or plain break", "The same, or a plain break: one end or both may be melted."),
  ],
  sideProfile: [say("A bead 1.1–2 D, a halo of heat tint, orange peel, a very soft neck.")],
  fractureAngle: [say("Any; a melt has no fracture.")],
  typical: {
    raRatio: null,
    planeAngle: "any",
    hole: "none",
    flankAngle: "not expected",
    lipArc: "not expected",
    fibrous: "none",
    other: "bead 1.1–2 D",
  },
  confirms: [
    say("A bead with a frozen surface or shrink pits."),
    say("Coarse grains in the section."),
    say("Colours; arc spots on the skin."),
    say("The log of the machine: annealer current.", "cu-conductors"),
  ],
  excludes: [say("A clean, cold-worked surface with a fibrous break.")],
  confusions: [
    mixedUp("weld_break", "Both carry colours.", "The joint log, and a symmetrical plane."),
    mixedUp("tensile_overload", "A soft spot necks.", "Grain size in the section."),
    lookAlike(
      "a bead made after the break",
      "The whipping end may arc in the annealer.",
      "Whether only one end is melted, and a fracture face lies under it.",
    ),
  ],
  causes: [
    at("machine", "Contact rolls of the annealer, arcing."),
    at("machine", "A stopped line under current, a short circuit."),
    at("process", "A torch."),
    at("service", "Too much current through a reduced section.", "cu-conductors"),
  ],
  notCauses: [],
  corrections: [
    at("machine", "Contact rolls; current coupled to speed."),
    at("machine", "Tension in the annealer; electrics."),
  ],
  tests: [say("Section and grain size (ISO 2624 or ASTM E112, from memory)."), say("Hardness along the axis.")],
  metals: {
    copper: [say("On annealers.")],
    aluminium: [say("On annealers.")],
    steel: [say("Martensite beside the melt.")],
  },
  background: [],
  cautions: [...ALWAYS, "cutting", "etchants"],
  sources: ["wbfa-toc", "cu-conductors"],
};
