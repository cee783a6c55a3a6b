import { ALWAYS, at, type BreakTypePage, look, mixedUp, say } from "./page.ts";

export const HOT_CRACK: BreakTypePage = {
  id: "hot_crack",
  name: "hot crack: intergranular casting crack",
  definition: say(
    "Grain boundaries tore while hot, in casting or rolling, seldom in welding: a film of low melting point (lead, bismuth, sulphur), or strain of the casting.",
  ),
  tradeNames: ["hot short", "hot tear", "solidification crack", "intergranular crack", "oxides and hot cracks"],
  starts: "at grain boundaries, hot",
  neck: "none",
  face: "dark, granular, oxidised",
  ends: [
    look(
      "grains",
      "dark, granular",
      "Granular, dark to black, facets coated with oxide, no shine; it may cover part of the face, from the skin.",
    ),
    look("grains", "the same", "The same."),
  ],
  sideProfile: [say("No neck in the cracked part; RA 10 % or less there.")],
  fractureAngle: [say("60–90°, ragged.")],
  typical: {
    raRatio: { from: 0, to: 0.25 },
    planeAngle: "60–90°",
    hole: "none",
    flankAngle: "not expected",
    lipArc: "0–0.3",
    fibrous: "0–0.5 D",
    other: "dark granular part 0.2 of the face or more",
  },
  confirms: [
    say("Grains outlined by oxidised facets."),
    say("A crack filled with scale."),
    say("A cast pattern of coarse columns in the section.", "panta"),
    say("EDS of the film."),
  ],
  excludes: [say("Bright facets."), say("A fibrous face."), say("Cold-worked skin inside the crack.")],
  confusions: [
    mixedUp(
      "hydrogen_damage",
      "Both are granular (copper).",
      "Dark oxide with a hot history against clean voids; ASTM B577.",
      "b577",
    ),
    mixedUp("corrosion_scc", "Both may be dark.", "Branching, and corrosion products."),
    mixedUp("fatigue", "Both may be flat.", "Grain facets in the SEM."),
  ],
  causes: [
    at("material", "Purity of the melt: low-melting elements."),
    at("material", "Casting speed, cooling."),
    at("material", "Rolling temperature."),
    at(
      "material",
      "Hot-rolled plates of copper and its alloys cracked from a weak, coarse cast pattern; segregation was suspected.",
      "panta",
    ),
  ],
  notCauses: [],
  corrections: [
    at("material", "Control of trace elements."),
    at("material", "Cooling and speed of casting, starting temperature of rolling."),
  ],
  tests: [say("SEM with EDS."), say("Section."), say("Trace analysis."), say("Hot ductility.")],
  metals: {
    copper: [say("Lead or bismuth in the metal.")],
    aluminium: [say("Hot tears of the casting.")],
    steel: [say("Rare: copper from scrap, sulphur.")],
  },
  background: [say("How dendrites lie in continuously cast copper decides where it is weak.", "agh-cast")],
  cautions: [...ALWAYS, "cutting", "etchants"],
  sources: ["panta", "wbfa-toc", "agh-cast", "b577"],
};
