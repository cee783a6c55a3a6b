import { columnSays } from "../../model/classifier/vector.ts";
import type { MeasureUnit } from "../../model/evidence/features.ts";
import { formatLength } from "../../model/measure/format.ts";
import type { LengthUnit } from "../../model/measure/units.ts";
import type { Reason, Why } from "../../model/reference/nearest-why.ts";

const UNIT: Readonly<Record<MeasureUnit, string>> = {
  mm: " mm",
  µm: " µm",
  "%": " %",
  "°": "°",
  D: " D",
  "1": "",
  count: "",
  clock: "",
  HV: " HV",
  "/100D": " in 100 D",
};

/** A value of a column as a person reads it. */
export function valueWords({ name, kind, unit }: Reason, value: number, length: LengthUnit): string {
  if (kind !== "number") return value > 0 ? "yes" : "no";
  if (name === "context.wire_mm_log") return formatLength(Math.exp(value), null, length, { show: "value-only" });
  const digits = Math.abs(value) >= 100 ? String(Math.round(value)) : String(Number(value.toPrecision(2)));
  return `${digits.replace("-", "−")}${unit === null ? "" : UNIT[unit]}`;
}

/** What a column is of, without "seen": "hole", "hole on both ends", "neck: reduction of area". */
export const nameWords = (name: string): string => columnSays(name).replace(/ seen$/, "");

/** "neck: reduction of area 12 % / 14 %", "hole on both ends". */
export function sharedWords(reason: Reason, length: LengthUnit): string {
  const { kind, here, there, name } = reason;
  if (kind === "presence") return nameWords(name);
  const [a, b] = [valueWords(reason, here, length), valueWords(reason, there, length)];
  return kind === "number" && a !== b ? `${nameWords(name)} ${a} / ${b}` : `${nameWords(name)} ${a}`;
}

/** "hole only here", "neck: reduction of area 12 %, there 60 %". */
export function differingWords(reason: Reason, length: LengthUnit): string {
  const { kind, here, there, name } = reason;
  if (kind === "presence") return `${nameWords(name)} only ${here > 0 ? "here" : "there"}`;
  return `${nameWords(name)} ${valueWords(reason, here, length)}, there ${valueWords(reason, there, length)}`;
}

const isMetal = ({ name }: Reason): boolean => name.startsWith("context.metal.");
const isFact = ({ group }: Reason): boolean => group === "facts";

/** What both breaks have, in a few words: marks before the wire, the wire before the look of it. */
export function alikeLine({ shared, differing, shown }: Why, length: LengthUnit): string {
  const facts = shared.filter((r) => isFact(r) && !isMetal(r) && r.here !== 0);
  const metal = shared.some(isMetal) && !differing.some(isMetal) ? ["same metal"] : [];
  return [
    ...shared
      .filter((r) => !isFact(r))
      .slice(0, 3)
      .map((r) => sharedWords(r, length)),
    ...[...metal, ...facts.map((r) => sharedWords(r, length))].slice(0, 1),
    ...shown
      .filter(({ apart }) => apart <= ALIKE_TO_THE_EYE)
      .slice(0, 1)
      .map(shownWords),
  ].join("; ");
}

/** What tells them apart, in a few words; empty when nothing does. */
export function differsLine({ differing, shown }: Why, length: LengthUnit): string {
  return [
    ...differing
      .filter((r) => !isFact(r))
      .slice(0, 2)
      .map((r) => differingWords(r, length)),
    ...(differing.some(isMetal) ? ["another metal"] : []),
    ...shown
      .filter(({ apart }) => apart > ALIKE_TO_THE_EYE)
      .slice(0, 1)
      .map(shownWords),
  ].join("; ");
}

/** @source common practice, no source */
const ALIKE_TO_THE_EYE = 0.3;

const SHOWN: Readonly<Record<Why["shown"][number]["group"], string>> = {
  face: "look of the faces",
  side: "outline from the side",
  colour: "colour of the faces",
};

/** How alike what the photographs show is. */
export const shownWords = ({ group, apart }: Why["shown"][number]): string =>
  `${SHOWN[group]} ${apart <= ALIKE_TO_THE_EYE / 2 ? "alike" : apart <= ALIKE_TO_THE_EYE ? "rather alike" : "different"}`;

/** @source common practice, no source */
const LIKENESS: readonly (readonly [from: number, words: string])[] = [
  [0.85, "very much alike"],
  [0.72, "much alike"],
  [0.58, "partly alike"],
  [0, "little alike"],
];

/** @param likeness – 0–1. */
export const likenessWords = (likeness: number): string =>
  LIKENESS.find(([from]) => likeness >= from)?.[1] ?? "little alike";

export const percentWords = (likeness: number): string => `${Math.round(100 * likeness)} %`;
