import { ALWAYS, at, type BreakTypePage, look, mixedUp, say } from "./page.ts";

export const INCLUSION: BreakTypePage = {
  id: "inclusion",
  name: "inclusion",
  definition: say(
    "A hard particle, or one that never bonded, starts the break: foreign metal (steel, tungsten carbide, tool chips), refractory, slag, or an oxide, carbide or boride.",
  ),
  tradeNames: ["inclusion break", "foreign-matter break", "iron break", "slag break", "icicle"],
  starts: "at the particle",
  neck: "local, little to medium",
  face: "particle on one end, socket on the other",
  ends: [
    look(
      "particle",
      "particle standing proud",
      "The particle stands proud, often dark or of another colour, with a torn hollow round it.",
      "yoshida",
    ),
    look(
      "socket",
      "socket of its outline",
      "A socket or hollow of the same outline, or the other half of the broken particle.",
      "yoshida",
    ),
  ],
  sideProfile: [
    say("A bulge at the particle and a local waist just downstream of it, often on one side; RA 5–40 %.", "yoshida"),
  ],
  fractureAngle: [say("90° overall, uneven, with a cone-like tear beside the particle.")],
  typical: {
    raRatio: { from: 0.1, to: 0.8, note: "one-sided" },
    planeAngle: "60–90°",
    hole: "socket 0.2–0.8 D",
    flankAngle: "30–60°, uneven",
    lipArc: "0.2–0.8",
    fibrous: "part of the face",
    other: "particle 0.15–0.9 D",
  },
  confirms: [
    say("The particle is still there after cleaning, and was photographed before it.", "zipp"),
    say("A matching socket on the other end.", "yoshida"),
    say("EDS shows a composition foreign to the wire."),
    say("The particle is 0.2 D or more."),
    say("A magnet picks it out of copper or aluminium: it is ferrous.", "wbfa-toc"),
  ],
  excludes: [say("Loose dirt that cleaning takes away.", "zipp"), say("A particle on the skin, away from the start.")],
  confusions: [
    mixedUp("central_burst", "The tear round the particle is conical.", "A particle, or its imprint, at the tip."),
    mixedUp(
      "tensile_overload",
      "A local neck stands beside the particle.",
      "The particle at the base of a one-sided neck.",
    ),
    mixedUp("casting_void", "A void may hold slag.", "EDS and the shape of the wall."),
  ],
  causes: [
    at("material", "Worn refractory or launder, slag."),
    at("material", "Tool chips, rolled-in scale, steel from guides."),
    at("drawing", "Fines, debris on the wire, a broken die insert."),
    at("handling", "Dirty floor, grinding dust."),
  ],
  notCauses: [],
  corrections: [
    at("material", "Trace it to its source by EDS; filters, launder repair, guides."),
    at("material", "Set the coil aside."),
    at("drawing", "Clean lubricant, magnet check."),
    at("handling", "Housekeeping."),
  ],
  tests: [
    say("SEM with EDS of the particle and the socket."),
    say("A magnet."),
    say("Longitudinal section."),
    say("Steel: inclusion rating to ISO 4967 or ASTM E45 (from memory)."),
  ],
  metals: {
    copper: [
      say("Iron particles are a classic, with a lengthwise crack beside them on the skin.", "chia"),
      say(
        "In one study of 673 copper breaks inclusions were the largest group, 52 %; such shares belong to one mill and one range of sizes.",
        "raskin",
        "yoshida",
      ),
    ],
    aluminium: [
      say(
        "In conductor-grade breaks the particles were oxides, carbide and refractory elements, up to about 5 µm.",
        "khaliq",
      ),
      say("1350 rod with a steel core was drawn until the core filled about 85 % of the section.", "al-incl-thesis"),
    ],
    steel: [say("Drawing itself changes the inclusions of pearlitic wire.", "toribio-incl")],
  },
  background: [
    say("The finer the wire, the smaller the particle that breaks it.", "yoshida"),
    say(
      "In a model of copper (6° semi-angle, 20 % reduction) the drawing stress rises to about 1.2, 1.6 and 2.3 times for particles of 0.4, 0.6 and 0.8 D; where the particle has let go, a crack opens at its front.",
      "yoshida",
    ),
    say("Loss of section alone gives 1.19, 1.56 and 2.8 times (arithmetic, no source)."),
  ],
  cautions: [...ALWAYS, "look-before-cleaning", "cutting"],
  sources: ["yoshida", "raskin", "chia", "khaliq", "al-incl-thesis", "wbfa-toc", "toribio-incl", "zipp"],
};
