import type { BreakTypeId } from "./break-type-ids.ts";
import type { RuleId } from "./suggestion.ts";

/** What the middle of one end shows, conclusions left out; the last three are answers too. */
export const END_KINDS = [
  "hole",
  "cone",
  "cone-and-hole",
  "particle",
  "plain",
  "unmarked",
  "not-assessable",
  "not-recovered",
] as const;
export type EndKind = (typeof END_KINDS)[number];

/** Types that only both ends together can prove or rule out. */
export type CentralType = Extract<BreakTypeId, "central_burst" | "casting_void">;

/** "may" = this pair can carry the type; "closed" = it cannot; "cannot-tell" = the other end decides. */
export type Reading = "may" | "closed" | "cannot-tell";

export interface PairReading {
  readonly says: string;
  readonly central_burst: Reading;
  readonly casting_void: Reading;
  /** The rule that states it; null = follows from the definitions of the types. */
  readonly rule: RuleId | null;
}

const reading = (says: string, burst: Reading, void_: Reading, rule: RuleId | null = null): PairReading => ({
  says,
  central_burst: burst,
  casting_void: void_,
  rule,
});

const fits = reading("A cone faces a hole: a burst leaves just that, a cavity does not.", "may", "closed", "R02");
const twoHoles = reading("A hole in both ends: a cavity cut across, or two shallow cups.", "closed", "may", "R03");
const twoCones = reading("A cone on both ends: one burst leaves one cone.", "closed", "closed", "R08");
const mixed = reading("One end shows cone and hole together.", "cannot-tell", "cannot-tell");
const particle = reading("A particle in place names itself before cone or hole.", "cannot-tell", "cannot-tell", "R05");
const holeFacesPlain = reading(
  "A hole faces an end with neither hole nor cone: the ends may not belong together.",
  "cannot-tell",
  "cannot-tell",
);
const coneFacesPlain = reading(
  "A cone faces an end without a hollow: the ends may not belong together.",
  "cannot-tell",
  "closed",
);
const plain = reading("Neither end shows a hole or a cone.", "closed", "closed", "R13");
const holeAlone = reading(
  "A hole, and the other end cannot be read: cup and void look the same.",
  "cannot-tell",
  "cannot-tell",
  "R01",
);
const coneAlone = reading(
  "A cone, and the other end cannot be read: burst or drawn-out neck.",
  "cannot-tell",
  "closed",
);
const plainAlone = reading("One end shows neither hole nor cone; the other cannot be read.", "closed", "closed");
const nothing = reading("Neither end can be read.", "cannot-tell", "cannot-tell");

/**
 * The two-end table: what each pair of end kinds allows. Every pair has its row, so a missing one fails to compile.
 *
 * @source remmers, murr for the cone that fits a hollow; the rest: common practice, no source
 */
export const END_PAIRS: Readonly<Record<EndKind, Readonly<Record<EndKind, PairReading>>>> = {
  hole: {
    hole: twoHoles,
    cone: fits,
    "cone-and-hole": mixed,
    particle,
    plain: holeFacesPlain,
    unmarked: holeAlone,
    "not-assessable": holeAlone,
    "not-recovered": holeAlone,
  },
  cone: {
    hole: fits,
    cone: twoCones,
    "cone-and-hole": mixed,
    particle,
    plain: coneFacesPlain,
    unmarked: coneAlone,
    "not-assessable": coneAlone,
    "not-recovered": coneAlone,
  },
  "cone-and-hole": {
    hole: mixed,
    cone: mixed,
    "cone-and-hole": mixed,
    particle,
    plain: mixed,
    unmarked: mixed,
    "not-assessable": mixed,
    "not-recovered": mixed,
  },
  particle: {
    hole: particle,
    cone: particle,
    "cone-and-hole": particle,
    particle,
    plain: particle,
    unmarked: particle,
    "not-assessable": particle,
    "not-recovered": particle,
  },
  plain: {
    hole: holeFacesPlain,
    cone: coneFacesPlain,
    "cone-and-hole": mixed,
    particle,
    plain,
    unmarked: plainAlone,
    "not-assessable": plainAlone,
    "not-recovered": plainAlone,
  },
  unmarked: {
    hole: holeAlone,
    cone: coneAlone,
    "cone-and-hole": mixed,
    particle,
    plain: plainAlone,
    unmarked: nothing,
    "not-assessable": nothing,
    "not-recovered": nothing,
  },
  "not-assessable": {
    hole: holeAlone,
    cone: coneAlone,
    "cone-and-hole": mixed,
    particle,
    plain: plainAlone,
    unmarked: nothing,
    "not-assessable": nothing,
    "not-recovered": nothing,
  },
  "not-recovered": {
    hole: holeAlone,
    cone: coneAlone,
    "cone-and-hole": mixed,
    particle,
    plain: plainAlone,
    unmarked: nothing,
    "not-assessable": nothing,
    "not-recovered": nothing,
  },
};
