import type { SourceKey } from "./sources.ts";

/** Steps of the work at which a caution is shown. */
export const CAUTION_MOMENTS = [
  "retrieving-end",
  "handling-end",
  "cleaning",
  "etching",
  "sectioning",
  "hydrogen-test",
  "chemical-test",
  "confirming",
  "sheet",
] as const;
export type CautionMoment = (typeof CAUTION_MOMENTS)[number];

export interface Caution {
  readonly id: string;
  readonly text: string;
  readonly when: readonly CautionMoment[];
  /** Empty = common practice, no source. */
  readonly sources: readonly SourceKey[];
}

const caution = <const I extends string>(
  id: I,
  when: readonly CautionMoment[],
  text: string,
  ...sources: readonly SourceKey[]
) => ({ id, text, when, sources });

/** The cautions of the trade, each shown at the step where it applies. No recipe is ever printed. */
export const CAUTIONS = [
  caution(
    "lock-out",
    ["retrieving-end", "sheet"],
    "Stop, isolate, lock out and tag the drawing machine, and prove zero energy (capstan brakes, dancer weights, hydraulic and air pressure), before any end is retrieved.",
    "loto",
  ),
  caution(
    "never-reach-in",
    ["retrieving-end"],
    "Never reach into a running machine and never clear wire while it runs: an operator has been killed that way. The drive must stop at a break, with guards in the path of flying wire and emergency stops that work.",
    "niosh",
    "dguv",
    "miosha",
  ),
  caution(
    "gloves-after-lock-out",
    ["retrieving-end"],
    "No loose gloves near moving wire: gloves come on only after lock-out.",
    "niosh",
  ),
  caution(
    "stored-tension",
    ["retrieving-end", "handling-end", "sheet"],
    "Wire holds tension and coils of hard wire spring back; a break can throw the wire like a whip. Stay out of its path and hold it before it is cut or let go.",
    "whip-note",
  ),
  caution(
    "sharp-ends",
    ["retrieving-end", "handling-end", "sheet"],
    "Broken ends are sharp: closed eye protection and cut- and puncture-resistant gloves; hold the end with tongs or in a vice.",
  ),
  caution(
    "never-mate-faces",
    ["handling-end"],
    "Never fit the two faces together and never touch a face: both spoil it for good. Judge from photographs whether they belong together.",
    "zipp",
    "lecture-fract",
  ),
  caution(
    "look-before-cleaning",
    ["cleaning"],
    "Look and photograph before cleaning: a deposit may be the evidence. Clean in rising order, the mildest way first.",
    "lecture-fract",
    "zipp",
  ),
  caution(
    "etchants",
    ["etching", "sheet"],
    "Etchants, acids and other laboratory chemicals: only by qualified people, in a fume hood, under the rules of the site.",
  ),
  caution(
    "chemical-tests",
    ["chemical-test"],
    "Tests with ammonia, mercurous nitrate or cyanide are hazardous: qualified laboratory staff only.",
  ),
  caution(
    "cutting",
    ["sectioning", "sheet"],
    "Cutting, grinding and hot mounting: only by qualified people, with guards and eye protection. Mind the dust of beryllium copper and leaded wire.",
  ),
  caution(
    "hydrogen-tests",
    ["hydrogen-test"],
    "Heating in hydrogen uses an explosive gas: qualified laboratory only.",
    "b577",
  ),
  caution(
    "no-verdict-on-fitness",
    ["confirming", "sheet"],
    "A suggestion supports the judgement of a qualified metallurgist. It is no verdict on the fitness for service of wire, rope or cable: the product standard, local codes and licensed practice decide.",
    "iso4309",
  ),
  caution("these-items-only", ["sheet"], "The findings relate to the ends examined, and to nothing else.", "iso17025"),
] as const satisfies readonly Caution[];

export type CautionId = (typeof CAUTIONS)[number]["id"];

const byId = new Map<string, Caution>(CAUTIONS.map((row) => [row.id, row]));

/** The cautions to show at a step, in the order of the table. */
export const cautionsFor = (moment: CautionMoment): readonly Caution[] =>
  CAUTIONS.filter((row: Caution) => row.when.includes(moment));

/** The row of a caution. @throws RangeError when the identifier is not in the table. */
export function cautionOf(id: CautionId): Caution {
  const row = byId.get(id);
  if (row === undefined) throw new RangeError(`No caution is called "${id}".`);
  return row;
}
