import { ALWAYS, at, type BreakTypePage, look, mixedUp, say } from "./page.ts";

export const BENDING: BreakTypePage = {
  id: "bending",
  name: "bend, kink or reverse bend",
  definition: say("Parted by one tight bend, a kink pulled straight, or a few bends to and fro."),
  tradeNames: ["bend break", "kink break", "snarl", "dog-leg", "hinge break"],
  starts: "on the stretched side of a bend",
  neck: "low",
  face: "tilted, with a hinge or lip on one side",
  ends: [
    look(
      "bent-lip",
      "bent, lip inside",
      "Starts on the outer, stretched side; a curl, lip or smeared hinge on the inner side.",
    ),
    look("bent-lip", "mirror of it", "The mirror image, bent in the same plane."),
  ],
  sideProfile: [
    say("A permanent bend near the break on both ends; an oval section; orange-peel skin on the outer side."),
    say("RA 0–20 %, on one side."),
  ],
  fractureAngle: [say("60–90°, with a lip on one side.")],
  typical: {
    raRatio: { from: 0, to: 0.5, note: "one-sided" },
    planeAngle: "60–90°",
    hole: "none",
    flankAngle: "not expected",
    lipArc: "one side",
    fibrous: "part of the face",
    other: "bend 15° or more",
  },
  confirms: [
    say("A bend on both ends in one plane."),
    say("Cracks of the skin on the outer side."),
    say("The loop of a kink remains."),
  ],
  excludes: [
    say("Straight ends."),
    say("A bend on the take-up end only, with a scuffed face: that happened afterwards."),
  ],
  confusions: [
    mixedUp(
      "fatigue",
      "Many small bends are fatigue.",
      "A permanent bend speaks for few large bends; a flat face without one, for fatigue.",
    ),
    mixedUp("mechanical_damage", "Both start at one side.", "A notch at the start."),
  ],
  causes: [
    at("handling", "Snarl at the pay-off, loose lap."),
    at("machine", "Sheave too small."),
    at("handling", "Stringing up."),
    at("material", "Low ductility in bending."),
  ],
  notCauses: [],
  corrections: [at("handling", "Control of the pay-off; tension."), at("machine", "Larger sheaves, snarl switches.")],
  tests: [say("Reverse bend test and wrapping test of retained wire.", "bend-std")],
  metals: {
    copper: [say("Soft copper needs many bends.")],
    aluminium: [],
    steel: [say("Hard steel snaps with little bend left.")],
  },
  background: [],
  cautions: [...ALWAYS],
  sources: ["bend-std"],
};
