import type { BreakTypeId, Verdict } from "../break-type-ids.ts";
import type { CautionId } from "../cautions.ts";
import type { SourceKey } from "../sources.ts";

/** A sentence with the sources it rests on; none = common practice, no source. */
export interface Statement {
  readonly text: string;
  readonly sources: readonly SourceKey[];
}

/** Where a cause lies or a correction is made: who has to act. */
export const WHERES = ["drawing", "material", "machine", "handling", "process", "service"] as const;
export type Where = (typeof WHERES)[number];

export interface PlacedStatement extends Statement {
  readonly where: Where;
}

/** Outline of an end in a small picture: what the eye catches first. */
export type EndShape =
  | "necked-cup"
  | "necked-cone"
  | "solid-cone"
  | "conical-hollow"
  | "deep-hole"
  | "particle"
  | "socket"
  | "slant"
  | "stepped"
  | "notched"
  | "flat-band"
  | "swirl"
  | "bent-lip"
  | "arcs"
  | "side-cracks"
  | "grains"
  | "thumbnail"
  | "pitted"
  | "split"
  | "bead"
  | "unseen";

export interface EndLook extends Statement {
  readonly shape: EndShape;
  /** A few words under the small picture. */
  readonly short: string;
}

/** What settles the question when two types look alike. */
export interface Confusion extends Statement {
  /** The type it is mistaken for; null for a look that is no type of its own. */
  readonly with: BreakTypeId | null;
  /** Name of a look that is no type of its own. */
  readonly lookAlike: string | null;
  readonly settledBy: string;
}

/** Typical values: starting points of the trade, to be fitted again on the lab's own confirmed breaks. */
export interface TypicalValues {
  /** RA at the break over RA of a sound pull of the same wire; null = says nothing. */
  readonly raRatio: { readonly from: number; readonly to: number; readonly note?: string } | null;
  readonly planeAngle: string;
  readonly hole: string;
  readonly flankAngle: string;
  readonly lipArc: string;
  readonly fibrous: string;
  readonly other: string;
}

/** Everything the bench can tell about a type, in the words of the trade. */
export interface BreakTypePage {
  readonly id: Verdict;
  readonly name: string;
  readonly definition: Statement;
  readonly tradeNames: readonly string[];
  /** Where it starts, in a few words. */
  readonly starts: string;
  /** The neck and the usual face, in a few words each. */
  readonly neck: string;
  readonly face: string;
  /** End one is the machine end where the ends differ by side. */
  readonly ends: readonly [EndLook, EndLook];
  readonly sideProfile: readonly Statement[];
  readonly fractureAngle: readonly Statement[];
  readonly typical: TypicalValues | null;
  readonly confirms: readonly Statement[];
  readonly excludes: readonly Statement[];
  readonly confusions: readonly Confusion[];
  readonly causes: readonly PlacedStatement[];
  /** What is often blamed and is no cause. */
  readonly notCauses: readonly Statement[];
  readonly corrections: readonly PlacedStatement[];
  readonly tests: readonly Statement[];
  readonly metals: {
    readonly copper: readonly Statement[];
    readonly aluminium: readonly Statement[];
    readonly steel: readonly Statement[];
  };
  /** Figures and background worth knowing. */
  readonly background: readonly Statement[];
  readonly cautions: readonly CautionId[];
  readonly sources: readonly SourceKey[];
}

export const say = (text: string, ...sources: readonly SourceKey[]): Statement => ({ text, sources });

export const at = (where: Where, text: string, ...sources: readonly SourceKey[]): PlacedStatement => ({
  where,
  text,
  sources,
});

export const look = (shape: EndShape, short: string, text: string, ...sources: readonly SourceKey[]): EndLook => ({
  shape,
  short,
  text,
  sources,
});

export const mixedUp = (
  other: BreakTypeId,
  text: string,
  settledBy: string,
  ...sources: readonly SourceKey[]
): Confusion => ({ with: other, lookAlike: null, text, settledBy, sources });

export const lookAlike = (
  name: string,
  text: string,
  settledBy: string,
  ...sources: readonly SourceKey[]
): Confusion => ({ with: null, lookAlike: name, text, settledBy, sources });

/** The cautions of every examined end; pages add those of their tests. */
export const ALWAYS = [
  "lock-out",
  "stored-tension",
  "sharp-ends",
  "never-mate-faces",
  "no-verdict-on-fitness",
] as const;
