import { ALWAYS, at, type BreakTypePage, look, lookAlike, mixedUp, say } from "./page.ts";

export const CENTRAL_BURST: BreakTypePage = {
  id: "central_burst",
  name: "central burst",
  definition: say(
    "Tension on the axis inside a die opens V-shaped cracks in the core, often in a row; later the wire parts at one of them.",
    "cb-excerpt",
    "avitzur68",
  ),
  tradeNames: [
    "cuppy wire",
    "cupping",
    "cuppiness",
    "chevron crack",
    "V crack",
    "centre burst",
    "internal burst",
    "arrowhead defect",
    "deep cup failure",
    "cup and cone (brittle)",
  ],
  starts: "on the axis, inside a die",
  neck: "little or none",
  face: "full cone against a deep conical hollow",
  ends: [
    look(
      "solid-cone",
      "solid cone, no neck",
      "With the draw, the machine end: a solid cone with its tip on or near the axis, flank near 45° when young and slimmer later, granular or lightly smeared, with a thin torn ring at its base. After the wire was turned end for end, the cone lies on the take-up end.",
      "murr",
    ),
    look(
      "conical-hollow",
      "deep conical hollow",
      "The take-up end: a conical hollow that the cone fits, with a narrow torn rim.",
      "murr",
    ),
  ],
  sideProfile: [
    say(
      "Little or no neck: the outside keeps nearly its diameter up to the rim. RA ratio 0.3 or less, usually RA 0–15 %.",
    ),
    say("Sometimes a faint waist, bulges, or a bumpy feel along the wire."),
  ],
  fractureAngle: [say("Flank 35–55° to the axis when young, 15–35° after further passes (arithmetic, no source).")],
  typical: {
    raRatio: { from: 0, to: 0.3 },
    planeAngle: "that of the flank",
    hole: "0.5–0.95 D wide, 0.3–1.5 D deep, conical",
    flankAngle: "35–55° young, 10–35° old",
    lipArc: "0.2–1.0, thin",
    fibrous: "less than 0.2 D",
    other: "chevrons 0.5–3 D apart; tip less than 0.15 R off the axis",
  },
  confirms: [
    say("A cone on one end and the hollow it fits on the other.", "remmers", "murr"),
    say("A flank that reaches the axis, with no flat fibrous floor; base of the cone 0.5 D or more."),
    say("More Vs in a longitudinal section, evenly spaced, tips the same way.", "cb-excerpt"),
  ],
  excludes: [
    say("A hole in both ends."),
    say("Full necking with a fibrous centre."),
    say("A particle at the tip: then it is an inclusion."),
    say("A start at the skin."),
  ],
  confusions: [
    mixedUp("tensile_overload", "Both leave a cup and a cone.", "Reduction of area."),
    mixedUp(
      "casting_void",
      "From one end alone the cup of a burst and the mouth of a void look the same.",
      "The other end: a cone speaks for a burst, a hole for a void.",
    ),
    mixedUp(
      "inclusion",
      "The tear beside a particle is conical.",
      "Clean the tip and the hollow, and look for a particle or its imprint.",
    ),
    lookAlike(
      "brittle core (steel)",
      "A band of martensite or cementite on the axis breaks in the same shape.",
      "Transverse section near the break, hardness across the core.",
      "liu2013",
    ),
  ],
  causes: [
    at(
      "drawing",
      "A large die angle with a small reduction: the centre of the wire is put in tension.",
      "coffin",
      "avitzur68",
      "wright",
    ),
    at("drawing", "A light finishing or sizing pass."),
    at("drawing", "A worn die whose ring raises the true entry angle."),
    at("drawing", "Poor lubrication: more friction widens the danger region.", "parghazeh", "avitzur68"),
    at("drawing", "Wire entering off the die axis."),
    at("drawing", "Many small passes in hard wire."),
    at("material", "A weak core: porosity or segregation.", "cb-excerpt"),
    at("material", "Steel: martensite or grain-boundary cementite on the axis.", "liu2013"),
    at("material", "Particles and voids in the core make it easier to start.", "yoshida"),
  ],
  notCauses: [
    say(
      "The oxygen content of tough-pitch copper by itself: it raises the share of breaks that look this way and does not cause them. An early study tried die shape and oxygen side by side because opinions differed.",
      "remmers",
    ),
  ],
  corrections: [
    at("drawing", "A smaller die angle or a larger reduction at the guilty pass.", "coffin", "wright"),
    at("drawing", "Re-cut or replace worn dies."),
    at(
      "drawing",
      "Check every pass on the chart of die angle and reduction; stay just outside the danger region.",
      "avitzur68",
    ),
    at("drawing", "Better lubrication and cooling."),
    at("machine", "Align wire and die."),
    at("material", "Sounder casting."),
    at("process", "Anneal earlier."),
  ],
  tests: [
    say("Longitudinal section through the axis, over 50–100 D on each side at least: the test that settles it."),
    say("Density, ultrasonic or eddy-current check of retained wire."),
    say("The delta factor of each pass.", "delta-note"),
    say("Steel: transverse section, and hardness across the core."),
  ],
  metals: {
    copper: [
      say(
        "Carries a burst through several passes, by trade experience up to about twelve dies: the die where it broke is seldom the one to blame.",
      ),
    ],
    aluminium: [say("As copper: the die where it broke is seldom the one to blame.")],
    steel: [
      say(
        "High-carbon wire breaks sooner, by trade experience within two to four dies. Check the structure of the core first.",
      ),
    ],
  },
  background: [
    say(
      "The closed tip of each V points the way the wire was drawn when the burst formed: the core runs ahead of the skin.",
      "cb-excerpt",
    ),
    say(
      "A slim cone speaks for a birth several passes earlier, but weakly: the burst also grows at each pass and its mouth tears open at the end.",
    ),
  ],
  cautions: [...ALWAYS, "cutting", "etchants"],
  sources: [
    "remmers",
    "avitzur68",
    "coffin",
    "wright",
    "cb-excerpt",
    "murr",
    "parghazeh",
    "liu2013",
    "yoshida",
    "delta-note",
  ],
};
