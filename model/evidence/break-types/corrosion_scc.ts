import { ALWAYS, at, type BreakTypePage, look, mixedUp, say } from "./page.ts";

export const CORROSION_SCC: BreakTypePage = {
  id: "corrosion_scc",
  name: "corrosion, pitting, stress-corrosion",
  definition: say("Attack ate away the section, or grew a crack under stress."),
  tradeNames: [
    "pit",
    "rust break",
    "season cracking (brass)",
    "stress-corrosion cracking",
    "corrosion fatigue (mixed)",
  ],
  starts: "at a pit, or where the film broke",
  neck: "none to low",
  face: "dull, stained part; branched side cracks",
  ends: [
    look("pitted", "dull, stained, pitted", "Part of the face dull, stained or crusted, the rest fresh."),
    look("pitted", "the same", "The same."),
  ],
  sideProfile: [say("A thin waist, or pits; RA 0–15 %.")],
  fractureAngle: [say("90°, with branched side cracks.")],
  typical: {
    raRatio: { from: 0, to: 0.4 },
    planeAngle: "80–90°",
    hole: "none",
    flankAngle: "not expected",
    lipArc: "0–0.4",
    fibrous: "part of the face",
    other: "pits 0.02–0.4 D deep",
  },
  confirms: [
    say("Pits and deposits, branched cracks in the section, a known environment.", "scc-cu"),
    say(
      "Season cracking of drawn brass: nitrogen compounds with residual stress; cracks across the stress (lengthwise under hoop stress), along grain boundaries, black stain.",
      "scc-cu",
    ),
  ],
  excludes: [say("A clean, bright face, freshly drawn, without exposure.")],
  confusions: [
    mixedUp(
      "hydrogen_damage",
      "Both have side cracks.",
      "Section, and EDS of the deposit: branched, with loss of metal and corrosion product, against neither.",
    ),
    mixedUp("fatigue", "Corrosion and fatigue work together.", "SEM, and branched cracks."),
  ],
  causes: [
    at("handling", "Storage, humidity."),
    at("process", "Flux or lubricant left on, acid left on."),
    at("service", "Ammonia, humidity."),
  ],
  notCauses: [],
  corrections: [
    at("process", "Rinse, dry, inhibitor; stress relief."),
    at("handling", "Wrap."),
    at("material", "Another alloy."),
  ],
  tests: [
    say("EDS of the deposit; section."),
    say("Brass: ammonia or mercurous nitrate test, ISO 6957 (from memory). Hazardous: qualified staff only."),
  ],
  metals: {
    copper: [say("Brass is most at risk, pure copper little.", "scc-cu", "scc-article")],
    aluminium: [say("Pitting in chloride.")],
    steel: [say("Wire of high strength.")],
  },
  background: [],
  cautions: [...ALWAYS, "chemical-tests", "look-before-cleaning", "cutting"],
  sources: ["scc-cu", "scc-article"],
};
