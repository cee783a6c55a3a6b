import { ALWAYS, at, type BreakTypePage, look, mixedUp, say } from "./page.ts";

export const FATIGUE: BreakTypePage = {
  id: "fatigue",
  name: "fatigue",
  definition: say("A crack grown by repeated stress."),
  tradeNames: ["fatigue break", "flex break", "vibration break", "square break"],
  starts: "at the skin, sometimes inside",
  neck: "none",
  face: "flat, arcs, small final zone",
  ends: [
    look(
      "arcs",
      "flat, arcs from the rim",
      "A flat, square zone from the skin, smooth or rubbed; with arcs or without; a small fibrous or slanting final zone.",
      "beach",
    ),
    look("arcs", "the same", "Alike. Rope guides describe breaks square across, or Z-shaped.", "rope-guide", "tm-rope"),
  ],
  sideProfile: [say("No neck but at the final zone; RA 0–10 %.", "fat-note")],
  fractureAngle: [say("80–90°; the final zone 45° or fibrous.")],
  typical: {
    raRatio: { from: 0, to: 0.2 },
    planeAngle: "80–90°",
    hole: "none",
    flankAngle: "not expected",
    lipArc: "final zone only",
    fibrous: "final zone",
    other: "arrest lines 5–500 µm apart; final zone 0.05–0.5 of the face",
  },
  confirms: [
    say("Arrest lines curved round the start.", "beach"),
    say("Ratchet marks at the rim, with two starts or more.", "ratchet"),
    say("Striations in the SEM."),
  ],
  excludes: [say("A full neck."), say("Wire that was never flexed: on its first trip through the machine.")],
  confusions: [
    mixedUp("weld_break", "Both may be flat.", "SEM of the flat zone: striations, grain facets or a swirl."),
    mixedUp("torsion", "Both may be flat.", "Helical draw lines; SEM of the flat zone.", "ih-torsion"),
    mixedUp("hydrogen_damage", "Both may be flat.", "SEM of the flat zone."),
  ],
  causes: [
    at("service", "Bending over sheaves, vibration."),
    at("machine", "Dancer, stranding, loose guides."),
    at("material", "A flaw of the skin, or an inclusion below it, where fatigue starts in pearlitic wire.", "icf-fat"),
  ],
  notCauses: [],
  corrections: [
    at("service", "Larger sheaves, damping, fewer bends."),
    at("process", "Quality of the skin, control of residual stress."),
  ],
  tests: [say("SEM for striations."), say("Rotating-beam or flex test."), say("Section at the start.")],
  metals: {
    copper: [say("Flexing leads.")],
    aluminium: [say("Conductors: vibration, fretting.")],
    steel: [
      say("Rope wire: flaws of the skin."),
      say(
        "In one rope 66 wires broke and only 10 had the flat face of an earlier fatigue crack: most were ductile, so count the wires.",
        "plym-rope",
      ),
    ],
  },
  background: [
    say(
      "Arrest lines need a changing load or environment: steady cycling leaves none, so their absence proves nothing.",
      "ih-fatigue",
    ),
  ],
  cautions: [...ALWAYS],
  sources: [
    "beach",
    "ratchet",
    "ih-fatigue",
    "ih-torsion",
    "rope-guide",
    "tm-rope",
    "plym-rope",
    "icf-fat",
    "fat-note",
  ],
};
