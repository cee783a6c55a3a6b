import { ALWAYS, at, type BreakTypePage, look, mixedUp, say } from "./page.ts";

export const WELD_BREAK: BreakTypePage = {
  id: "weld_break",
  name: "weld or joint break",
  definition: say("The wire parted in or beside a joint of rod or wire: butt, cold-pressure, flash or brazed."),
  tradeNames: ["weld break", "hot weld", "cold weld", "bad joint", "burnt weld"],
  starts: "in a band across the wire",
  neck: "none, or a neck inside a soft band",
  face: "flat or locally necked, in a coloured band",
  ends: [
    look(
      "flat-band",
      "flat, in a band",
      "Not bonded: flat, dull or coloured, no neck, oxide on the plane. A cold-pressure joint may show two spoon-like halves.",
    ),
    look(
      "flat-band",
      "the same",
      "Both ends alike. In the soft zone beside the joint: a necked break inside a coloured or dressed band.",
      "naumann",
    ),
  ],
  sideProfile: [
    say("RA 0–10 % where it never bonded, a full neck in the soft zone."),
    say("A band of another diameter, file or dressing marks, blue or white colour near the break.", "liu2013"),
  ],
  fractureAngle: [say("90° where it never bonded, or a slant.")],
  typical: {
    raRatio: {
      from: 0,
      to: 1,
      note: "0–0.1 where it never bonded, about 1 in a soft band; nothing between is typical",
    },
    planeAngle: "90° or slant",
    hole: "none",
    flankAngle: "not expected",
    lipArc: "0–0.8",
    fibrous: "part of the face",
    other: "band 0.5–10 D long",
  },
  confirms: [
    say("A joint is on record at this place."),
    say("The same band on both ends.", "liu2013"),
    say(
      "Section: change of grain size, spheroidised cementite, a sheet of oxide on the plane, a cast nugget.",
      "naumann",
      "cu-conductors",
    ),
  ],
  excludes: [say("The log shows no joint in the coil, and the section shows normal structure: both together.")],
  confusions: [
    mixedUp(
      "tensile_overload",
      "The soft zone beside a joint necks fully.",
      "Section, and hardness along the axis.",
      "naumann",
    ),
    mixedUp("overheated", "Both carry colours.", "A flat joint plane, and symmetry."),
    mixedUp("hot_crack", "Both may be dark and flat.", "A joint plane lies across the whole section."),
  ],
  causes: [
    at("machine", "Upset pressure, current, time or alignment of the joint; poor dressing."),
    at("process", "No anneal after welding."),
    at("process", "Coated steel: brass left on near the joint, and high sulphur, are named.", "res-weld"),
    at("material", "Copper: an oxide layer across the joint plane, and grown grains.", "cu-conductors"),
  ],
  notCauses: [say("File marks beside the break of one published steel joint were not its cause.", "naumann")],
  corrections: [
    at("machine", "Settings and tools of the welder; dressing."),
    at("process", "Anneal cycle; bend-and-pull test of every joint."),
    at("process", "Mark and log every joint."),
  ],
  tests: [
    say("Longitudinal section with etch, and hardness along the axis."),
    say("Bend or tensile test of trial joints."),
  ],
  metals: {
    copper: [say("Oxide film, blown grain.", "cu-conductors")],
    aluminium: [say("Oxide film on cold joints.")],
    steel: [
      say(
        "Martensite where it was not annealed (brittle), or a soft spheroidised band where it was annealed too long.",
      ),
      say(
        "One published 2.3 mm wire broke slanting with a clear waist in a locally annealed joint; its cementite was fully spheroidised at the break.",
        "naumann",
      ),
    ],
  },
  background: [],
  cautions: [...ALWAYS, "cutting", "etchants"],
  sources: ["naumann", "res-weld", "cu-conductors", "liu2013", "wbfa-toc"],
};
