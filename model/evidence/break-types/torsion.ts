import { ALWAYS, at, type BreakTypePage, look, mixedUp, say } from "./page.ts";

export const TORSION: BreakTypePage = {
  id: "torsion",
  name: "torsion: twisted off",
  definition: say("The wire was twisted about its axis until it sheared."),
  tradeNames: ["torsion break", "twist break", "twist-off"],
  starts: "at the skin, in shear",
  neck: "none",
  face: "flat with a swirl; draw lines run as a helix",
  ends: [
    look(
      "swirl",
      "flat, with a swirl",
      "Flat, square and smeared, with a swirl about the centre; the last spot to part lies near the axis.",
      "ih-torsion",
    ),
    look(
      "swirl",
      "the same",
      "The same, with draw lines turned the same hand. Brittle or delaminated steel: a helical face, or a split.",
      "torsion-note",
      "tanaka2020",
    ),
  ],
  sideProfile: [
    say("No neck: torsion does not reduce the section.", "ih-torsion"),
    say("The draw lines run as a helix on both ends, in the same hand."),
  ],
  fractureAngle: [
    say("90° in ductile wire, a helix at 45° in brittle wire.", "torsion-note"),
    say("Sound pearlitic steel wire breaks square; aged wire comes apart along the axis.", "tanaka2020"),
  ],
  typical: {
    raRatio: { from: 0, to: 0.1 },
    planeAngle: "85–90°, or a 45° helix",
    hole: "none",
    flankAngle: "not expected",
    lipArc: "none",
    fibrous: "none",
    other: "helix 5° or more",
  },
  confirms: [say("Draw lines turned 5° or more on both ends, same hand.", "ih-torsion"), say("A swirl on the face.")],
  excludes: [say("Draw lines parallel to the axis right up to the break.", "ih-torsion")],
  confusions: [
    mixedUp("fatigue", "Fatigue and brittle tension leave a flat face as well.", "Helical draw lines.", "ih-torsion"),
    mixedUp("weld_break", "Both may be flat.", "A band or colour."),
  ],
  causes: [
    at("machine", "A rotating pay-off without a swivel, a flyer, a stuck guide."),
    at("machine", "Twist in bunching or stranding."),
    at("handling", "A kink pulled through."),
    at("material", "Low torsional ductility, flaws of the skin.", "tors-duct"),
    at("process", "Ageing of wire that ran hot.", "tanaka2020"),
  ],
  notCauses: [],
  corrections: [
    at("machine", "Free swivels, back-twist setting, worn guides."),
    at("process", "Wire temperature (strain ageing)."),
    at("material", "Surface of the rod."),
  ],
  tests: [say("Simple torsion test of retained wire, and the form of its fracture.", "iso7800")],
  metals: {
    copper: [say("A long swirl, many turns.")],
    aluminium: [],
    steel: [
      say(
        "Two forms are described for cold-drawn wire, flat and cleavage-like, with cracks that start midway between centre and skin.",
        "hu2013",
      ),
      say("See also splitting along the wire."),
    ],
  },
  background: [],
  cautions: [...ALWAYS],
  sources: ["ih-torsion", "torsion-note", "hu2013", "tanaka2020", "tors-duct", "iso7800", "wbfa-toc"],
};
