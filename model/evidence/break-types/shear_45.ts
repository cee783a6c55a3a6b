import { ALWAYS, at, type BreakTypePage, look, lookAlike, mixedUp, say } from "./page.ts";

export const SHEAR_45: BreakTypePage = {
  id: "shear_45",
  name: "shear on one plane",
  definition: say("The whole section slid on one slanting plane, with little neck."),
  tradeNames: ["shear break", "slant break", "bevel break"],
  starts: "across the whole section",
  neck: "low",
  face: "one slanting facet near 45°",
  ends: [
    look("slant", "one slant face", "One slanting face, flat or curved, silky."),
    look("slant", "the other wedge", "The same: the two fit as wedges."),
  ],
  sideProfile: [say("RA ratio below 0.5; a sharp edge.")],
  fractureAngle: [say("35–55° over 80 % of the face or more.")],
  typical: {
    raRatio: { from: 0, to: 0.5 },
    planeAngle: "35–55° over 0.8 of the face or more",
    hole: "none",
    flankAngle: "not expected",
    lipArc: "not expected",
    fibrous: "none",
    other: "",
  },
  confirms: [
    say("A slant on both ends that fit, straight wire, no start at the skin, no notch, no lines.", "rope-guide"),
    say("Sound wire of the same lot also breaks slanting in the tensile test."),
  ],
  excludes: [
    say("A start at a line, nick or band.", "liu2013"),
    say("Helical draw lines."),
    say("RA ratio 0.7 or more: then it is a tension break with a slanting end."),
  ],
  confusions: [
    mixedUp(
      "surface_defect",
      "Inclined breaks come with flaws of the skin.",
      "A line at the rim; transverse section.",
      "liu2013",
    ),
    mixedUp("bending", "Both tilt.", "A permanent bend."),
    mixedUp("tensile_overload", "A tension break may end in a slant.", "Reduction of area."),
    lookAlike("cut by a tool", "A shear cut slants as well.", "Direction of rubbing, and a burr."),
  ],
  causes: [
    at("drawing", "Very hard drawn wire in tension."),
    at("machine", "Bend and tension together."),
    at("handling", "Nipped between laps."),
    at("material", "A shear band that softens as it works (aluminium alloy, brass)."),
    at("service", "Rope guides list shear breaks among the tension breaks.", "rope-guide"),
    at(
      "service",
      "Low ductility, a kink or a worn section under shear are named by a weak trade source.",
      "slant-trade",
    ),
  ],
  notCauses: [],
  corrections: [
    at("drawing", "A lower total strain."),
    at("process", "Anneal."),
    at("handling", "No kinks."),
    at("machine", "Control of tension."),
  ],
  tests: [say("Tensile test: does sound wire break slanting?", "tensile-std"), say("Section.")],
  metals: {
    copper: [say("Hard brass.")],
    aluminium: [say("Alloys.")],
    steel: [say("Fine wire.")],
  },
  background: [
    say("Look at the rim first: tension in hard wire, a bend, a seam and a cut can all leave a slant near 45°."),
  ],
  cautions: [...ALWAYS, "cutting"],
  sources: ["rope-guide", "slant-trade", "liu2013", "tensile-std"],
};
