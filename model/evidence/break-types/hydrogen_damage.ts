import { ALWAYS, at, type BreakTypePage, look, mixedUp, say } from "./page.ts";

export const HYDROGEN_DAMAGE: BreakTypePage = {
  id: "hydrogen_damage",
  name: "hydrogen damage",
  definition: say(
    "Steel: hydrogen taken up in pickling, plating, cathodic protection or corrosion makes strong wire break below its strength, often later. Copper with cuprous oxide: hydrogen at heat meets the oxide and forms steam, which opens the grain boundaries.",
    "b577",
  ),
  tradeNames: [
    "hydrogen embrittlement (steel)",
    "pickle brittleness (steel)",
    "delayed fracture (steel)",
    "hydrogen sickness (copper)",
    "gassing (copper)",
    "steam embrittlement (copper)",
  ],
  starts: "below the skin, or at grain boundaries",
  neck: "none",
  face: "bright or granular, many side cracks",
  ends: [
    look(
      "side-cracks",
      "bright start, side cracks",
      "Steel: a bright thumbnail or crescent start with side cracks; fingernail-shaped, shiny fresh faces are reported, and splitting along the centre of 4 mm galvanised wire.",
      "he-excerpt",
      "mukho",
    ),
    look("grains", "both ends alike", "Both ends alike. Copper: granular and rough, with puffy skin or blisters."),
  ],
  sideProfile: [say("RA 10 % or less; several side cracks near the break.")],
  fractureAngle: [say("90°, or along the axis.")],
  typical: {
    raRatio: { from: 0, to: 0.25 },
    planeAngle: "80–90°, or 0–20°",
    hole: "none",
    flankAngle: "not expected",
    lipArc: "0–0.3",
    fibrous: "0–0.5 D",
    other: "two side cracks or more",
  },
  confirms: [
    say(
      "Steel: acid, plating or sour service in the history, delay, strength of about 1200 MPa or more, and ductility that comes back after a bake.",
    ),
    say("Steel: delayed fracture and sensitivity to strain rate, shown by test.", "mukho"),
    say("Steel: a torn, terraced microstructure of the pearlite in the SEM.", "toribio-he"),
    say(
      "Copper: oxygen-bearing metal, a hydrogen atmosphere, and chains of voids on the grain boundaries at 75 times or more in the section.",
      "b577",
    ),
  ],
  excludes: [
    say(
      "Copper: oxygen-free (10 ppm or less; 5 ppm or less in the top grade) or phosphorus-deoxidised, or never heated in hydrogen.",
      "b577",
    ),
    say("Steel: low strength, no source of hydrogen, or full RA."),
  ],
  confusions: [
    mixedUp("hot_crack", "Both are granular.", "Copper: polished section at 75–200 times.", "b577"),
    mixedUp("corrosion_scc", "Both have side cracks.", "Steel: bake and test again; section and deposit."),
    mixedUp("fatigue", "Both may be flat with a thumbnail.", "Steel: bake and test again; SEM."),
    mixedUp(
      "longitudinal_split",
      "Ageing splits wire as well.",
      "Bake and test again, and hydrogen analysis.",
      "mukho",
    ),
  ],
  causes: [
    at("process", "Steel: long or strong pickling, no inhibitor, no bake, plating."),
    at("process", "Copper: annealing in cracked ammonia or dissociated gas, brazing.", "b577"),
    at("material", "Copper: oxide-bearing stock sent through a hydrogen atmosphere.", "b577"),
    at("service", "Cathodic protection, sulphide."),
  ],
  notCauses: [],
  corrections: [
    at("process", "Steel: inhibited or mechanical descaling, a bake soon after, another coating."),
    at("material", "Steel: a lower strength class. Copper: oxygen-free or deoxidised stock."),
    at("process", "Copper: a dry, inert anneal."),
  ],
  tests: [
    say("Steel: bake and test again, diffusible hydrogen, slow strain rate; ASTM A1032, ASTM F1624.", "he-std"),
    say(
      "Copper: ASTM B577, ISO 2626, bend test. The piece is heated in hydrogen before it is examined: for a qualified laboratory only.",
      "b577",
    ),
  ],
  metals: {
    copper: [say("Only metal that holds cuprous oxide cracks by steam.", "b577")],
    aluminium: [
      say("Steam cracking does not exist here; what hydrogen leaves in aluminium is porosity of the casting."),
    ],
    steel: [say("Strong drawn wire; side cracks may run along the axis.", "yu-he", "mukho")],
  },
  background: [],
  cautions: [...ALWAYS, "hydrogen-tests", "cutting", "etchants"],
  sources: ["b577", "he-excerpt", "mukho", "toribio-he", "yu-he", "he-std"],
};
