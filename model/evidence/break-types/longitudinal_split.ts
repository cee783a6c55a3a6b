import { ALWAYS, at, type BreakTypePage, look, mixedUp, say } from "./page.ts";

export const LONGITUDINAL_SPLIT: BreakTypePage = {
  id: "longitudinal_split",
  name: "splitting along the wire, delamination",
  definition: say("The wire parts along planes that hold its axis."),
  tradeNames: ["split wire", "delamination (twist)", "woody fracture", "spiral split", "straw"],
  starts: "on a plane along the axis",
  neck: "none",
  face: "split along the wire, woody",
  ends: [
    look("split", "slit or broom", "Slit, forked, or a fibrous broom; the face rises and falls in long steps."),
    look("split", "the same", "The same, or the split running on."),
  ],
  sideProfile: [
    say("A split that runs 3 D or more past the break, straight or spiral; RA low, or not to be measured."),
  ],
  fractureAngle: [say("0–20° to the axis.")],
  typical: {
    raRatio: { from: 0, to: 0.3 },
    planeAngle: "0–20°",
    hole: "a slit",
    flankAngle: "not expected",
    lipArc: "not expected",
    fibrous: "not expected",
    other: "split 3 D or longer",
  },
  confirms: [
    say("A split on both ends, or running on in the section.", "tanaka2020", "delam2018"),
    say("No oxide in it, and no sign of hydrogen."),
    say("The torsion test delaminates again."),
  ],
  excludes: [say("A split with oxide and a decarburised rim: that is a seam.")],
  confusions: [
    mixedUp(
      "surface_defect",
      "A seam is a line along the wire as well.",
      "Oxide or decarburisation in the section; a seam reaches in from the skin, a split passes through the centre.",
    ),
    mixedUp("hydrogen_damage", "Hydrogen can split wire.", "Bake and test again.", "mukho"),
  ],
  causes: [
    at("drawing", "Steel: drawn too far; ran hot, so that it aged as it strained."),
    at("process", "Wrong patenting."),
    at("material", "Segregation."),
    at(
      "drawing",
      "Delaminated wires at a drawing strain of about 2.5 had less aligned pearlite; annealing at 673 K cured them in the laboratory.",
      "delam2018",
    ),
    at("process", "Ageing at 423 K turned the torsion break from square to lengthwise.", "tanaka2020"),
    at("process", "Hydrogen, in one 4 mm case.", "mukho"),
  ],
  notCauses: [],
  corrections: [
    at("drawing", "Cooler running, a lower total reduction."),
    at("process", "Patenting; no ageing; a relaxation anneal."),
    at("process", "Less uptake of hydrogen.", "mukho"),
  ],
  tests: [say("Torsion test, and the form of its fracture.", "iso7800"), say("Section."), say("Hydrogen analysis.")],
  metals: {
    copper: [say("Rare.")],
    aluminium: [say("Hard alloys with stringers.")],
    steel: [say("High-carbon wire.", "tors-duct")],
  },
  background: [],
  cautions: [...ALWAYS, "cutting"],
  sources: ["delam2018", "tanaka2020", "mukho", "tors-duct", "iso7800"],
};
