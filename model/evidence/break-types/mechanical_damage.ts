import { ALWAYS, at, type BreakTypePage, look, lookAlike, mixedUp, say } from "./page.ts";

export const MECHANICAL_DAMAGE: BreakTypePage = {
  id: "mechanical_damage",
  name: "mechanical damage: nick, dent, scrape or cut",
  definition: say("Contact with something hard left a notch, or cut the wire through."),
  tradeNames: ["nick", "gouge", "handling damage", "scrape", "crossed-wire damage", "pinch", "scriber mark", "cut end"],
  starts: "at the skin, at one spot",
  neck: "low to medium",
  face: "starts at a fresh notch",
  ends: [
    look(
      "notched",
      "start at a notch",
      "Starts at one spot of the rim; the notch is shared between the two ends, the rest is fibrous or slanting. Crushed wire is pinched flat.",
      "rope-guide",
    ),
    look(
      "notched",
      "the other half of it",
      "The matching half of the notch. A wire cut through shows two bevels meeting at a ridge, or a smeared sheared face.",
      "rope-guide",
    ),
  ],
  sideProfile: [say("A flattened or gouged spot; a neck on one side; RA 10–50 %.")],
  fractureAngle: [say("45–90°.")],
  typical: {
    raRatio: { from: 0.2, to: 0.8 },
    planeAngle: "45–90°",
    hole: "none",
    flankAngle: "not expected",
    lipArc: "part of the rim",
    fibrous: "part of the face",
    other: "nick 0.05–0.5 D deep",
  },
  confirms: [
    say("A notch at the start, with matching halves on both ends."),
    say("Fresh, bright metal, and a direction of scraping."),
    say("It comes again at the pitch of a capstan or spool."),
  ],
  excludes: [
    say("A notch away from the start.", "naumann"),
    say("A notch smeared over by a die, with no link to the start."),
  ],
  confusions: [
    mixedUp("surface_defect", "Both start at the skin.", "One spot against a line that runs on."),
    mixedUp("bending", "Both start at one side.", "A permanent bend and a hinge."),
    lookAlike(
      "damage done after the break",
      "Ends are knocked about after they part.",
      "Whether the notch crosses the edge of the face on both ends, and the break starts there.",
    ),
    mixedUp("surface_martensite", "In hard steel a nick may carry martensite.", "Etch and micro-hardness."),
  ],
  causes: [
    at("handling", "Forklift, spool flange, dropped coil, tools."),
    at("machine", "Damaged guides, crossed turns, a sharp die casing."),
    at("handling", "Dragging over the floor."),
  ],
  notCauses: [],
  corrections: [
    at("machine", "Find the edge that matches (pitch and clock position); mend guides."),
    at("handling", "Mend spools; rules for handling."),
  ],
  tests: [
    say("Both ends under the stereo microscope."),
    say("Section across the notch: deformed grains, white layer in steel."),
    say("Look over retained wire."),
  ],
  metals: {
    copper: [say("Soft copper nicks easily.")],
    aluminium: [say("Nicks easily.")],
    steel: [say("In hard wire a nick may carry martensite: then think of surface martensite.")],
  },
  background: [say("A notch that is drawn out and burnished went through a die after it was made; a raw one did not.")],
  cautions: [...ALWAYS, "cutting"],
  sources: ["wbfa-toc", "rope-guide", "naumann"],
};
