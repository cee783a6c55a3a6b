import { ALWAYS, at, type BreakTypePage, look, lookAlike, mixedUp, say } from "./page.ts";

export const CASTING_VOID: BreakTypePage = {
  id: "casting_void",
  name: "casting void",
  definition: say(
    "A gas or shrinkage cavity of the casting, stretched by rolling and drawing, left too little metal to carry the draw.",
  ),
  tradeNames: [
    "macroporosity",
    "centre porosity",
    "off-centre porosity",
    "blowhole",
    "pipe",
    "hollow wire",
    "shrinkage",
  ],
  starts: "in the centre or off it, in the casting",
  neck: "little",
  face: "a hole in both ends",
  ends: [
    look(
      "deep-hole",
      "deep hole",
      "A hole, round to oval; walls smooth, lumpy with dendrite tips, or coloured by oxide; no floor as deep as can be seen.",
    ),
    look("deep-hole", "deep hole", "The same: a hole."),
  ],
  sideProfile: [
    say("A thin-walled tube; the ring may neck inward or collapse. RA of the outside is low, 0–25 %."),
    say(
      "Large voids may bulge the skin away from the break: a published copper lead with big cavities showed bulges and had still been drawn without breaking.",
      "cu-conductors",
    ),
  ],
  fractureAngle: [say("The ring breaks square or slanting, 45–90°.")],
  typical: {
    raRatio: { from: 0, to: 0.4 },
    planeAngle: "ring 45–90°",
    hole: "0.3–0.9 D wide, more than 0.5 D deep, parallel, in both ends",
    flankAngle: "not expected",
    lipArc: "0.3–1.0",
    fibrous: "none",
    other: "0–0.5 R off the axis; wall dendritic",
  },
  confirms: [
    say("A hole in both ends, each 0.5 D deep or more."),
    say("The void runs on in the section of both ends."),
    say("A dendritic or oxidised wall: metal that froze freely."),
    say("The same rod or cast breaks this way again."),
  ],
  excludes: [say("A cone on one end."), say("A fibrous floor close to the mouth."), say("The imprint of a particle.")],
  confusions: [
    mixedUp(
      "central_burst",
      "From one end alone the mouth of a void and the cup of a burst look the same.",
      "The other end.",
    ),
    mixedUp(
      "tensile_overload",
      "Two shallow cups are a variant of the ductile break.",
      "Depth and floor: a shallow fibrous floor with a full neck is ductile.",
      "cupfract",
    ),
    mixedUp(
      "inclusion",
      "A particle may have dropped out of both ends.",
      "Texture of the wall, and EDS of the socket.",
    ),
    lookAlike(
      "a row of bursts drawn into one another",
      "Both leave a long hollow.",
      "Section: tapered Vs against a cavity with parallel sides.",
    ),
  ],
  causes: [
    at("material", "Gas in the melt: hydrogen; in copper the balance of oxygen and hydrogen."),
    at("material", "Poor feeding, low mould level, upset cooling, casting too fast."),
    at(
      "drawing",
      "Drawing does not make the void; a large die angle with a small reduction keeps it from closing.",
      "coffin",
    ),
  ],
  notCauses: [],
  corrections: [
    at("material", "Tell the rod supplier cast and coil; set the cast aside."),
    at("material", "Degassing, melt practice, casting speed and cooling."),
    at("drawing", "A heavier first pass, to close it."),
  ],
  tests: [
    say("Longitudinal section of both ends."),
    say("SEM of the wall: a freely frozen surface."),
    say("Density, and X-ray of retained rod."),
    say("Hydrogen and oxygen analysis."),
  ],
  metals: {
    copper: [
      say("Shrinkage on the centre line of continuously cast rod."),
      say("Cuprous oxide lies between the dendrites of tough-pitch metal.", "agh-cast"),
    ],
    aluminium: [say("Hydrogen porosity and oxide films.")],
    steel: [say("Rare after hot rolling; a line of shrinkage or segregation on the axis instead.")],
  },
  background: [
    say(
      "A hole x wide (in D) leaves 1 − x² of the section: 0.3 D raises the stress by a tenth, 0.5 D by a third, 0.7 D to twice. A hole below about 0.3 D seldom breaks wire by itself (arithmetic, no source).",
    ),
  ],
  cautions: [...ALWAYS, "cutting", "etchants"],
  sources: ["wbfa-toc", "cu-conductors", "agh-cast", "coffin", "cupfract"],
};
