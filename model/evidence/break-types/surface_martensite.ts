import { ALWAYS, at, type BreakTypePage, look, lookAlike, mixedUp, say } from "./page.ts";

export const SURFACE_MARTENSITE: BreakTypePage = {
  id: "surface_martensite",
  name: "friction martensite (steel)",
  definition: say(
    "Rubbing heated the skin of steel until it transformed; the core quenched it to a hard, brittle layer that cracks. A published case: lubrication failed locally on rod drawn from 27 to 26 mm.",
    "metallo-mart",
  ),
  tradeNames: ["friction martensite", "rub burn", "white layer", "white etching layer", "slip burn"],
  starts: "in a bright hard patch of the skin",
  neck: "none to low",
  face: "thumbnail cracks under a patch",
  ends: [
    look(
      "thumbnail",
      "thumbnail under a patch",
      "A bright thumbnail or crescent start at the skin, under a shiny patch; the rest fibrous or radial.",
      "metallo-mart",
    ),
    look("thumbnail", "the rest of the patch", "The same start; each end carries half of the patch."),
  ],
  sideProfile: [say("A shiny, bluish, scuffed patch with fine cracks across it; RA 20 % or less.")],
  fractureAngle: [say("80–90° at the start.")],
  typical: {
    raRatio: { from: 0.1, to: 0.6 },
    planeAngle: "80–90° at the start",
    hole: "none",
    flankAngle: "not expected",
    lipArc: "0.3–0.8",
    fibrous: "0.2–0.7 D",
    other: "patch above 700 HV; thumbnail 0.02–0.2 D deep",
  },
  confirms: [
    say("A white layer after etching."),
    say("Micro-hardness above about 700 HV, against 350–550 HV of the body (from memory)."),
    say("The thumbnail is as deep as the layer."),
  ],
  excludes: [say("Copper and aluminium: they form no martensite."), say("No hard layer in the section.")],
  confusions: [
    mixedUp("mechanical_damage", "A nick may be scuffed as well.", "Etch and micro-hardness."),
    mixedUp("surface_defect", "Crow's feet crack across the skin as well.", "Etch and micro-hardness."),
    mixedUp("hydrogen_damage", "It has thumbnails too.", "Etch and micro-hardness."),
    lookAlike(
      "carburised spots of drawing compound on stainless wire",
      "Cracks with carburised spots appear after solution annealing.",
      "Section and etch.",
      "metallo-crack",
    ),
  ],
  causes: [
    at("drawing", "Loss of lubricant.", "metallo-mart"),
    at("machine", "Slip at the capstan, rub on a guide, wire stuck on the block."),
    at("handling", "Rub of a spool flange, blow of a tool."),
    at("machine", "An arc."),
  ],
  notCauses: [],
  corrections: [
    at("drawing", "Lubricant carrier."),
    at("machine", "Capstans and guides; stop slip."),
    at("handling", "Set the length aside."),
  ],
  tests: [say("Transverse section, etch and hardness of the patch.")],
  metals: {
    copper: [say("Does not exist.")],
    aluminium: [say("Does not exist.")],
    steel: [say("From about 0.3 % carbon up.")],
  },
  background: [],
  cautions: [...ALWAYS, "etchants", "cutting"],
  sources: ["metallo-mart", "metallo-crack", "asm11"],
};
