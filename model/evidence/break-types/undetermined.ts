import { ALWAYS, type BreakTypePage, look, say } from "./page.ts";

/** A respected answer, not a failure: it always carries the next action. */
export const UNDETERMINED: BreakTypePage = {
  id: "undetermined",
  name: "undecided",
  definition: say(
    "The evidence is missing, damaged or in conflict. An honest answer, which always names what to do next: which end, which view, which test, whom to ask.",
  ),
  tradeNames: ["undetermined", "not proved"],
  starts: "not known",
  neck: "says nothing by itself",
  face: "says nothing by itself",
  ends: [
    look("unseen", "seen, not enough", "What was seen of this end does not decide."),
    look("unseen", "missing or spoilt", "Missing, damaged, dirty, or at odds with the first."),
  ],
  sideProfile: [],
  fractureAngle: [],
  typical: null,
  confirms: [
    say("One end is missing, and the other end alone cannot decide."),
    say("Half of a face or more is damaged, smeared or dirty."),
    say("The two ends do not belong together."),
    say("Strong evidence points two ways."),
    say("Cup and cone with an RA ratio between 0.3 and 0.7, and no section."),
    say("The test that settles it has not been made."),
  ],
  excludes: [say("A decisive sign on sound ends, with nothing strong against it.")],
  confusions: [],
  causes: [],
  notCauses: [],
  corrections: [],
  tests: [
    say(
      "Find and photograph the other end. Keep both ends, even if the one that ran through is knocked about.",
      "tips2012",
    ),
    say(
      "Measure the reduction of area in two directions, and pull a sound piece of the same wire for reference.",
      "tensile-std",
    ),
    say("Longitudinal section of both ends."),
    say("Photograph, clean, and photograph again.", "zipp"),
    say("Ask for the draw direction, which end led at pay-off, and how often the wire was re-spooled."),
  ],
  metals: { copper: [], aluminium: [], steel: [] },
  background: [
    say(
      "Not looked for, looked for and absent, and cannot be assessed are three different things; only absence that was looked for is evidence.",
    ),
    say(
      "The start names the break; the last ligament does not. A little lip or neck is normal on breaks of many types.",
      "asm12-macro",
    ),
  ],
  cautions: [...ALWAYS, "look-before-cleaning", "cutting"],
  sources: ["tips2012", "tensile-std", "zipp", "asm12-macro"],
};
